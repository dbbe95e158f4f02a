// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/compare/wording.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::compare {
namespace {

/// Three digits, more for what is in front of the point.
std::string number(double value, bool has_sign) {
  const double size = std::abs(value);
  if (size >= 1000.0) return has_sign ? fmt::format("{:+.0f}", value) : fmt::format("{:.0f}", value);
  return has_sign ? fmt::format("{:+.3g}", value) : fmt::format("{:.3g}", value);
}

std::string in_both(double value, const Quantity& quantity, base::Dimension dimension, bool has_sign) {
  const auto in = [&](std::string_view unit) {
    return fmt::format("{} {}", number(base::in_unit(value, unit, dimension), has_sign), unit);
  };
  return quantity.practical_unit.empty()
             ? in(quantity.unit)
             : fmt::format("{} ({})", in(quantity.unit), in(quantity.practical_unit));
}

std::string capitalised(std::string text) {
  if (!text.empty() && text.front() >= 'a' && text.front() <= 'z') {
    text.front() = static_cast<char>(text.front() - 'a' + 'A');
  }
  return text;
}

/// "loss in", "gain in"; of temperatures "rise in", "fall in".
std::string_view direction(const Quantity& quantity, double change) {
  if (quantity.more_is_better) return change < 0.0 ? "loss in" : "gain in";
  return change > 0.0 ? "rise in" : "fall in";
}

std::string error_text(const Effect& effect, const Quantity& quantity, std::size_t q) {
  std::string text = " ± " + width_text(quantity, effect.band[q]);
  if (effect.standard_error[q] > 0.0) {
    text += fmt::format(" (and ± {} of sampling)", width_text(quantity, effect.standard_error[q]));
  }
  return text;
}

}  // namespace

std::string value_text(const Quantity& quantity, double value) {
  return in_both(value, quantity, quantity.dimension, false);
}

std::string change_text(const Quantity& quantity, double change) {
  return in_both(change, quantity, quantity.change_dimension, true);
}

std::string width_text(const Quantity& quantity, double width) {
  if (!std::isfinite(width)) return "unknown";
  const double value = base::in_unit(width, quantity.unit, quantity.change_dimension);
  // Two digits; a large number is written out, not with an exponent.
  const std::string digits =
      value >= 99.5 ? fmt::format("{:.0f}", 10.0 * std::ceil(0.1 * value)) : fmt::format("{:.2g}", value);
  return digits + " " + std::string(quantity.unit);
}

double share_of_its_kind(const Comparison& comparison, const Effect& effect, std::size_t quantity) {
  const bool is_positive = effect.value[quantity] > 0.0;
  double sum = 0.0;
  for (const Effect& other : comparison.effects) {
    if ((other.value[quantity] > 0.0) == is_positive) sum += other.value[quantity];
  }
  return sum == 0.0 ? 0.0 : effect.value[quantity] / sum;
}

std::string effect_sentence(const Comparison& comparison, const Effect& effect, std::size_t quantity) {
  const Quantity& of = comparison.quantities[quantity];
  const double change = effect.value[quantity];
  std::string text =
      fmt::format("{}: {} instead of {}: ", capitalised(effect.label), effect.mine, effect.good);
  if (change == 0.0) return text + fmt::format("no change in {}.", of.name);
  const double share = share_of_its_kind(comparison, effect, quantity);
  text += fmt::format("{:.0f} % of the {} {}, {}{}",
                      100.0 * share,
                      direction(of, change),
                      of.name,
                      change_text(of, change),
                      error_text(effect, of, quantity));
  const double total = comparison.mine[quantity] - comparison.good[quantity];
  if (total * change < 0.0) text += ", against the change as a whole";
  if (!effect.stands_out(quantity)) text += "; less than its band, so it may be nothing";
  return text + ".";
}

std::string condition_sentence(const Comparison& comparison) {
  std::vector<std::string> differing;
  for (const Effect& effect : comparison.effects) {
    if (effect.topic != Topic::Condition && effect.topic != Topic::Power) continue;
    differing.push_back(fmt::format("{} {} instead of {}", effect.label, effect.mine, effect.good));
  }
  for (const std::size_t i : comparison.not_in_model) {
    const Topic topic = comparison.details[i].topic;
    if (topic == Topic::Condition || topic == Topic::Power) {
      differing.push_back(comparison.details[i].label + " (without effect on the estimate)");
    }
  }
  if (differing.empty()) return "Both are estimated in the same flight condition and at the same power.";
  const Quantity& of = comparison.quantities.front();
  const double total = comparison.mine.front() - comparison.good.front();
  const double outside = comparison.sum(Topic::Condition, 0) + comparison.sum(Topic::Power, 0);
  return fmt::format(
      "Not the same flight condition and power: {}. Of the change in {}, {}, that brings {}; the rest, {}, "
      "is "
      "the installation's.",
      fmt::join(differing, "; "),
      of.name,
      change_text(of, total),
      change_text(of, outside),
      change_text(of, total - outside));
}

namespace {

std::string names_of(const Comparison& comparison, const Refusal& refusal) {
  std::vector<std::string> names;
  for (std::size_t p = 0; p < refusal.coalition.size(); ++p) {
    if (refusal.coalition[p]) names.push_back(comparison.details[comparison.felt[p]].label);
  }
  return fmt::format("{}", fmt::join(names, ", "));
}

}  // namespace

std::vector<std::string> method_sentences(const Comparison& comparison) {
  const Attribution& shared = comparison.attribution;
  std::vector<std::string> sentences;
  const std::string how =
      shared.is_exact
          ? fmt::format("over all mixtures of the two ({} estimates), so the parts add up to the whole",
                        shared.n_evaluated)
          : fmt::format(
                "over {} orders drawn at random, each with its reverse ({} estimates); the parts add up "
                "to the whole, and the sampling error of each is shown as one standard error",
                shared.n_orders,
                shared.n_evaluated);
  sentences.push_back(fmt::format(
      "Each detail gets its Shapley value (L. S. Shapley, 1953, from memory): the mean over all orders of "
      "changing one detail after the other of what the estimate changes when it is its turn, {}. It does not "
      "depend on the order of the details. It shares out the estimate; it does not prove a cause.",
      how));
  sentences.push_back(
      "± is what the bands of the estimate's coefficients change: the root of the sum of squares over the "
      "coefficients, each off by its half band in both installations alike where both stand on the same one "
      "(our "
      "own reasoning). What the network leaves out is not in it.");
  for (const Effect& effect : comparison.effects) {
    if (effect.members.size() < 2) continue;
    sentences.push_back(fmt::format(
        "Counted together, because not every mixture of them has an estimate: {}.", effect.label));
  }
  if (!shared.refusals.empty()) {
    sentences.push_back(fmt::format("{} mixtures have no estimate, the first with {} of yours: {}",
                                    shared.refusals.size(),
                                    names_of(comparison, shared.refusals.front()),
                                    shared.refusals.front().reason));
  }
  if (comparison.n_contradictory > 0) {
    sentences.push_back(
        fmt::format("{} mixtures could not be built with their dimensions, the first because {} They are "
                    "estimated all the "
                    "same: the network sees areas, edges and places, not whether parts touch.",
                    comparison.n_contradictory,
                    comparison.first_contradiction));
  }
  for (std::size_t q = 0; q < comparison.quantities.size(); ++q) {
    const double rest = comparison.unexplained[q];
    if (std::abs(rest) <= 1e-9 * std::max(std::abs(comparison.good[q]), std::abs(comparison.mine[q])))
      continue;
    sentences.push_back(fmt::format("{} of the change in {} is brought by none of the details listed.",
                                    change_text(comparison.quantities[q], rest),
                                    comparison.quantities[q].name));
  }
  sentences.insert(sentences.end(), comparison.notes.begin(), comparison.notes.end());
  return sentences;
}

}  // namespace cowlwright::compare
