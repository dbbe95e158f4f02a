// SPDX-License-Identifier: GPL-3.0-or-later
//
// The parts of the air's way, each as flow against pressure difference with its slope. All rise with the
// difference and have a finite slope everywhere: near nothing a root is replaced by a straight line. Internal
// to the folder.
#pragma once

#include "cases/network/coefficients.h"

#include <cmath>

namespace cowlwright::network {

/// Flow through a part [kg/s] and its slope [kg/(s Pa)].
struct Flow {
  double mass_flow = 0.0;
  double slope = 0.0;
};

/// x / (x² + e²)^(1/4): the root of |x| with its sign, straight within a few e of 0; within (e/x)²/4 of the
/// root beyond.
struct SmoothRoot {
  double value = 0.0;
  double slope = 0.0;
};
SmoothRoot smooth_root(double x, double small);

/// Warmest that air gets over where it came from [K]: no metal it passes is hotter. More heat than that is
/// not taken.
inline constexpr double largest_rise = 500.0;

/// Air ahead of an inlet.
struct AirAhead {
  double total_pressure = 0.0;  ///< gauge [Pa]
  double propeller_rise = 0.0;  ///< part of it that the propeller gives [Pa]
  double axial_speed = 0.0;     ///< that it has where its static pressure is the free stream's [m/s]
  double cross_speed = 0.0;     ///< across the shaft line [m/s]
};

/// What of the flow is the same for all parts.
struct Medium {
  double pressure = 0.0;  ///< free stream, absolute [Pa]
  double density = 0.0;   ///< free stream [kg/m³]
  double airspeed = 0.0;  ///< flight [m/s]
  double small = 1e-3;    ///< pressure difference below which a root is straight [Pa]
};

/// Into the deck positive. @param difference  total pressure ahead less deck pressure [Pa].
Flow inlet_flow(const InletCoefficients& inlet,
                const AirAhead& ahead,
                const Medium& medium,
                double difference);

/// From the upper deck to the lower positive.
/// @param temperature  of the air before it [K].
/// @param heat         offered to it [W].
Flow passage_flow(const PassageCoefficients& passage,
                  const Medium& medium,
                  double temperature,
                  double heat,
                  double difference);

/// Heat the air takes of what is offered: no more than warms it by largest_rise [W].
double taken_heat(double offered, double mass_flow);

/// The air that comes to the exit.
struct ExitAir {
  double temperature = 0.0;  ///< of it before heating, or mixed where `heat` is 0 [K]
  double heat = 0.0;         ///< that it has taken up [W]
  double outside = 0.0;      ///< temperature of air that comes in by the exit [K]
};

/// Out positive. @param difference  lower deck pressure less that on the exit plane [Pa].
Flow exit_flow(const ExitCoefficients& exit, const ExitAir& air, const Medium& medium, double difference);

}  // namespace cowlwright::network
