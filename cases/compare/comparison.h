// SPDX-License-Identifier: GPL-3.0-or-later
//
// What differs between two installations, and how much of the difference in cooling each detail brings.
#pragma once

#include "cases/compare/details.h"
#include "cases/compare/shapley.h"
#include "geometry/base/units.h"

#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::compare {

/// A number of the quick estimate that is shared out over the details.
struct Quantity {
  std::string name;       ///< "deck pressure difference"
  std::string_view unit;  ///< "Pa", of the base table
  std::string_view practical_unit;
  base::Dimension dimension = base::Dimension::Pressure;
  base::Dimension change_dimension = base::Dimension::Pressure;  ///< of a temperature, a difference
  bool more_is_better = true;
};

/// A coefficient the estimate stands on.
struct Assumption {
  std::string name;  ///< "left inlet, entrance loss in still air"
  std::string kind;  ///< "entrance loss in still air": those of one kind, value and source are off alike
  double value = 0.0;
  double half_band = 0.0;  ///< same unit, >= 0
  std::string source;
};

/// Makes one coefficient larger by this much.
struct Shift {
  std::string name;
  double amount = 0.0;
};

/// The quick estimate as a comparison needs it.
struct Estimator {
  std::vector<Quantity> quantities;  ///< the first one decides the order
  std::function<std::vector<Assumption>(const VariantSpec&)> assumptions;
  /// One number per quantity. @throws base::InputError, base::ResultError  when the installation has none.
  std::function<std::vector<double>(const VariantSpec&, const std::vector<Shift>&)> values;
  std::vector<std::string> notes{};  ///< what a reader must know
};

/// A coefficient that a detail changes.
struct ChangedAssumption {
  Assumption good;  ///< source empty when there is none
  Assumption mine;
};

/// One detail, or several that are only counted together.
struct Effect {
  std::vector<std::size_t> members;  ///< indices into Comparison::details
  std::string label;
  std::string good;  ///< in words
  std::string mine;
  Topic topic = Topic::Installation;
  std::vector<double> value;           ///< (n_quantities) change from good to mine that it brings
  std::vector<double> standard_error;  ///< of sampling; 0 when exact
  std::vector<double> band;            ///< half width from the coefficients' bands
  std::vector<ChangedAssumption> stands_on;

  /// Whether it is more than its band and its sampling error.
  bool stands_out(std::size_t quantity) const;
};

struct Comparison {
  std::vector<Quantity> quantities;
  std::vector<Detail> details;            ///< that differ, in the order of the study file
  std::vector<double> good;               ///< (n_quantities)
  std::vector<double> mine;               ///< (n_quantities)
  std::vector<double> band;               ///< half width of mine - good, from the coefficients' bands
  std::vector<Effect> effects;            ///< largest change of the first quantity first
  std::vector<std::size_t> not_in_model;  ///< indices into details that the estimate does not feel
  std::vector<double> unexplained;        ///< mine - good that no detail brings; 0 but for rounding
  Attribution attribution;                ///< over the details that are felt
  std::vector<std::size_t> felt;          ///< its players: indices into details
  std::size_t n_contradictory = 0;        ///< mixtures whose dimensions could not be built as they are
  std::string first_contradiction;
  std::vector<std::string> notes;

  /// Part of mine - good that this topic brings.
  double sum(Topic topic, std::size_t quantity) const;
};

/// @throws base::InputError   when the engines have different numbers of cylinders.
/// @throws base::ResultError  when one of the two has no estimate; names which.
Comparison compare_installations(const VariantSpec& good,
                                 const VariantSpec& mine,
                                 const Estimator& estimator,
                                 const AttributionOptions& options = {});

}  // namespace cowlwright::compare
