// SPDX-License-Identifier: GPL-3.0-or-later
//
// An invented flight as a logger would write it: four minutes of climb, then cruise at 5000 ft in which the
// heads settle with a time constant of 60 s, a step of power, cruise again. Every value is known.
#pragma once

#include "cases/readings/flight_log.h"

#include <fmt/format.h>

#include <cmath>
#include <functional>
#include <string>
#include <vector>

namespace cowlwright::readings::testing_support {

struct Moment {
  double time;
  double altitude, speed, shaft, fuel, outside;  // ft, kt, rpm, gal/h, degF
  std::vector<double> heads;                     // degF, sensors 1 to 4
  double oil, deck;                              // degF, inH2O
};

/// Rises from one level to another with a time constant of 60 s from `start` on.
inline double settle(double time, double start, double from, double to) {
  return time < start ? from : to + (from - to) * std::exp(-(time - start) / 60.0);
}

inline Moment moment(double time) {
  const double climb_end = 240.0;
  const double step = 1200.0;
  Moment m{.time = time,
           .altitude = 5000.0 - 10.0 * std::max(0.0, climb_end - time),
           .speed = time < climb_end ? 80.0
                    : time < step    ? 105.0
                                     : 120.0,
           .shaft = time < climb_end ? 2600.0
                    : time < step    ? 2400.0
                                     : 2600.0,
           .fuel = time < climb_end ? 10.0
                   : time < step    ? 7.0
                                    : 9.0,
           .outside = 50.0,
           .heads = {},
           .oil = 190.0 + 0.2 * std::fmod(time, 2.0),  // it breathes, so that it is not stuck
           .deck = time < step ? 6.0 : 7.5};
  for (int i = 0; i < 4; ++i) {
    const double cruise = 340.0 + 10.0 * i;
    m.heads.push_back(time < step ? settle(time, climb_end, cruise + 60.0, cruise)
                                  : settle(time, step, cruise, cruise + 30.0));
  }
  return m;
}

/// The same every run, evenly over -1 to 1.
class Noise {
 public:
  double next() {
    state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
    return static_cast<double>(state_ >> 11) / 4503599627370496.0 - 1.0;
  }

 private:
  unsigned long long state_ = 42;
};

inline const std::string header = "Time,Alt,IAS,RPM,FF,OAT,CHT1,CHT2,CHT3,CHT4,Oil,Deck";

/// Text of a log of one sample a second; `change` may spoil a line before it is written, by its time.
inline std::string log_text(
    double seconds = 2100.0, double noise = 0.5, const std::function<void(Moment&)>& change = [](Moment&) {
    }) {
  std::string text = header + "\n";
  Noise random;
  for (double time = 0.0; time < seconds; time += 1.0) {
    Moment m = moment(time);
    for (double& head : m.heads) head += noise * random.next();
    m.speed += noise * random.next();
    change(m);
    text += fmt::format("{},{:.1f},{:.2f},{:.0f},{:.2f},{:.1f},{:.2f},{:.2f},{:.2f},{:.2f},{:.1f},{:.3f}\n",
                        m.time,
                        m.altitude,
                        m.speed,
                        m.shaft,
                        m.fuel,
                        m.outside,
                        m.heads[0],
                        m.heads[1],
                        m.heads[2],
                        m.heads[3],
                        m.oil,
                        m.deck);
  }
  return text;
}

inline const std::string map_text = R"toml([log]
file = "flight.csv"
name = "climb and cruise, invented"
instrument = "engine monitor, checked in boiling water"
engine_cylinders = 4
cylinders = ["r1", "l1", "r2", "l2"]

[columns]
time = "Time"
pressure_altitude = "Alt"
indicated_airspeed = "IAS"
rotational_speed = "RPM"
fuel_volume_flow = "FF"
outside_temperature = "OAT"
head_bottom = ["CHT1", "CHT2", "CHT3", "CHT4"]
oil_hot = "Oil"
deck_pressure_difference = "Deck"

[units]
time = "s"
pressure_altitude = "ft"
indicated_airspeed = "kt"
rotational_speed = "rpm"
fuel_volume_flow = "gal/h"
outside_temperature = "degF"
head_bottom = "degF"
oil_hot = "degF"
deck_pressure_difference = "inH2O"

[engine]
specific_consumption = "0.44 lb/(hp h)"
fuel_density = "6 lb/gal"
)toml";

/// The map with one piece of text replaced.
inline std::string map_with(const std::string& from, const std::string& to) {
  std::string text = map_text;
  const auto at = text.find(from);
  if (at == std::string::npos) throw std::logic_error("not in the map: " + from);
  return text.replace(at, from.size(), to);
}

inline LogMap map() {
  return parse_log_map(map_text, "map.toml");
}

}  // namespace cowlwright::readings::testing_support
