// SPDX-License-Identifier: GPL-3.0-or-later
//
// The cooler's effectiveness and the band about the oil's temperature.
#include "cases/temperature/oil.h"

#include "geometry/base/air.h"

#include <algorithm>
#include <cmath>

namespace cowlwright::temperature {

namespace {

struct Scale {
  double mean = 1.0;       ///< of measured over stated rise of the oil over the air
  double half_band = 0.0;  ///< relative
};

Scale heat_scale(const CoolerPoint& point, std::span<const OilObservation> observations, double exponent) {
  if (observations.empty()) return {1.0, oil_heat_half_band};
  double sum = 0.0;
  double low = INFINITY;
  double high = -INFINITY;
  double reading = 0.0;
  for (const OilObservation& o : observations) {
    const double rise = o.temperature - o.condition.air_temperature;
    const double scale = rise * cooler_conductance(point, o.condition.air_flow, exponent) / o.condition.heat;
    sum += scale;
    low = std::min(low, scale);
    high = std::max(high, scale);
    reading = std::max(reading, o.half_band / rise);
  }
  const double mean = sum / static_cast<double>(observations.size());
  return {mean, std::hypot(0.5 * (high - low) / mean, reading)};
}

double rise(const CoolerPoint& point, const OilCondition& condition, double scale, double exponent) {
  return scale * condition.heat / cooler_conductance(point, condition.air_flow, exponent);
}

}  // namespace

double greatest_heat(const CoolerPoint& point) {
  return base::air::specific_heat * point.air_flow * point.temperature_difference;
}

double cooler_conductance(const CoolerPoint& point, double air_flow, double exponent) {
  const double effectiveness = point.heat / greatest_heat(point);
  const double transfer_units =
      -std::log1p(-effectiveness) * std::pow(air_flow / point.air_flow, exponent - 1.0);
  return -base::air::specific_heat * air_flow * std::expm1(-transfer_units);
}

Estimate oil_temperature(const CoolerPoint& point,
                         std::span<const OilObservation> observations,
                         const OilCondition& condition) {
  const Scale scale = heat_scale(point, observations, cooler_exponent);
  const double middle = rise(point, condition, scale.mean, cooler_exponent);
  double off = scale.half_band * middle;
  for (const double sign : {-1.0, 1.0}) {
    const double exponent = cooler_exponent + sign * cooler_exponent_half_band;
    const double there = rise(point, condition, heat_scale(point, observations, exponent).mean, exponent);
    off = std::hypot(off, 0.7071 * (there - middle));  // mean square of the two sides
  }
  const double value = condition.air_temperature + middle;
  return {observations.empty() ? std::nullopt : std::optional(value), value - off, value + off};
}

Estimate cooled_oil_temperature(const Estimate& hot, const OilCondition& condition, double oil_flow) {
  const auto drop = [&](double specific_heat) { return condition.heat / (oil_flow * specific_heat); };
  const double middle = drop(oil_specific_heat);
  const double off =
      std::hypot(drop(oil_specific_heat - oil_specific_heat_half_band) - middle, oil_heat_half_band * middle);
  const double hot_middle = hot.value.value_or(0.5 * (hot.low + hot.high));
  const double value = hot_middle - middle;
  Estimate cooled;
  if (hot.value) cooled.value = value;
  cooled.low = value - std::hypot(off, hot_middle - hot.low);
  cooled.high = value + std::hypot(off, hot.high - hot_middle);
  return cooled;
}

}  // namespace cowlwright::temperature
