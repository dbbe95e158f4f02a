// SPDX-License-Identifier: GPL-3.0-or-later
//
// Formulas of the propeller's loads and of its air ahead of the inlets. Definitions in words are in the
// vocabulary.
#include "geometry/base/units.h"
#include "post/quantities/inlet_air.h"
#include "post/quantities/measures.h"
#include "post/quantities/places.h"

#include <cmath>
#include <limits>
#include <numbers>
#include <optional>
#include <string>

namespace cowlwright::post {

namespace {

using base::Side;

constexpr double undefined = std::numeric_limits<double>::quiet_NaN();

/// Froude efficiency of a uniform disk of the bladed annulus with this thrust; none at rest.
double efficiency_limit(double thrust,
                        const base::PropellerRecord& propeller,
                        const base::FlightRecord& flight) {
  const double annulus =
      0.25 * std::numbers::pi *
      (propeller.diameter * propeller.diameter - propeller.hub_diameter * propeller.hub_diameter);
  const double loading = thrust / (flight.dynamic_pressure * annulus);
  return std::isfinite(loading) ? 2.0 / (1.0 + std::sqrt(1.0 + loading)) : undefined;
}

/// Halves of the disk and the forces across the shaft. The blades go down on the right when the propeller
/// turns clockwise as the pilot sees it.
void add_side_loads(std::vector<Quantity>& quantities,
                    const base::PropellerRecord& propeller,
                    const RotorLoad& load) {
  const double right = -load.right_force.x;
  const double left = -(load.force.x - load.right_force.x);
  const double descending = propeller.clockwise ? right : left;
  add_value(quantities, "propeller_thrust_descending", descending);
  add_value(quantities, "propeller_thrust_ascending", propeller.clockwise ? left : right);
  add_value(quantities, "propeller_descending_share", percent * descending / (left + right));
  add_value(quantities, "propeller_side_force", load.force.y);
  add_value(quantities, "propeller_normal_force", load.force.z);
}

/// The force field is the air's reaction on the blades: thrust points forward (-x), and the moment opposes
/// the rotation, whose vector points forward when the propeller turns clockwise as the pilot sees it.
void add_loads(std::vector<Quantity>& quantities, const base::Manifest& manifest, const RotorLoad& load) {
  const base::PropellerRecord& propeller = *manifest.propeller;
  const double thrust = -load.force.x;
  const double torque = (propeller.clockwise ? 1.0 : -1.0) * load.moment.x;
  const double power = torque * propeller.rotational_speed;
  const double speed = manifest.flight.true_airspeed;
  add_value(quantities, "propeller_thrust", thrust);
  add_value(quantities, "propeller_torque", torque);
  add_value(quantities, "propeller_power", power / 1000.0);
  add_value(quantities, "propeller_efficiency", speed > 0.0 ? thrust * speed / power : undefined);
  add_value(quantities, "propeller_efficiency_limit", efficiency_limit(thrust, propeller, manifest.flight));
  add_value(quantities,
            "propeller_thrust_deviation",
            percent * (thrust - propeller.thrust) / std::abs(propeller.thrust));
  add_value(quantities,
            "propeller_torque_deviation",
            percent * (torque - propeller.torque) / std::abs(propeller.torque));
  if (propeller.pitch_mode == base::PitchMode::Fixed) {
    add_value(quantities,
              "propeller_power_mismatch",
              percent * (power - propeller.shaft_power) / propeller.shaft_power);
  }
  add_side_loads(quantities, propeller, load);
}

/// Positive the way the propeller turns.
double swirl_degrees(const InletAir& air, const base::PropellerRecord& propeller) {
  const double along_rotation = (propeller.clockwise ? 1.0 : -1.0) * air.circumferential;
  return base::in_unit(std::atan2(along_rotation, air.axial), "deg", base::Dimension::Angle);
}

void add_inlet_air(std::vector<Quantity>& quantities,
                   const base::Manifest& manifest,
                   const FieldMeans& fields) {
  const base::FlightRecord& flight = manifest.flight;
  for (const Side side : {Side::Left, Side::Right}) {
    const std::optional<InletAir> air = inlet_air(manifest, fields, {side});
    if (air && manifest.propeller) {
      add_value(quantities, "inlet_swirl_" + side_name(side), swirl_degrees(*air, *manifest.propeller));
    }
    if (air) {
      add_value(
          quantities,
          (is_by_q(flight) ? "inlet_total_pressure_" : "inlet_total_pressure_of_loading_") + side_name(side),
          (air->total_pressure - flight.pressure) / flight.reference_pressure);
    }
  }
  const std::optional<InletAir> both = inlet_air(manifest, fields, {Side::Left, Side::Right});
  if (both && manifest.propeller) {
    add_value(quantities, "inlet_swirl", swirl_degrees(*both, *manifest.propeller));
  }
}

}  // namespace

std::vector<Quantity> propeller_quantities(const base::Manifest& manifest, const FieldMeans& fields) {
  std::vector<Quantity> quantities;
  if (manifest.propeller && manifest.propeller->force_field.empty()) {  // a uniform disk: put in, not found
    add_value(quantities, "propeller_thrust", manifest.propeller->thrust, {}, Basis::Fixed);
  }
  if (manifest.propeller && fields.rotor) {
    add_loads(quantities, manifest, *fields.rotor);
  }
  add_inlet_air(quantities, manifest, fields);
  return quantities;
}

}  // namespace cowlwright::post
