// SPDX-License-Identifier: GPL-3.0-or-later
//
// How airworthiness rules carry a measured temperature to a hot day.
#pragma once

#include <string_view>

namespace cowlwright::temperature {

/// Which rule's hot day.
enum class HotDay {
  Part23,  ///< 14 CFR 23.1043 (2014 text): 100 degF at sea level, 3.6 degF less per 1000 ft, not below -69.7
           ///< degF
  Cs22     ///< CS 22.1047: 38 degC at sea level, 6.5 degC less per 1000 m
};

std::string_view hot_day_source(HotDay rule);

/// Outside temperature [K] of the rule's hot day at an altitude [m].
double hot_day_temperature(HotDay rule, double altitude);

enum class Part { Barrel, Other };

/// Measured temperature [K] carried from the day of the measurement to a hot one (outside temperatures [K]):
/// by the whole difference, by 0.7 of it for cylinder barrels.
/// Source: 14 CFR 23.1043 (2014 text), the same in 25.1043 and 27.1043; CS 22.1047.
double corrected_temperature(double measured, double measured_outside, double hot_outside, Part part);

}  // namespace cowlwright::temperature
