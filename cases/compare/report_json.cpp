// SPDX-License-Identifier: GPL-3.0-or-later
//
// The comparison for other programs. All values in SI.
#include "cases/compare/checklist.h"
#include "cases/compare/report.h"
#include "cases/compare/wording.h"

#include <nlohmann/json.hpp>

#include <cmath>

namespace cowlwright::compare {

namespace {

using Json = nlohmann::ordered_json;

Json number(double value) {
  return std::isfinite(value) ? Json(value) : Json(nullptr);
}

Json assumption_json(const Assumption& one) {
  if (one.source.empty()) return nullptr;
  return {{"value", number(one.value)}, {"half_band", number(one.half_band)}, {"source", one.source}};
}

Json quantities_json(const Comparison& c) {
  Json all = Json::array();
  for (std::size_t q = 0; q < c.quantities.size(); ++q) {
    const Quantity& of = c.quantities[q];
    all.push_back({{"name", of.name},
                   {"unit", base::unit_symbols(of.dimension).front()},
                   {"more_is_better", of.more_is_better},
                   {"good", number(c.good[q])},
                   {"mine", number(c.mine[q])},
                   {"change", number(c.mine[q] - c.good[q])},
                   {"half_band", number(c.band[q])},
                   {"unexplained", number(c.unexplained[q])}});
  }
  return all;
}

Json effect_json(const Comparison& c, const Effect& effect) {
  Json shares = Json::array();
  for (std::size_t q = 0; q < c.quantities.size(); ++q) {
    shares.push_back({{"quantity", c.quantities[q].name},
                      {"change", number(effect.value[q])},
                      {"half_band", number(effect.band[q])},
                      {"standard_error", number(effect.standard_error[q])},
                      {"share_of_its_kind", number(share_of_its_kind(c, effect, q))},
                      {"more_than_its_band", effect.stands_out(q)}});
  }
  Json stands_on = Json::array();
  for (const ChangedAssumption& changed : effect.stands_on) {
    stands_on.push_back({{"name", changed.good.name.empty() ? changed.mine.name : changed.good.name},
                         {"good", assumption_json(changed.good)},
                         {"mine", assumption_json(changed.mine)}});
  }
  return {{"label", effect.label},
          {"belongs_to", topic_word(effect.topic)},
          {"good", effect.good},
          {"mine", effect.mine},
          {"changes", shares},
          {"stands_on", stands_on}};
}

Json keys_json(const Report& report) {
  Json all = Json::array();
  for (const Detail& detail : report.comparison.details) {
    for (const Key& key : detail.keys) {
      const bool applies = key.applies(*report.good) || key.applies(*report.mine);
      if (!applies || !key.differs(*report.good, *report.mine)) continue;
      all.push_back({{"key", key.name},
                     {"detail", detail.label},
                     {"good", key.si(*report.good)},
                     {"mine", key.si(*report.mine)},
                     {"stated_in_good", !report.is_stated_in_good || report.is_stated_in_good(key)},
                     {"stated_in_mine", !report.is_stated_in_mine || report.is_stated_in_mine(key)}});
    }
  }
  return all;
}

}  // namespace

std::string json(const Report& report) {
  const Comparison& c = report.comparison;
  Json effects = Json::array();
  for (const Effect& effect : c.effects) effects.push_back(effect_json(c, effect));
  Json not_in_model = Json::array();
  for (const std::size_t i : c.not_in_model) {
    const Wordings words = wordings(c.details[i], *report.good, *report.mine);
    not_in_model.push_back({{"label", c.details[i].label}, {"good", words.good}, {"mine", words.mine}});
  }
  Json candidates = Json::array();
  for (const Candidate& candidate : report.candidates) {
    candidates.push_back({{"label", c.effects[candidate.effect].label}, {"reason", candidate.reason}});
  }
  const Json all{{"format", "cowlwright comparison"},
                 {"version", 1},
                 {"caution", cautions()},
                 {"good", report.good_name},
                 {"mine", report.mine_name},
                 {"flight_condition", condition_sentence(c)},
                 {"quantities", quantities_json(c)},
                 {"effects", effects},
                 {"not_in_model", not_in_model},
                 {"keys", keys_json(report)},
                 {"worth_a_run",
                  {{"details", candidates},
                   {"study", report.next_file},
                   {"check", report.next_check},
                   {"left_out", report.next.left_out}}},
                 {"method",
                  {{"name", "Shapley values"},
                   {"is_exact", c.attribution.is_exact},
                   {"estimates", c.attribution.n_evaluated},
                   {"orders", c.attribution.n_orders},
                   {"sentences", method_sentences(c)}}}};
  return all.dump(2) + "\n";
}

}  // namespace cowlwright::compare
