// SPDX-License-Identifier: GPL-3.0-or-later
//
// The rules' numbers.
#include "cases/temperature/regulation.h"

#include <algorithm>

namespace cowlwright::temperature {

namespace {

double degrees_f(double value) {
  return (value + 459.67) / 1.8;
}

constexpr double thousand_feet = 304.8;
constexpr double barrel_factor = 0.7;

}  // namespace

std::string_view hot_day_source(HotDay rule) {
  return rule == HotDay::Part23
             ? "14 CFR 23.1043 (2014 text): 100 degF at sea level, 3.6 degF less per 1000 ft"
             : "CS 22.1047: 38 degC at sea level, 6.5 degC less per 1000 m";
}

double hot_day_temperature(HotDay rule, double altitude) {
  if (rule == HotDay::Cs22) return 38.0 + 273.15 - 6.5 * altitude / 1000.0;
  return std::max(degrees_f(100.0 - 3.6 * altitude / thousand_feet), degrees_f(-69.7));
}

double corrected_temperature(double measured, double measured_outside, double hot_outside, Part part) {
  const double factor = part == Part::Barrel ? barrel_factor : 1.0;
  return measured + factor * (hot_outside - measured_outside);
}

}  // namespace cowlwright::temperature
