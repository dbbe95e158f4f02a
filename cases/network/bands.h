// SPDX-License-Identifier: GPL-3.0-or-later
//
// What the coefficients' half bands make of a result: each is moved up and down by its own, one at a time.
#pragma once

#include "cases/network/model.h"

#include <functional>
#include <string>
#include <vector>

namespace cowlwright::network {

/// A coefficient that can move by itself. Parts with one value, band and source, the two inlets or all
/// cylinders, move together by the root of a half of their band, and each alone by as much: half of the
/// variance is an error that they share, half their own; chosen, no source.
struct MovingCoefficient {
  std::string name;  ///< "exit discharge", "inlet loss in still air, both inlets"
  std::string unit;  ///< "-" for ratios
  double value = 0.0;
  double half_band = 0.0;
  std::string source;
  /// Moves it by this many half bands; kept where it has a meaning.
  std::function<void(Coefficients&, double)> move;
};

/// All of them, those without a band too.
std::vector<MovingCoefficient> moving_coefficients(const Coefficients& coefficients);

/// A coefficient with the states that it leads to.
struct Moved {
  MovingCoefficient coefficient;
  State up;
  State down;
};

/// A state and what it rests on.
struct Estimate {
  State state;
  std::vector<Moved>
      moved;  ///< in the order of moving_coefficients(); up and down equal `state` without a band
};

/// @throws as Model::solve().
Estimate estimate(const Model& model, const Condition& condition, Route route = Route::Solved);

/// What a value moves by when a coefficient moves up: half of what its ends differ by, or the larger
/// deviation where both ends lie on one side (a spread, a distance from 0).
double shift_of(double value, double up, double down);

/// Half band of a value of a state: root of the sum of the squares of shift_of().
double half_band(const Estimate& estimate, const std::function<double(const State&)>& value);

}  // namespace cowlwright::network
