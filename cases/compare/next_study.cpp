// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/compare/next_study.h"

#include "cases/compare/wording.h"
#include "geometry/base/error.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <sstream>

namespace cowlwright::compare {
namespace {

constexpr std::size_t most_candidates = 4;
constexpr double least_share = 0.05;
constexpr double wide_band = 1.0 / 3.0;  // of the effect

bool is_a_default(const Assumption& assumption) {
  return !assumption.source.empty() && !assumption.source.starts_with("from CFD") &&
         !assumption.source.starts_with("from readings") &&
         assumption.source.find("stated in the study") == std::string::npos;
}

/// Empty when no run is called for.
std::string reason_for(const Comparison& comparison, const Effect& effect) {
  const double change = effect.value.front();
  const Quantity& of = comparison.quantities.front();
  const bool is_wide = !(effect.band.front() < wide_band * std::abs(change));
  std::string reason;
  if (is_wide) {
    reason = fmt::format("its band, ± {}, is of the size of the effect", width_text(of, effect.band.front()));
  }
  for (const ChangedAssumption& changed : effect.stands_on) {
    for (const Assumption* one : {&changed.mine, &changed.good}) {
      if (!is_a_default(*one)) continue;
      return fmt::format("{}{}stands on a default: {} {:.3g} ± {:.2g} ({})",
                         reason,
                         reason.empty() ? "" : ", and it ",
                         one->name,
                         one->value,
                         one->half_band,
                         one->source);
    }
  }
  return reason;
}

/// Name of a section when the line is its head: "[exit]  # ..." gives "exit".
std::optional<std::string> section_head(const std::string& line) {
  const std::size_t first = line.find_first_not_of(" \t");
  if (first == std::string::npos || line[first] != '[') return std::nullopt;
  const std::size_t end = line.find(']', first);
  if (end == std::string::npos) return std::nullopt;
  const std::string name = line.substr(first + 1, end - first - 1);
  const bool is_name = !name.empty() &&
                       name.find_first_not_of("abcdefghijklmnopqrstuvwxyz_0123456789") == std::string::npos &&
                       name.front() >= 'a' && name.front() <= 'z';
  return is_name ? std::optional(name) : std::nullopt;
}

/// Files named in a study stand relative to it.
std::string with_absolute_path(const std::string& line, const std::filesystem::path& folder) {
  for (const std::string_view key : {"file", "solved_flow"}) {
    const std::size_t begin = line.find_first_not_of(" \t");
    if (begin == std::string::npos || line.compare(begin, key.size(), key) != 0) continue;
    const std::size_t open = line.find('"', begin);
    const std::size_t close = open == std::string::npos ? open : line.find('"', open + 1);
    const std::string between = line.substr(begin + key.size(), open - begin - key.size());
    if (close == std::string::npos || between.find_first_not_of(" \t=") != std::string::npos) continue;
    const std::filesystem::path path = line.substr(open + 1, close - open - 1);
    if (path.is_absolute()) return line;
    return line.substr(0, open + 1) + std::filesystem::absolute(folder / path).lexically_normal().string() +
           line.substr(close);
  }
  return line;
}

/// The study without its [vary].
std::string without_vary(const Study& study, bool moves) {
  std::istringstream lines(study.text);
  std::string text, line;
  bool is_vary = false;
  while (std::getline(lines, line)) {
    if (const auto head = section_head(line)) is_vary = *head == "vary";
    if (!is_vary) text += (moves ? with_absolute_path(line, study.file.parent_path()) : line) + "\n";
  }
  return text;
}

/// A setting of the variant as the file takes it.
std::string setting_toml(const std::string& text) {
  const bool is_word = text.empty() || text == "true" || text == "false" || text.front() == '[';
  const bool is_number = !text.empty() && text.find_first_not_of("+-.0123456789eE") == std::string::npos;
  return is_word || is_number ? text : fmt::format("\"{}\"", text);
}

/// Key -> one value per row.
using Columns = std::vector<std::pair<std::string, std::vector<std::string>>>;

/// What a key has where it has no effect is what it has in the other one.
std::string value_in(const Key& key, const VariantSpec& spec, const VariantSpec& other) {
  return key.toml(key.applies(spec) || !key.applies(other) ? spec : other);
}

class Writer {
 public:
  Writer(const Comparison& comparison,
         const VariantSpec& good,
         const VariantSpec& mine,
         const Study& study,
         const std::filesystem::path& place)
      : comparison_(comparison), good_(good), mine_(mine), place_(place) {
    const auto folder = [](const std::filesystem::path& file) {
      return std::filesystem::absolute(file).parent_path().lexically_normal();
    };
    body_ = without_vary(study, folder(place) != folder(study.file));
  }

  /// Mine, each of these effects put back by itself, all of them.
  std::string text(const std::vector<std::size_t>& effects) const {
    std::string rows = fmt::format("# 1: as it is");
    for (std::size_t row = 0; row < effects.size(); ++row) {
      rows += fmt::format(
          "\n# {}: {} put back: {}", row + 2, effect(effects[row]).label, effect(effects[row]).good);
    }
    if (effects.size() > 1) rows += fmt::format("\n# {}: all of them", effects.size() + 2);
    std::string vary = fmt::format("[vary]\nmode = \"paired\"\n{}\n", rows);
    for (const auto& [key, values] : columns(effects)) {
      vary += fmt::format("\"{}\" = [{}]\n", key, fmt::join(values, ", "));
    }
    return "# Made by `cowlwright compare`: which of these details is it?\n" + body_ + "\n" + vary;
  }

  /// Empty when it can be read, else the first complaint.
  std::string complaint(const std::vector<std::size_t>& effects) const {
    try {
      parse_study(text(effects), place_.string());
      return {};
    } catch (const base::InputError& error) {
      const std::string all = error.what();
      return all.substr(0, all.find('\n'));
    }
  }

  std::string obstacle(std::size_t index) const {
    for (const std::size_t i : effect(index).members) {
      if (!comparison_.details[i].obstacle.empty()) return comparison_.details[i].obstacle;
    }
    return complaint({index});
  }

 private:
  const Effect& effect(std::size_t index) const { return comparison_.effects[index]; }

  Columns columns(const std::vector<std::size_t>& effects) const {
    const std::size_t n_rows = effects.size() > 1 ? effects.size() + 2 : 2;
    Columns all;
    for (std::size_t at = 0; at < effects.size(); ++at) {
      for (const std::size_t i : effect(effects[at]).members) {
        for (const Key& key : comparison_.details[i].keys) {
          const std::string ours = value_in(key, mine_, good_), theirs = value_in(key, good_, mine_);
          if (ours.empty() || theirs.empty() || ours == theirs) continue;
          std::vector<std::string> values(n_rows, ours);
          values[at + 1] = theirs;
          values.back() = theirs;
          all.emplace_back(key.name, std::move(values));
        }
      }
    }
    for (const base::Setting& setting : mine_.variant.settings) {
      const bool is_there =
          std::any_of(all.begin(), all.end(), [&](const auto& c) { return c.first == setting.key; });
      if (!is_there)
        all.emplace_back(setting.key, std::vector<std::string>(n_rows, setting_toml(setting.text)));
    }
    return all;
  }

  const Comparison& comparison_;
  const VariantSpec& good_;
  const VariantSpec& mine_;
  std::filesystem::path place_;
  std::string body_;
};

}  // namespace

std::vector<Candidate> worth_a_run(const Comparison& comparison) {
  double moved = 0.0;
  for (const Effect& effect : comparison.effects) {
    if (effect.topic == Topic::Installation) moved += std::abs(effect.value.front());
  }
  std::vector<Candidate> candidates;
  for (std::size_t e = 0; e < comparison.effects.size() && candidates.size() < most_candidates; ++e) {
    const Effect& effect = comparison.effects[e];
    if (effect.topic != Topic::Installation || !(std::abs(effect.value.front()) >= least_share * moved))
      continue;
    if (const std::string reason = reason_for(comparison, effect); !reason.empty())
      candidates.push_back({e, reason});
  }
  return candidates;
}

NextStudy next_study(const Comparison& comparison,
                     const std::vector<Candidate>& candidates,
                     const VariantSpec& good,
                     const VariantSpec& mine,
                     const Study& study,
                     const std::filesystem::path& place) {
  NextStudy next;
  const Writer writer(comparison, good, mine, study, place);
  for (const Candidate& candidate : candidates) {
    const std::string obstacle = writer.obstacle(candidate.effect);
    if (obstacle.empty()) {
      next.effects.push_back(candidate.effect);
    } else {
      next.left_out.push_back(fmt::format("{}: {}", comparison.effects[candidate.effect].label, obstacle));
    }
  }
  // Each by itself is sound; together they may contradict each other, then the smallest goes.
  while (!next.effects.empty()) {
    const std::string complaint = writer.complaint(next.effects);
    if (complaint.empty()) break;
    next.left_out.push_back(
        fmt::format("{}: with the others {}", comparison.effects[next.effects.back()].label, complaint));
    next.effects.pop_back();
  }
  if (!next.effects.empty()) next.text = writer.text(next.effects);
  return next;
}

}  // namespace cowlwright::compare
