// SPDX-License-Identifier: GPL-3.0-or-later
//
// Ranges from the manifest.
#include "post/pictures/scales.h"

#include "geometry/base/air.h"
#include "geometry/base/error.h"

#include <fmt/format.h>

#include <cmath>

namespace cowlwright::post {

namespace {

/// Speed through a passage's whole area at this pressure difference [m/s]: the positive root of
/// inertial rho v² + viscous mu v = dp.
double passage_speed(const base::PassageRecord& passage, double density, double viscosity, double drop) {
  const double a = passage.inertial * density;
  const double b = passage.viscous * viscosity;
  const double root = std::sqrt(b * b + 4.0 * a * drop);
  return b + root > 0.0 ? 2.0 * drop / (b + root) : 0.0;
}

/// The next of 1, 1.5, 2, 3, 4, 5, 6, 8 times a power of ten.
double rounded_up(double value) {
  const double power = std::pow(10.0, std::floor(std::log10(value)));
  for (const double factor : {1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0}) {
    if (value <= factor * power * (1.0 + 1e-9)) {
      return factor * power;
    }
  }
  return 10.0 * power;
}

/// The largest of 1, 2, 2.5 and 5 times a power of ten that makes at least twenty colours; each divides every
/// range that rounded_up() gives.
double temperature_step(double range) {
  const double most = range / 20.0 * (1.0 + 1e-9);
  const double power = std::pow(10.0, std::floor(std::log10(most)));
  double step = power;
  for (const double factor : {2.0, 2.5, 5.0}) {
    if (factor * power <= most) {
      step = factor * power;
    }
  }
  return step;
}

}  // namespace

double temperature_range(const base::Manifest& manifest) {
  constexpr double without_heat = 100.0;
  constexpr double margin = 1.5;  // decks rarely have the whole reference pressure between them
  const base::FlightRecord& flight = manifest.flight;
  const double viscosity = base::dynamic_viscosity(flight.temperature);
  double heat = 0.0;
  double mass_flow = 0.0;
  for (const base::PassageRecord& passage : manifest.passages) {
    if (passage.kind != base::PassageKind::Leak && passage.heat > 0.0) {
      heat += passage.heat;
      mass_flow += flight.density * passage.area *
                   passage_speed(passage, flight.density, viscosity, flight.reference_pressure);
    }
  }
  const double rise = heat / (mass_flow * base::air::specific_heat);
  return rise > 0.0 && std::isfinite(rise) ? rounded_up(margin * rise) : without_heat;
}

Scales scales_of(const base::Manifest& manifest) {
  const base::FlightRecord& flight = manifest.flight;
  if (!(flight.pressure > 0.0 && flight.density > 0.0 && flight.temperature > 0.0 &&
        flight.reference_pressure > 0.0)) {
    throw base::InputError(fmt::format(
        "manifest.json of {}: flight pressure = {} Pa, density = {} kg/m3, temperature = {} K, reference "
        "pressure = {} Pa: all must be > 0. Prepare the case again.",
        manifest.variant,
        flight.pressure,
        flight.density,
        flight.temperature,
        flight.reference_pressure));
  }
  return {.pressure = flight.pressure,
          .temperature = flight.temperature,
          .reference_pressure = flight.reference_pressure,
          .reference_name = flight.reference_name,
          .reference_speed = std::sqrt(2.0 * flight.reference_pressure / flight.density),
          .is_by_q = base::is_by_q(flight),
          .temperature_range = temperature_range(manifest)};
}

FieldScale field_scale(Field field, const Scales& scales) {
  switch (field) {
    case Field::TotalPressureCoefficient:
      return {"cpt", "total pressure coefficient", "-", -0.5, 1.5, 0.1, ColourMap::Loss};
    case Field::TemperatureRise:
      return {"rise",
              "temperature above the outside air",
              "K",
              0.0,
              scales.temperature_range,
              temperature_step(scales.temperature_range),
              ColourMap::Heat};
    case Field::SpeedRatio:
      return {"speed_ratio",
              scales.is_by_q ? "speed / true airspeed" : "speed / reference speed",
              "-",
              0.0,
              1.6,
              0.1,
              ColourMap::Speed};
    case Field::PressureCoefficient:
      break;
  }
  return {"cp", "pressure coefficient", "-", -1.5, 1.5, 0.1, ColourMap::Diverging};
}

std::vector<Colour> band_colours(const FieldScale& scale) {
  return map_colours(scale.map, static_cast<int>(std::lround((scale.high - scale.low) / scale.step)));
}

}  // namespace cowlwright::post
