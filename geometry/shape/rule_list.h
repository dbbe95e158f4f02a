// SPDX-License-Identifier: GPL-3.0-or-later
//
// Gathers broken rules between dimensions, all worded alike.
#pragma once

#include "geometry/base/units.h"
#include "geometry/shape/layout.h"
#include "geometry/shape/outline.h"
#include "geometry/shape/spec.h"

#include <string>
#include <vector>

namespace cowlwright::shape {

/// A dimension by its key in the study file, in SI; shown in mm, cm² or per cent. `word` stands for a choice.
struct KeyedLength {
  std::string key;
  double value = 0.0;
  base::Dimension dimension = base::Dimension::Length;
  std::string word{};
};

class RuleList {
 public:
  /// `first` must be >= `bound`, in its own dimension; the bound follows from `second`. NaN breaks the rule.
  void at_least(const KeyedLength& first,
                double bound,
                const KeyedLength& second,
                const std::string& reason,
                const std::string& remedy);
  /// `first` must be <= `bound`.
  void at_most(const KeyedLength& first,
               double bound,
               const KeyedLength& second,
               const std::string& reason,
               const std::string& remedy);

  std::vector<ShapeConflict> conflicts;
};

/// The sides whose inlets need checking: one when they are equal.
std::vector<base::Side> distinct_inlets(const ShapeSpec& spec);
/// Section a message about an inlet speaks of: "inlets" when both are equal, else "inlet_left" or
/// "inlet_right".
std::string inlet_section(const ShapeSpec& spec, base::Side side);

/// @throws InputError  when a shape breaks rules: all of them, one per line.
void refuse_conflicts(const ShapeSpec& spec);

void add_nose_rules(const ShapeSpec& spec, RuleList& rules);
void add_alternator_rules(const ShapeSpec& spec, RuleList& rules);
void add_deck_rules(const ShapeSpec& spec, RuleList& rules);
void add_exit_rules(const ShapeSpec& spec, RuleList& rules);
void add_passage_rules(const ShapeSpec& spec, RuleList& rules);

}  // namespace cowlwright::shape
