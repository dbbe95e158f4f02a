// SPDX-License-Identifier: GPL-3.0-or-later
//
// What in a log is no measurement: values no engine has, a unit that is another than stated, sensors that
// rest while the others move, spikes, gaps.
#pragma once

#include "cases/readings/flight_log.h"

#include <cstddef>
#include <vector>

namespace cowlwright::readings {

/// The same log with refused values set to NaN and a finding for each refusal.
///
/// @throws InputError  naming every column whose values say that its unit is another than stated.
///
/// The limits are in KindFacts, SteadySpec and here; they are chosen, no source.
FlightLog screen(const LogMap& map, FlightLog log);

/// Rows behind which time jumps by more than 5 s and 5 times the usual step.
std::vector<std::size_t> gaps(const FlightLog& log);

/// The usual step [s]: the median.
double usual_step(const FlightLog& log);

/// Of the finite values; NaN when there is none.
double median(std::vector<double> values);

}  // namespace cowlwright::readings
