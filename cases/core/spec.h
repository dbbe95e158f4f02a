// SPDX-License-Identifier: GPL-3.0-or-later
//
// What air is forced through: how much pressure it takes and how much heat it gives.
#pragma once

#include "geometry/base/study_file.h"

#include <span>
#include <string>
#include <vector>

namespace cowlwright::core {

/// One point of a pressure-drop law at sea-level density: sigma*dp against mass flow.
struct LawPoint {
  double mass_flow = 0.0;      ///< through one core or the cooler [kg/s], > 0
  double pressure_drop = 0.0;  ///< sigma * dp, sigma = rho/1.225 [Pa], > 0
};

enum class LawKind { Table, PowerLaw, Fins };

struct Law {
  LawKind kind = LawKind::Table;
  std::vector<LawPoint> points;  ///< over the working range, rising
  LawPoint reference;            ///< the point stated, a table's middle one, or the fins at 1000 Pa
};

/// What else than their own keys the laws and the heat depend on.
struct EngineBlock {
  int n_cylinders = 4;
  double shaft_power = 0.0;  ///< [W]
  double length = 0.0;       ///< of one cylinder's block along the shaft [m]
  double width = 0.0;        ///< along the cylinder's axis [m]
  double head_width = 0.0;   ///< part of it that is the head's [m]; 0: not split
  double viscosity = 0.0;    ///< of the air the case runs in [Pa s]
};

struct CoreSpec {
  std::vector<Law> law;             ///< (n_cylinders)  order L1..Ln, R1..Rn front to rear
  std::vector<double> heat;         ///< (n_cylinders) released into the air [W], same order
  bool heat_is_stated = false;      ///< in W, else as a share of the shaft power
  double transverse_ratio = 100.0;  ///< resistance across the fins over that along them
  double head_heat_share = 0.70;    ///< of a split cylinder's heat; common practice, no source
  double head_flow_share = 0.0;     ///< of a split cylinder's flow at equal pressure drop
};

/// "l1", "l2", ... "r1", ...: cylinders in the order of CoreSpec.
std::vector<std::string> cylinder_names(int n_cylinders);

/// Reads laws and heat from [engine] and the sections [cylinder_l1] to [cylinder_r3], which override the law
/// of one. A law is the table `core_mass_flow` + `core_pressure_drop` (lists), one point plus `core_exponent`
/// (sampled from 0.3 to 1.5 times the point), or `fin_pitch`, `fin_thickness`, `fin_depth`, `bore`. Heat is
/// `heat_share` of the shaft power or `heat`. Does not finish() `engine`.
CoreSpec read_core_spec(const base::StudyFile& file,
                        const base::Variant& variant,
                        base::SectionReader& engine,
                        const EngineBlock& block,
                        base::Complaints& complaints);

struct CoolerSpec {
  Law law;
  double heat = 0.0;            ///< of the oil to the air [W]
  bool heat_is_stated = false;  ///< in W, else as a share of the shaft power
};

/// Reads `mass_flow`, `pressure_drop`, `exponent` (or lists) and `heat` or `heat_share` of the shaft power
/// from [oil_cooler]. Does not finish() it.
CoolerSpec read_cooler_spec(base::SectionReader& oil_cooler, double shaft_power);

/// The law of a part that takes this share of the flow at the same pressure drop.
Law share_of_flow(const Law& law, double share);

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

/// Resistance to put into a leak's tunnel of this area [m²], so that the whole leak passes
/// m = sqrt(2 rho dp) * effective_area, effective_area = Cd A. The tunnel's own loss is left out of it.
/// @throws InputError  when the bare tunnel already passes less than that.
///
/// Source: definition of Cd A; the tunnel's own loss as computed with the solver (verification test
/// LeakSlab).
CoreFit leak_resistance(double area, double effective_area);

/// Coefficients of the solver's sink -(mu D + 0.5 rho |U| F) U for a core of this depth [m]: D = a/L, F = 2
/// b/L.
struct SinkCoefficients {
  double darcy = 0.0;        ///< D [1/m²]
  double forchheimer = 0.0;  ///< F [1/m]
};
SinkCoefficients sink_coefficients(const CoreFit& fit, double depth);

}  // namespace cowlwright::core
