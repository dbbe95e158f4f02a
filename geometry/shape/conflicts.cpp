// SPDX-License-Identifier: GPL-3.0-or-later
//
// Rules between the dimensions of engine, decks and cowl, and the list of all rules.
#include "geometry/base/error.h"
#include "geometry/shape/rule_list.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::shape {

namespace {

std::string shown(double value, base::Dimension dimension) {
  if (dimension == base::Dimension::Area) return fmt::format("{:.2f} cm2", value / 1e-4);
  if (dimension == base::Dimension::Share) return fmt::format("{:.1f} %", value / 0.01);
  return fmt::format("{:.1f} mm", value / 0.001);
}

void add(RuleList& rules,
         const KeyedLength& first,
         const char* relation,
         double bound,
         const KeyedLength& second,
         const std::string& reason,
         const std::string& remedy) {
  rules.conflicts.push_back(
      {first.key,
       second.key,
       fmt::format("{} = {}: must be {} {} {} ({} = {}). {}",
                   first.key,
                   shown(first.value, first.dimension),
                   relation,
                   shown(bound, first.dimension),
                   reason,
                   second.key,
                   second.word.empty() ? shown(second.value, second.dimension) : second.word,
                   remedy)});
}

}  // namespace

void RuleList::at_least(const KeyedLength& first,
                        double bound,
                        const KeyedLength& second,
                        const std::string& reason,
                        const std::string& remedy) {
  if (!(first.value >= bound)) add(*this, first, ">=", bound, second, reason, remedy);
}

void RuleList::at_most(const KeyedLength& first,
                       double bound,
                       const KeyedLength& second,
                       const std::string& reason,
                       const std::string& remedy) {
  if (!(first.value <= bound)) add(*this, first, "<=", bound, second, reason, remedy);
}

std::vector<base::Side> distinct_inlets(const ShapeSpec& spec) {
  if (spec.inlets.left == spec.inlets.right) return {base::Side::Left};
  return {both_sides.begin(), both_sides.end()};
}

std::string inlet_section(const ShapeSpec& spec, base::Side side) {
  if (spec.inlets.left == spec.inlets.right) return "inlets";
  return side == base::Side::Left ? "inlet_left" : "inlet_right";
}

std::vector<ShapeConflict> shape_conflicts(const ShapeSpec& spec) {
  RuleList rules;
  if (!spec.own) add_nose_rules(spec, rules);
  add_deck_rules(spec, rules);
  add_alternator_rules(spec, rules);
  add_exit_rules(spec, rules);
  add_passage_rules(spec, rules);
  return rules.conflicts;
}

void refuse_conflicts(const ShapeSpec& spec) {
  const std::vector<ShapeConflict> conflicts = shape_conflicts(spec);
  if (conflicts.empty()) return;
  std::string text;
  for (const ShapeConflict& c : conflicts) text += (text.empty() ? "" : "\n") + c.message;
  throw base::InputError(text);
}

}  // namespace cowlwright::shape
