// SPDX-License-Identifier: GPL-3.0-or-later
//
// The rules by which a comparison becomes sentences.
#include "post/tables/answer.h"

#include "post/tables/wording.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace cowlwright::post {

namespace {

/// A quantity that sentences are made about, and their words.
struct Topic {
  std::string_view id;
  std::string_view more;  ///< "{amount} more air goes through the cylinders"
  std::string_view less;
  std::string_view subject;    ///< "the air through the cylinders"
  bool only_if_shown = false;  ///< silent when no variant differs
};

constexpr std::array topics{Topic{"cylinders_mass_flow",
                                  "more air goes through the cylinders",
                                  "less air goes through the cylinders",
                                  "the air through the cylinders"},
                            Topic{"deck_pressure_difference",
                                  "more pressure difference between the decks",
                                  "less pressure difference between the decks",
                                  "the deck pressure difference"},
                            Topic{"core_mass_flow_spread",
                                  "more spread between the cylinders' flows",
                                  "less spread between the cylinders' flows",
                                  "the spread between the cylinders' flows",
                                  true},
                            Topic{"inlet_imbalance",
                                  "more of the air comes in on the right",
                                  "more of the air comes in on the left",
                                  "the share of each inlet",
                                  true}};

/// Rows of the small table, besides those of the topics.
constexpr std::array<std::string_view, 2> more_rows{"temperature_rise", "cooling_drag_momentum"};

/// Two digits of the band, so that a rounded band never hides what the exact one supports.
int decimals_for(double band) {
  return band > 0.0 ? std::clamp(1 - static_cast<int>(std::floor(std::log10(band))), 0, 4) : 2;
}

/// "8.0 % (± 2.1 %)" or "0.8 points (± 0.2 points, without the grid's error)", without sign.
std::string amount_text(const Difference& difference, const Quantity& heading) {
  const bool is_relative = difference.relative && difference.relative_band;
  const double value = std::abs(is_relative ? 100.0 * *difference.relative : difference.absolute);
  const double band = is_relative ? 100.0 * *difference.relative_band : difference.band.value_or(0.0);
  const std::string unit = is_relative                                     ? "%"
                           : heading.difference_in == DifferenceIn::Points ? "points"
                                                                           : heading.unit;
  const int decimals = decimals_for(band);
  return fmt::format("{} {} (± {} {}{})",
                     number_text(value, decimals),
                     unit,
                     band_text(band, decimals),
                     unit,
                     difference.contents == BandContents::Iterations ? ", without the grid's error" : "");
}

bool is_shown(const std::optional<Difference>& difference) {
  return difference && difference->band && !difference->within_bands && !difference->on_unlike_grids;
}

/// Between any two variants.
std::optional<Difference> difference_between(const Comparison& comparison,
                                             const ComparisonRow& row,
                                             std::size_t from,
                                             std::size_t to) {
  std::optional<Difference> result = difference(row.values[from], row.values[to]);
  if (result &&
      comparison.variants[from].manifest.grid_level != comparison.variants[to].manifest.grid_level) {
    result->on_unlike_grids = true;
    result->within_bands = true;
  }
  return result;
}

/// Makes the sentences about one topic.
class TopicSentences {
 public:
  TopicSentences(const Comparison& comparison, const Topic& topic, const ComparisonRow& row)
      : comparison_(comparison), topic_(topic), row_(row) {
    for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
      if (!comparison.is_baseline(i) && is_sound(comparison.variants[i]) && row.values[i] != nullptr) {
        others_.push_back(i);
      }
    }
    std::stable_sort(others_.begin(), others_.end(), [&row](std::size_t a, std::size_t b) {
      return row.values[a]->value > row.values[b]->value;
    });
  }

  std::vector<std::string> make() const {
    if (others_.empty()) return {};
    std::vector<std::string> sentences;
    const bool has_more = shows_difference(others_.front()) && change(others_.front()) > 0.0;
    const bool has_less = shows_difference(others_.back()) && change(others_.back()) < 0.0;
    if (has_more) sentences.push_back(claim(others_.front()));
    if (has_less) sentences.push_back(claim(others_.back()));
    if (has_more) append_ties(others_.front(), sentences);
    if (has_less && others_.back() != others_.front()) append_ties(others_.back(), sentences);
    if (sentences.empty() && !topic_.only_if_shown) sentences.push_back(nothing_shown());
    return sentences;
  }

 private:
  std::optional<Difference> to_baseline(std::size_t variant) const {
    return comparison_.difference_in(row_, variant);
  }
  bool shows_difference(std::size_t variant) const { return is_shown(to_baseline(variant)); }
  double change(std::size_t variant) const { return to_baseline(variant)->absolute; }
  const std::string& phrase(std::size_t variant) const { return comparison_.phrases[variant]; }

  std::string claim(std::size_t variant) const {
    const Difference difference = *to_baseline(variant);
    return fmt::format("{}: {} {} than with {}.",
                       phrase(variant),
                       amount_text(difference, row_.heading),
                       difference.absolute > 0.0 ? topic_.more : topic_.less,
                       phrase(comparison_.baseline));
  }

  /// Which of the others this one cannot be told apart from.
  void append_ties(std::size_t variant, std::vector<std::string>& sentences) const {
    for (const std::size_t other : others_) {
      if (other == variant || !shows_difference(other) || (change(other) > 0.0) != (change(variant) > 0.0)) {
        continue;
      }
      const std::optional<Difference> apart = difference_between(comparison_, row_, other, variant);
      if (!is_shown(apart)) {
        sentences.push_back(fmt::format("{} and {} cannot be told apart in {}: their difference{}.",
                                        phrase(variant),
                                        phrase(other),
                                        topic_.subject,
                                        inside_text(apart)));
      }
    }
  }

  std::string inside_text(const std::optional<Difference>& difference) const {
    if (!difference || !difference->band) return " has no known band";
    if (difference->on_unlike_grids) return " is between unlike grids";
    return fmt::format(", {}, lies inside the band", amount_text(*difference, row_.heading));
  }

  std::string nothing_shown() const {
    if (others_.size() == 1) {
      return fmt::format("{} and {} cannot be told apart in {}: their difference{}.",
                         phrase(others_.front()),
                         phrase(comparison_.baseline),
                         topic_.subject,
                         inside_text(to_baseline(others_.front())));
    }
    return fmt::format("None of the {} others differs from {} in {} by more than its band.",
                       others_.size(),
                       phrase(comparison_.baseline),
                       topic_.subject);
  }

  const Comparison& comparison_;
  const Topic& topic_;
  const ComparisonRow& row_;
  std::vector<std::size_t> others_;  ///< sound ones that have a value, largest first
};

/// What can be said of a variant by itself.
std::string state_of(const Comparison& comparison, std::size_t index) {
  std::vector<std::string> parts;
  for (const std::string_view id : {"cylinders_mass_flow", "deck_pressure_difference"}) {
    const ComparisonRow* row = comparison.find(id);
    if (row != nullptr && row->values[index] != nullptr) {
      parts.push_back(fmt::format("{} {} {}",
                                  row->heading.name,
                                  value_text(row->values[index], comparison.variants[index]),
                                  row->heading.unit));
    }
  }
  return fmt::format("{}: {}.",
                     comparison.phrases[index],
                     parts.empty() ? "no flow through cylinders and no deck pressures" : joined(parts, ", "));
}

std::string trouble_of(const VariantResult& variant) {
  if (variant.has_failed()) return fmt::format("failed ({})", variant.judgement.reason);
  if (!variant.flags.empty()) return fmt::format("flagged ({})", joined(variant.flags, "; "));
  return fmt::format("not settled ({})", variant.judgement.reason);
}

void add_topics(const Comparison& comparison, Answer& answer) {
  for (const Topic& topic : topics) {
    const ComparisonRow* row = comparison.find(topic.id);
    if (row == nullptr) continue;
    for (std::string& sentence : TopicSentences(comparison, topic, *row).make()) {
      answer.sentences.push_back(std::move(sentence));
    }
  }
}

void add_states(const Comparison& comparison, Answer& answer) {
  for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
    if (is_sound(comparison.variants[i])) answer.sentences.push_back(state_of(comparison, i));
  }
}

std::vector<std::string> supporting_rows(const Comparison& comparison) {
  std::vector<std::string> ids;
  for (const Topic& topic : topics) {
    if (comparison.find(topic.id) != nullptr) ids.emplace_back(topic.id);
  }
  for (const std::string_view id : more_rows) {
    if (comparison.find(id) != nullptr) ids.emplace_back(id);
  }
  return ids;
}

/// A reason for each kind of trouble, with all variants that have it.
void add_troubles(const Comparison& comparison, Answer& answer) {
  std::vector<std::pair<std::string, std::vector<std::string>>> troubles;
  for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
    if (is_sound(comparison.variants[i])) continue;
    const std::string trouble = trouble_of(comparison.variants[i]);
    const auto known = std::find_if(
        troubles.begin(), troubles.end(), [&trouble](const auto& one) { return one.first == trouble; });
    auto& variants = known == troubles.end()
                         ? troubles.emplace_back(trouble, std::vector<std::string>()).second
                         : known->second;
    variants.push_back(comparison.phrases[i]);
  }
  for (const auto& [trouble, variants] : troubles) {
    answer.reasons.push_back(fmt::format("nothing is said about {}: {}", joined(variants, "; "), trouble));
  }
}

/// Why bands are not complete: no grids, or grids that behave badly in a row that supports the answer.
void add_grid_reasons(const Comparison& comparison, Answer& answer) {
  if (comparison.is_estimate) {
    answer.reasons.emplace_back(
        "these sentences rest on an estimate: a lumped network, no flow was solved; the bands hold the "
        "errors of its "
        "coefficients as far as these are known");
    return;
  }
  if (!comparison.has_grids) {
    answer.reasons.emplace_back("every variant was solved on one grid: no band holds the grid's error");
    return;
  }
  for (const Topic& topic : topics) {
    const ComparisonRow* row = comparison.find(topic.id);
    if (row == nullptr || topic.only_if_shown) continue;
    for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
      const Quantity* quantity = row->values[i];
      if (quantity == nullptr || !is_sound(comparison.variants[i]) || quantity->basis == Basis::LastIteration)
        continue;
      if (band_contents(*quantity) != BandContents::IterationsAndGrids) {
        answer.reasons.push_back(fmt::format(
            "the band of {} of {} lacks the grid's error", row->heading.name, comparison.labels[i]));
      } else if (quantity->grids->is_flagged()) {
        answer.reasons.push_back(fmt::format("{} of {} does not behave over the grids as it should ({})",
                                             row->heading.name,
                                             comparison.labels[i],
                                             quantity->grids->behaviour()));
      }
    }
  }
}

}  // namespace

std::string_view standing_name(Standing standing) {
  switch (standing) {
    case Standing::Stands:
      return "stands";
    case Standing::WithReservations:
      return "with_reservations";
    case Standing::None:
      return "none";
  }
  return "none";
}

std::string_view standing_text(Standing standing) {
  switch (standing) {
    case Standing::Stands:
      return "The answer stands within its bands.";
    case Standing::WithReservations:
      return "An answer with reservations: read why before using it.";
    case Standing::None:
      return "No answer: there is nothing sound to compare.";
  }
  return {};
}

bool is_sound(const VariantResult& variant) {
  return variant.flags.empty() && (variant.judgement.status == Status::Settled ||
                                   variant.judgement.status == Status::Oscillating || variant.is_estimate());
}

Answer answer_of(const Comparison& comparison) {
  Answer answer;
  const std::size_t n = comparison.variants.size();
  const auto n_sound = std::count_if(comparison.variants.begin(), comparison.variants.end(), is_sound);
  const bool has_baseline = is_sound(comparison.variants[comparison.baseline]);
  answer.quantities = supporting_rows(comparison);
  add_troubles(comparison, answer);
  if (n_sound == 0) {
    answer.sentences = {n == 1 ? "The variant cannot be used as it stands."
                               : "None of the variants can be used as it stands."};
    return answer;
  }
  if (n > 1 && has_baseline) {
    add_topics(comparison, answer);
  }
  if (answer.sentences.empty()) {
    add_states(comparison, answer);
    answer.sentences.emplace_back(n == 1         ? "There is one variant: nothing is compared."
                                  : has_baseline ? "No other variant can be compared with the baseline."
                                                 : "The baseline cannot be used: nothing is compared.");
  }
  answer.reasons.insert(answer.reasons.end(), comparison.notes.begin(), comparison.notes.end());
  add_grid_reasons(comparison, answer);
  answer.standing = n > 1 && (!has_baseline || n_sound == 1) ? Standing::None
                    : answer.reasons.empty()                 ? Standing::Stands
                                                             : Standing::WithReservations;
  return answer;
}

}  // namespace cowlwright::post
