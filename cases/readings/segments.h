// SPDX-License-Identifier: GPL-3.0-or-later
//
// Steady segments of a screened log, and the reading that each one is.
#pragma once

#include "cases/readings/flight_log.h"
#include "cases/readings/reading.h"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace cowlwright::readings {

/// A straight line through samples by least squares.
struct Trend {
  std::size_t n = 0;
  double mean = 0.0;
  double scatter = 0.0;      ///< standard deviation about the mean
  double slope = 0.0;        ///< [1/s]
  double slope_error = 0.0;  ///< standard error of the slope, samples taken as independent [1/s]
};

/// NaN values are left out. With fewer than 3 left, or all at one time, the slope's error is infinite.
Trend trend(std::span<const double> time, std::span<const double> value);

struct Segment {
  std::size_t first = 0, last = 0;    ///< rows of the log, the last one not in it
  double begin = 0.0, end = 0.0;      ///< [s]
  std::vector<Trend> channels{};        ///< as the log's; n = 0 where too few samples are left
  Reading reading{};                    ///< named "reading_1" ... once chosen, else empty
  double pressure_altitude = 0.0;     ///< [m]
  double density_altitude = 0.0;      ///< [m]
  double dynamic_pressure = 0.0;      ///< [Pa]
  std::vector<std::string> left_out{};  ///< sensors with too few samples here
};

struct Segments {
  std::vector<Segment> found;         ///< in order of time
  std::vector<std::string> findings;  ///< what was left out and why; when nothing is found, what came nearest
};

/// Stretches of at least the stated length in which every mapped temperature of the engine changes by less
/// than the stated rate (slope by least squares over each window of that length, twice its error below the
/// rate), and airspeed, rotational speed and altitude stay within the stated half swings. Segments on the
/// ground (below 20 m/s) or with the engine at rest are left out.
Segments steady_segments(const LogMap& map, const FlightLog& log);

/// At most nine that differ most in airspeed, power and density altitude, each over its range; the longest
/// one first of all. Names their readings in order of time. Returns how many there were.
std::size_t choose_readings(Segments& segments);

}  // namespace cowlwright::readings
