// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading [flight].
#include "cases/flight/spec.h"

#include "cases/flight/free_stream.h"
#include "geometry/base/error.h"
#include "geometry/base/manifest.h"
#include "geometry/base/units.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <array>
#include <cmath>
#include <numbers>
#include <string_view>
#include <utility>
#include <vector>

namespace cowlwright::flight {

namespace {

using base::Dimension;
using base::Range;

constexpr double degree = std::numbers::pi / 180.0;
constexpr double highest_speed = 150.0;  // m/s, 292 kt

constexpr Range speed_range{0.0, highest_speed, false, false, "light aircraft, from the ground run on"};
constexpr Range altitude_range{-1000.0, 9200.0, false, false, "from below the lowest airfields to 30000 ft"};
constexpr Range temperature_range{213.15, 328.15, false, false, "air that is met in flight"};
constexpr Range deviation_range{-60.0, 60.0, false, false, "more is never met"};
constexpr Range incidence_range{-10.0 * degree, 20.0 * degree, false, false, "beyond it the wing stalls"};
constexpr Range sideslip_range{-20.0 * degree, 20.0 * degree, false, false, "a full slip is about 15 deg"};

constexpr Range intensity_range{1e-4, 0.2, false, false, "from calm air to the wake of another aircraft"};
constexpr Range eddy_range{0.1, 10000.0, false, false, "turbulent over molecular viscosity"};

constexpr std::array<std::string_view, 4> air_keys{
    "pressure_altitude", "density_altitude", "outside_temperature", "isa_deviation"};

}  // namespace

base::AirState read_air(base::SectionReader& flight) {
  AirInputs inputs;
  const std::size_t n_before = flight.n_complaints();
  inputs.pressure_altitude = flight.optional_quantity("pressure_altitude", Dimension::Length, altitude_range);
  inputs.density_altitude = flight.optional_quantity("density_altitude", Dimension::Length, altitude_range);
  inputs.outside_temperature =
      flight.optional_quantity("outside_temperature", Dimension::Temperature, temperature_range);
  inputs.isa_deviation =
      flight.optional_quantity("isa_deviation", Dimension::TemperatureDifference, deviation_range);

  std::vector<std::string_view> given;
  for (const std::string_view key : air_keys) {
    if (flight.has(key)) {
      given.push_back(key);
    }
  }
  if (given.size() != 2) {
    flight.complain(given.size() > 2 ? given[2] : "",
                    fmt::format("{}exactly two of {} fix the air, but {} given{}{}. {}.",
                                given.size() > 2 ? "is one too many: " : "",
                                fmt::join(air_keys, ", "),
                                given.size() == 1 ? "1 is" : fmt::format("{} are", given.size()),
                                given.empty() ? "" : ": ",
                                fmt::join(given, ", "),
                                given.size() > 2 ? "Take out the rest" : "Add what is missing"));
    return {};
  }
  if (flight.n_complaints() > n_before) {
    return {};
  }
  try {
    return free_stream_air(inputs);
  } catch (const base::InputError& error) {
    flight.complain(given[1], fmt::format("contradicts {}: {}. Check both.", given[0], error.what()));
    return {};
  }
}

double read_true_airspeed(base::SectionReader& flight, const base::AirState& air, bool air_is_sound) {
  const auto true_airspeed = flight.optional_quantity("true_airspeed", Dimension::Speed, speed_range);
  const auto calibrated = flight.optional_quantity("calibrated_airspeed", Dimension::Speed, speed_range);
  if (true_airspeed && calibrated) {
    flight.complain("calibrated_airspeed",
                    "stands beside true_airspeed: give exactly one of the two. Take one out.");
  }
  if (!true_airspeed && !calibrated) {
    flight.complain("",
                    "true_airspeed or calibrated_airspeed is missing. Write true_airspeed = \"105 kt\", for "
                    "example.");
  }
  if (true_airspeed || !calibrated) {
    return true_airspeed.value_or(highest_speed / 2.0);
  }
  const double converted = true_from_calibrated(*calibrated, air);
  if (air_is_sound && !(converted <= highest_speed)) {
    flight.complain(
        "calibrated_airspeed",
        fmt::format("means a true airspeed of {:.1f} m/s in this air: must be at most {:.0f} m/s. "
                    "Check the speed and the altitude.",
                    converted,
                    highest_speed));
  }
  return converted;
}

FlightSpec read_flight_spec(const base::StudyFile& file,
                            const base::Variant& variant,
                            base::Complaints& complaints) {
  base::SectionReader flight = file.section("flight", variant, complaints);
  FlightSpec spec;
  spec.air = read_air(flight);
  spec.true_airspeed = read_true_airspeed(flight, spec.air, flight.n_complaints() == 0);
  spec.incidence = flight.quantity_or("incidence", Dimension::Angle, incidence_range, 0.0);
  spec.sideslip = flight.quantity_or("sideslip", Dimension::Angle, sideslip_range, 0.0);
  if (spec.true_airspeed == 0.0 && flight.n_complaints() == 0) {
    for (const auto& [key, angle] : {std::pair{"incidence", spec.incidence}, {"sideslip", spec.sideslip}}) {
      if (angle != 0.0) {
        flight.complain(
            key,
            fmt::format("= {:.3g} deg at an airspeed of 0: still air comes from nowhere. Set it to "
                        "0 deg.",
                        angle / degree));
      }
    }
  }
  spec.turbulence_intensity = flight.quantity_or(
      "turbulence_intensity", Dimension::Share, intensity_range, spec.turbulence_intensity);
  spec.eddy_viscosity_ratio = flight.number_or("eddy_viscosity_ratio", eddy_range, spec.eddy_viscosity_ratio);
  flight.finish();
  return spec;
}

double dynamic_pressure(const FlightSpec& flight) {
  return 0.5 * flight.air.density * flight.true_airspeed * flight.true_airspeed;
}

ReferencePressure reference_pressure(const FlightSpec& flight, double disk_loading) {
  constexpr double smallest_share = 0.01;
  const double q = dynamic_pressure(flight);
  if (q < smallest_share * disk_loading) {
    // Momentum theory of a uniform disk: T/A = 0.5 rho (V_slipstream² - V²).
    const double slipstream = std::sqrt(2.0 * (disk_loading + q) / flight.air.density);
    return {disk_loading, "thrust per disk area", slipstream, false};
  }
  return {q, "q", flight.true_airspeed, true};
}

double decayed_intensity(const FlightSpec& flight, double distance) {
  constexpr double beta_star = 0.09;
  constexpr double beta = 0.0828;
  const double V = flight.true_airspeed;
  const double k = 1.5 * std::pow(flight.turbulence_intensity * V, 2);
  const double nu = base::dynamic_viscosity(flight.air.temperature) / flight.air.density;
  const double omega = k / (flight.eddy_viscosity_ratio * nu);
  const double share = std::pow(1.0 + beta * omega * distance / V, -beta_star / beta);
  return flight.turbulence_intensity * std::sqrt(share);
}

base::Vec3 wind(const FlightSpec& flight) {
  return flight.true_airspeed * base::wind_direction(flight.incidence, flight.sideslip);
}

}  // namespace cowlwright::flight
