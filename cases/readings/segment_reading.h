// SPDX-License-Identifier: GPL-3.0-or-later
//
// What was measured in a stretch of a log.
#pragma once

#include "cases/readings/segments.h"

namespace cowlwright::readings {

/// Means over the rows [first, last): air, airspeed, power, temperatures, deck pressures.
Segment segment_of(const LogMap& map, const FlightLog& log, std::size_t first, std::size_t last);

enum class SegmentVerdict { Flight, OnGround, EngineAtRest, NothingMeasured };
SegmentVerdict judge(const Segment& segment);

/// Pressure altitude [m] of an altimeter set to this pressure [Pa] that shows this altitude [m]. Source: ISO
/// 2533, by which altimeters are scaled: the setting shifts the scale by the altitude that belongs to it.
double pressure_altitude_of(double indicated, double setting);

/// Shaft power [W] from fuel flow [kg/s] and specific consumption [kg/J].
double power_from_fuel(double fuel_flow, double specific_consumption);

}  // namespace cowlwright::readings
