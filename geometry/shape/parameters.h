// SPDX-License-Identifier: GPL-3.0-or-later
//
// The list of a shape's dimensions: where each stands in the study file and what range it may have. The
// reader and the random tests both walk this list, so a new dimension is added here once.
#pragma once

#include "geometry/base/study_file.h"
#include "geometry/base/units.h"
#include "geometry/shape/spec.h"

#include <span>
#include <string_view>

namespace cowlwright::shape {

struct Parameter {
  std::string_view section;  ///< "exit"
  std::string_view key;      ///< "lip_angle"
  base::Dimension dimension = base::Dimension::Length;
  base::Range range;
  bool is_required = false;  ///< a study file must give it
  double& (*value)(ShapeSpec&) = nullptr;
};

/// Whether the surface of an own cowl decides a dimension, so that a study with one must not give it.
bool is_decided_by_own_cowl(const Parameter& parameter);

/// Every dimension of a ShapeSpec that is a quantity, but for those of its inlets. Counts and choices
/// (engine.cylinders, plenum.kind, oil_cooler.place ...) are not in it.
std::span<const Parameter> shape_parameters();

/// A length of one inlet: in [inlets] for both, in [inlet_left] or [inlet_right] for one.
struct InletParameter {
  std::string_view key;
  base::Range range;
  bool is_required = false;                     ///< where it applies
  bool (*applies)(const InletSpec&) = nullptr;  ///< whether an inlet of that kind has it
  double InletSpec::*value = nullptr;
};

std::span<const InletParameter> inlet_parameters();

}  // namespace cowlwright::shape
