// SPDX-License-Identifier: GPL-3.0-or-later
//
// The details in which two installations can differ: keys of the study that only make sense together, how to
// say them in words, and how to carry them from one installation to the other.
#pragma once

#include "cases/study.h"

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::compare {

/// What a detail belongs to.
enum class Topic {
  Condition,     ///< speed, air, attitude
  Power,         ///< what the engine gives at that moment: power, revolutions, fuel
  Installation,  ///< what one can measure on the aircraft on the ground
  Estimate,      ///< what the quick estimate is told: solved cases, limits, calibration
  Solver         ///< grid and free-stream turbulence: of no meaning outside a solved case
};

/// One key of the study file.
struct Key {
  std::string name;         ///< "inlet_left.lip_radius"
  std::string common_name;  ///< "inlets.lip_radius", where it may stand too; else empty
  /// Whether it has an effect in an installation.
  std::function<bool(const VariantSpec&)> applies;
  std::function<bool(const VariantSpec&, const VariantSpec&)> differs;
  std::function<std::string(const VariantSpec&)> si;         ///< "20.0 mm"
  std::function<std::string(const VariantSpec&)> practical;  ///< "0.787 in"; empty without another unit
  std::function<std::string(const VariantSpec&)> toml;       ///< as a study file takes it; empty: cannot vary
  std::function<void(const VariantSpec& from, VariantSpec& to)> copy;
};

struct Detail {
  std::string label;  ///< "left inlet, edge"
  Topic topic = Topic::Installation;
  std::vector<Key> keys;
  std::function<std::string(const VariantSpec&)>
      words;  ///< "a flush ring with 20.0 mm (0.787 in) lip radius"
  /// Why it cannot be put back by the keys of a study file; empty when it can.
  std::string obstacle;

  /// Copies all its keys. Copies of different details can be made in any order.
  void copy(const VariantSpec& from, VariantSpec& to) const;
  bool differs(const VariantSpec& a, const VariantSpec& b) const;
};

/// Every detail, whether it differs or not. Which keys are tied to one detail depends on both: a lip that one
/// of them does not have is one detail, two lips differ by length and angle; inlets that differ alike on both
/// sides are one.
std::vector<Detail> all_details(const VariantSpec& good, const VariantSpec& mine);

/// Those in which the two differ, in the order of the study file.
std::vector<Detail> differing_details(const VariantSpec& good, const VariantSpec& mine);

/// Both in words. Where the words do not show the difference, the keys that differ stand behind them.
struct Wordings {
  std::string good;
  std::string mine;
};
Wordings wordings(const Detail& detail, const VariantSpec& good, const VariantSpec& mine);

/// `good` with the chosen details of `mine`. @param is_mine  (details.size())
VariantSpec hybrid(const VariantSpec& good,
                   const VariantSpec& mine,
                   const std::vector<Detail>& details,
                   const std::vector<bool>& is_mine);

/// Two numbers that a person would call equal: rounding of unit conversion aside.
bool is_same(double a, double b);

}  // namespace cowlwright::compare
