// SPDX-License-Identifier: GPL-3.0-or-later
//
// Finned cores: how much pressure they take and how much heat they give.
#pragma once

#include "geometry/base/study_file.h"

#include <span>
#include <vector>

namespace cowlwright::core {

/// One point of a core's pressure-drop law, per cylinder, at sea-level density: sigma*dp against mass flow.
struct LawPoint {
  double mass_flow = 0.0;      ///< through one core [kg/s], > 0
  double pressure_drop = 0.0;  ///< sigma * dp, sigma = rho/1.225 [Pa], > 0
};

struct CoreSpec {
  std::vector<LawPoint> law;  ///< over the working range, rising
  std::vector<double> heat;   ///< (n_cylinders) released into the air [W], order L1..Ln, R1..Rn front to rear
  double transverse_ratio = 100.0;  ///< resistance across the fins over that along them
};

/// Reads the core law and heat from [engine]: either the table `core_mass_flow` + `core_pressure_drop`
/// (lists), or one point plus `core_exponent` (power law, sampled from 0.3 to 1.5 times the point);
/// `heat_share` of `shaft_power`, or `heat` in W; optional `core_transverse`. Does not finish() the reader.
CoreSpec read_core_spec(base::SectionReader& engine,
                        int n_cylinders,
                        double shaft_power,
                        base::Complaints& complaints);

/// dp = viscous*mu*v + inertial*rho*v², v the superficial speed.
struct CoreFit {
  double viscous = 0.0;   ///< a [1/m], >= 0
  double inertial = 0.0;  ///< b [-], >= 0
  double residual = 0.0;  ///< largest relative deviation over the points
};

/// Non-negative least squares of relative deviations over the points.
/// @param area       flow area of one core [m²].
/// @param density    air density the case runs at [kg/m³].
/// @param viscosity  [Pa s].
/// @throws InputError  with fewer than two points or values not > 0.
CoreFit fit_core_law(std::span<const LawPoint> law, double area, double density, double viscosity);

/// Coefficients of the solver's sink -(mu D + 0.5 rho |U| F) U for a core of this depth [m]: D = a/L, F = 2
/// b/L.
struct SinkCoefficients {
  double darcy = 0.0;        ///< D [1/m²]
  double forchheimer = 0.0;  ///< F [1/m]
};
SinkCoefficients sink_coefficients(const CoreFit& fit, double depth);

}  // namespace cowlwright::core
