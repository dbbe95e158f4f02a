// SPDX-License-Identifier: GPL-3.0-or-later
//
// Free stream and blade elements brought together.
#include "cases/network/air_ahead.h"

#include "cases/propeller/local_air.h"
#include "geometry/shape/layout.h"
#include "geometry/shape/own_cowl.h"

#include <algorithm>
#include <cmath>

namespace cowlwright::network {
namespace {

constexpr std::array both{base::Side::Left, base::Side::Right};

}  // namespace

InletPlace inlet_place(const VariantSpec& spec, base::Side side) {
  const shape::InletSpec& inlet = shape::inlet(spec.shape, side);
  InletPlace place;
  place.y = inlet.own ? inlet.own->y : 0.5 * shape::sign_of(side) * spec.shape.inlets.spacing;
  place.z = inlet.own ? inlet.own->z : inlet.height;
  place.radius = std::hypot(place.y, place.z);
  // Clockwise as the pilot sees it: down on the right.
  const double sense = spec.propeller.rotation == propeller::Rotation::Clockwise ? 1.0 : -1.0;
  if (place.radius > 0.0) {
    place.motion = {0.0, sense * place.z / place.radius, -sense * place.y / place.radius};
  }
  return place;
}

double following_wind(const InletPlace& place, const base::Vec3& wind) {
  return place.motion.y * wind.y + place.motion.z * wind.z;
}

base::Vec3 wind_of(const Condition& condition, double sideslip) {
  return condition.true_airspeed * base::wind_direction(condition.incidence, sideslip);
}

Ahead ahead_of_inlets(const VariantSpec& spec,
                      const Condition& condition,
                      const propeller::BladeTable* table) {
  Ahead ahead;
  const base::Vec3 wind = wind_of(condition, spec.flight.sideslip);
  std::array<InletPlace, 2> places;
  for (std::size_t i = 0; i < 2; ++i) {
    places[i] = inlet_place(spec, both[i]);
    ahead.inlets[i].motion = places[i].motion;
  }
  if (!spec.propeller.present) return ahead;
  const propeller::Operating operating{wind.x, condition.air.density, condition.rotational_speed};
  propeller::BladeTable::Loads loads;
  if (table) {
    loads = table->loads(operating, condition.shaft_power);
  } else {
    propeller::PropellerSpec blades = spec.propeller;
    blades.shaft_power = condition.shaft_power;
    const propeller::Performance performance = propeller::performance(blades, operating);
    loads = {performance.collective, performance.disk_loading};
  }
  ahead.disk_loading = loads.disk_loading;
  for (std::size_t i = 0; i < 2; ++i) {
    const InletPlace& place = places[i];
    if (spec.propeller.is_uniform) {
      ahead.inlets[i].pressure_rise = place.radius < 0.5 * spec.propeller.diameter ? loads.disk_loading : 0.0;
      continue;
    }
    const double following = following_wind(place, wind);
    const propeller::LocalAir air =
        table ? table->local_air(i, operating, loads.collective, following)
              : propeller::local_air(spec.propeller, operating, loads.collective, {place.radius, following});
    ahead.inlets[i].pressure_rise = air.pressure_rise;
    ahead.inlets[i].swirl_speed = air.swirl_speed;
  }
  return ahead;
}

AirAhead air_ahead(const AheadOfInlet& inlet, double factor, double density, const base::Vec3& wind) {
  const double y = wind.y + inlet.swirl_speed * inlet.motion.y;
  const double z = wind.z + inlet.swirl_speed * inlet.motion.z;
  const double cross = y * y + z * z;
  const double before = base::dot(wind, wind);
  const double rise = inlet.pressure_rise + 0.5 * density * (cross - wind.y * wind.y - wind.z * wind.z);
  AirAhead air;
  air.cross_speed = std::sqrt(cross);
  air.axial_speed = std::sqrt(std::max(wind.x * wind.x + 2.0 * factor * inlet.pressure_rise / density, 0.0));
  air.propeller_rise = factor * rise;
  air.total_pressure = 0.5 * density * before + air.propeller_rise;
  return air;
}

}  // namespace cowlwright::network
