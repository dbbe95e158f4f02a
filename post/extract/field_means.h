// SPDX-License-Identifier: GPL-3.0-or-later
//
// Means of the solver's fields over zones and planes, read through VTK. A second, independent route to the
// flows is among them: density and velocity of the two cells at each face, integrated over the face zones.
#pragma once

#include "geometry/base/manifest.h"
#include "post/extract/case_layout.h"
#include "post/extract/y_plus.h"

#include <optional>
#include <string>
#include <vector>

namespace cowlwright::post {

/// Volume means over one cell zone.
struct ZoneMean {
  std::string zone;
  std::size_t n_cells = 0;
  double volume = 0.0;                               ///< meshed [m³]
  double static_pressure = 0.0;                      ///< absolute [Pa]
  double total_pressure = 0.0;                       ///< p + 0.5 rho |U|², absolute [Pa]
  std::optional<double> temperature = std::nullopt;  ///< [K]
};

/// Means over one face zone. A value on a face is interpolated linearly between the two cells at it.
struct PlaneMean {
  std::string plane;
  double area = 0.0;             ///< of the oriented faces, seen along the normal [m²]
  double mass_flow = 0.0;        ///< integral of rho u.n along the plane's normal [kg/s]
  double static_pressure = 0.0;  ///< area mean, absolute [Pa]
  double density = 0.0;          ///< area mean [kg/m³]
  base::Vec3 momentum_flow{};    ///< integral of rho u (u.n) [N]
  /// Integral of rho u.n (T0 - T0 of the free stream), T0 the total temperature [kg K/s]; without T absent.
  std::optional<double> temperature_excess_flow = std::nullopt;
  /// The same with T0 of the cell that the air of each face comes from: the solver convects energy upwind, so
  /// that this is what it carries through the plane.
  std::optional<double> upwind_excess_flow = std::nullopt;
};

/// Means over a survey disc, every point with the values of the cell nearest to it.
struct SurveyMean {
  std::string survey;
  std::size_t n_points = 0;
  std::size_t n_outside = 0;        ///< of them in no cell: in the solid or beyond the far field
  double axial_velocity = 0.0;      ///< along x [m/s]
  double clockwise_velocity = 0.0;  ///< about the shaft, as the pilot sees it [m/s]
  double total_pressure = 0.0;      ///< p + 0.5 rho |U|², absolute [Pa]

  bool is_complete() const { return n_points > 0 && n_outside == 0; }
};

/// What the blades do to the air and the air to the blades, from the rotor's force field.
struct RotorLoad {
  base::Vec3 force;        ///< sum over the disk's cells [N]
  base::Vec3 moment;       ///< about the origin of the installation frame [N m]
  base::Vec3 right_force;  ///< of the half of the disk at y > 0; cells across y = 0 count in part [N]
};

struct FieldMeans {
  std::size_t n_cells = 0;
  std::vector<ZoneMean> zones;      ///< in the manifest's order
  std::vector<PlaneMean> planes;    ///< in the manifest's order
  std::vector<SurveyMean> surveys;  ///< likewise
  std::optional<RotorLoad> rotor;
  std::vector<PatchYPlus> y_plus;  ///< of the patches the solver tells of; empty when it tells of none
};

/// Reads p, U, T (when there), rho (otherwise the free stream's gas constant p/(rho T) with the field T) and
/// the rotor's force field at the layout's iteration.
///
/// @throws ResultError  when a field or a zone is missing or empty, a value is not finite, or the reader
///                      complains.
FieldMeans read_field_means(const CaseLayout& layout, const base::Manifest& manifest);

}  // namespace cowlwright::post
