// SPDX-License-Identifier: GPL-3.0-or-later
//
// One small solve for each pair of values that fixes the state of the air.
#include "cases/flight/free_stream.h"

#include "geometry/base/error.h"
#include "geometry/base/units.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::flight {

namespace {

constexpr double lowest_altitude = -2000.0;  // m, ends of base::standard_air()
constexpr double highest_altitude = 11000.0;
// Record surface temperatures lie within about 60 K of the standard 15 degC, so more is a slip of the pen.
constexpr double largest_deviation = 60.0;  // K

double standard_temperature(double altitude) {
  return base::standard_air(altitude).temperature;
}

base::AirState air_from_pressure(double pressure, double temperature) {
  return {pressure, temperature, pressure / (base::air::gas_constant * temperature)};
}

base::AirState air_from_density(double density, double temperature) {
  return {density * base::air::gas_constant * temperature, temperature, density};
}

/// Pressure altitude at which air off the standard temperature by `deviation` has this density. The density
/// falls steadily with altitude, since g/(R T) outweighs L/T, so halving the interval is safe.
double altitude_of_density(double density, double deviation) {
  const auto density_at = [&](double altitude) {
    const base::AirState standard = base::standard_air(altitude);
    return air_from_pressure(standard.pressure, standard.temperature + deviation).density;
  };
  double low = lowest_altitude;
  double high = highest_altitude;
  if (!(density_at(low) >= density && density_at(high) <= density)) {
    throw base::InputError(fmt::format(
        "no pressure altitude from {:.0f} m to {:.0f} m has a density of {:.4f} kg/m3 at {:+.1f} K from "
        "the standard temperature",
        low,
        high,
        density,
        deviation));
  }
  while (high - low > 1e-6) {  // m; a ten-thousandth of a Pa
    const double middle = 0.5 * (low + high);
    (density_at(middle) > density ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

base::AirState solve(const AirInputs& in) {
  const auto pressure_at = [](double altitude) { return base::standard_air(altitude).pressure; };
  const auto density_at = [](double altitude) { return base::standard_air(altitude).density; };
  if (in.pressure_altitude && in.density_altitude) {
    const double pressure = pressure_at(*in.pressure_altitude);
    const double density = density_at(*in.density_altitude);
    return {pressure, pressure / (base::air::gas_constant * density), density};
  }
  if (in.pressure_altitude && in.outside_temperature) {
    return air_from_pressure(pressure_at(*in.pressure_altitude), *in.outside_temperature);
  }
  if (in.pressure_altitude && in.isa_deviation) {
    return air_from_pressure(pressure_at(*in.pressure_altitude),
                             standard_temperature(*in.pressure_altitude) + *in.isa_deviation);
  }
  if (in.density_altitude && in.outside_temperature) {
    return air_from_density(density_at(*in.density_altitude), *in.outside_temperature);
  }
  if (in.density_altitude && in.isa_deviation) {
    const double altitude = altitude_of_density(density_at(*in.density_altitude), *in.isa_deviation);
    return air_from_pressure(pressure_at(altitude), standard_temperature(altitude) + *in.isa_deviation);
  }
  // Temperature and deviation: the lapse rate gives the altitude where the standard temperature is T - dT.
  const double altitude = (base::air::sea_level_temperature - (*in.outside_temperature - *in.isa_deviation)) /
                          base::air::lapse_rate;
  return air_from_pressure(pressure_at(altitude), *in.outside_temperature);
}

}  // namespace

int n_given(const AirInputs& inputs) {
  return int{inputs.pressure_altitude.has_value()} + int{inputs.density_altitude.has_value()} +
         int{inputs.outside_temperature.has_value()} + int{inputs.isa_deviation.has_value()};
}

base::AirState free_stream_air(const AirInputs& inputs) {
  if (n_given(inputs) != 2) {
    throw base::InputError(fmt::format("the air needs exactly 2 values, {} given", n_given(inputs)));
  }
  const base::AirState air = solve(inputs);
  const double altitude = base::pressure_altitude(air.pressure);
  base::density_altitude(air.density);  // refuses air outside the standard atmosphere
  const double deviation =
      air.temperature - standard_temperature(std::clamp(altitude, lowest_altitude, highest_altitude));
  if (!(std::abs(deviation) <= largest_deviation)) {
    throw base::InputError(fmt::format(
        "they mean air of {:.1f} degC at a pressure altitude of {:.0f} m, {:+.0f} K from the standard "
        "temperature: at most {:.0f} K is plausible",
        base::celsius(air.temperature),
        altitude,
        deviation,
        largest_deviation));
  }
  return air;
}

double impact_pressure(double calibrated_airspeed) {
  // With gamma = 1.4: q_c = p ((1 + M²/5)^3.5 - 1); the instrument is scaled for sea level.
  const double mach = calibrated_airspeed / base::speed_of_sound(base::air::sea_level_temperature);
  return base::air::sea_level_pressure * (std::pow(1.0 + mach * mach / 5.0, 3.5) - 1.0);
}

double true_from_calibrated(double calibrated_airspeed, const base::AirState& air) {
  const double impact = impact_pressure(calibrated_airspeed);
  const double mach = std::sqrt(5.0 * (std::pow(impact / air.pressure + 1.0, 1.0 / 3.5) - 1.0));
  return mach * base::speed_of_sound(air.temperature);
}

}  // namespace cowlwright::flight
