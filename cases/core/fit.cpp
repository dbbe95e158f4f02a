// SPDX-License-Identifier: GPL-3.0-or-later
//
// From a pressure-drop law to the two coefficients of a porous core.
#include "cases/core/spec.h"
#include "geometry/base/air.h"
#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::core {
namespace {

/// Loss of a leak's tunnel beside the resistance in it, in dynamic pressures of its mean speed: sharp
/// entrance 0.5 and exit 1.0 (Idelchik), and friction. Computed with the solver in a tunnel six diameters
/// long: 1.6 to 1.8 for a resistance of 35 to 7.
constexpr double tunnel_loss = 1.7;

/// Share of a point's pressure drop that a unit of each coefficient would give.
struct Row {
  double viscous = 0.0;
  double inertial = 0.0;
};

void check(std::span<const LawPoint> law, double area, double density, double viscosity) {
  if (!(area > 0.0) || !(density > 0.0) || !(viscosity > 0.0)) {
    throw base::InputError(
        fmt::format("core law: area = {} m2, density = {} kg/m3, viscosity = {} Pa s: all must be > 0. Check "
                    "the core's size and the flight condition.",
                    area,
                    density,
                    viscosity));
  }
  if (law.size() < 2) {
    throw base::InputError(fmt::format(
        "core law: {} point(s): needs at least 2. Add points to core_mass_flow and core_pressure_drop.",
        law.size()));
  }
  for (std::size_t i = 0; i < law.size(); ++i) {
    if (!(law[i].mass_flow > 0.0) || !(law[i].pressure_drop > 0.0)) {
      throw base::InputError(fmt::format(
          "core law, point {}: mass flow = {} kg/s, pressure drop = {} Pa: both must be > 0. Mend "
          "core_mass_flow and core_pressure_drop.",
          i + 1,
          law[i].mass_flow,
          law[i].pressure_drop));
    }
  }
}

/// Least squares of |A x - 1| with x >= 0 for two unknowns: the free minimum when it is admissible, otherwise
/// the better of the two edges.
CoreFit non_negative_least_squares(const std::vector<Row>& rows) {
  double vv = 0.0, vi = 0.0, ii = 0.0, v = 0.0, i = 0.0;
  for (const Row& row : rows) {
    vv += row.viscous * row.viscous;
    vi += row.viscous * row.inertial;
    ii += row.inertial * row.inertial;
    v += row.viscous;
    i += row.inertial;
  }
  // Relative to vv*ii: 0 when all points have the same speed and the two parts cannot be told apart.
  const double determinant = 1.0 - vi * vi / (vv * ii);
  if (determinant > 1e-12) {
    const double viscous = (v / vv - i * vi / (vv * ii)) / determinant;
    const double inertial = (i / ii - v * vi / (vv * ii)) / determinant;
    if (viscous >= 0.0 && inertial >= 0.0) {
      return {viscous, inertial, 0.0};
    }
  }
  // The gain of an edge over x = 0 is (column sum)²/(column square).
  return v * v / vv > i * i / ii ? CoreFit{v / vv, 0.0, 0.0} : CoreFit{0.0, i / ii, 0.0};
}

}  // namespace

CoreFit fit_core_law(std::span<const LawPoint> law, double area, double density, double viscosity) {
  check(law, area, density, viscosity);
  const double sigma = density / base::air::sea_level_density;
  std::vector<Row> rows;
  for (const LawPoint& point : law) {
    const double speed = point.mass_flow / (density * area);
    const double drop = point.pressure_drop / sigma;
    rows.push_back({viscosity * speed / drop, density * speed * speed / drop});
  }
  CoreFit fit = non_negative_least_squares(rows);
  for (const Row& row : rows) {
    const double deviation = fit.viscous * row.viscous + fit.inertial * row.inertial - 1.0;
    fit.residual = std::max(fit.residual, std::abs(deviation));
  }
  return fit;
}

CoreFit leak_resistance(double area, double effective_area) {
  if (!(area > 0.0) || !(effective_area > 0.0)) {
    throw base::InputError(
        fmt::format("leak: area = {} m2, effective area = {} m2: both must be > 0. Check [leaks].",
                    area,
                    effective_area));
  }
  const double whole = std::pow(area / effective_area, 2);
  if (!(whole >= tunnel_loss)) {
    throw base::InputError(fmt::format(
        "leak: effective area = {:.4g} cm2: must be at most {:.4g} cm2, what its tunnel of {:.4g} "
        "cm2 passes when empty. Lower it.",
        1e4 * effective_area,
        1e4 * area / std::sqrt(tunnel_loss),
        1e4 * area));
  }
  return {0.0, 0.5 * (whole - tunnel_loss), 0.0};
}

SinkCoefficients sink_coefficients(const CoreFit& fit, double depth) {
  if (!(depth > 0.0)) {
    throw base::InputError(fmt::format("core: depth = {} m: must be > 0 m. Check the core's size.", depth));
  }
  return {fit.viscous / depth, 2.0 * fit.inertial / depth};
}

}  // namespace cowlwright::core
