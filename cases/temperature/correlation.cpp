// SPDX-License-Identifier: GPL-3.0-or-later
//
// The correlation, its constant and the band about what it says.
#include "cases/temperature/correlation.h"

#include "geometry/base/error.h"
#include "geometry/base/units.h"

#include <boost/math/distributions/students_t.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <set>

namespace cowlwright::temperature {

namespace {

constexpr double confidence = 0.95;
// How far ln K of a cylinder may be from the only one that was read: chosen, no source.
constexpr double other_cylinder_half_band = 0.2;

/// Half width of a prediction from n values with this standard deviation on that many degrees of freedom.
double prediction_half_band(double deviation, double n, double degrees_of_freedom) {
  const boost::math::students_t distribution(degrees_of_freedom);
  return boost::math::quantile(distribution, 0.5 * (1.0 + confidence)) * deviation * std::sqrt(1.0 + 1.0 / n);
}

struct Sample {
  double n = 0.0;
  double mean = 0.0;
  double squares = 0.0;  ///< sum of squared deviations from the mean
};

Sample sample(std::span<const double> values) {
  Sample s;
  for (const double value : values) {
    s.n += 1.0;
    const double step = value - s.mean;
    s.mean += step / s.n;
    s.squares += step * (value - s.mean);
  }
  return s;
}

/// Root of the sum of squares, downward and upward apart.
class BandSum {
 public:
  explicit BandSum(double value) : value_(value) {}
  void add(double one, double other) {
    const double low = std::min({one - value_, other - value_, 0.0});
    const double high = std::max({one - value_, other - value_, 0.0});
    below_ += low * low;
    above_ += high * high;
  }
  double low() const { return value_ - std::sqrt(below_); }
  double high() const { return value_ + std::sqrt(above_); }

 private:
  double value_;
  double below_ = 0.0;
  double above_ = 0.0;
};

/// The correlation's numbers with one of them off by its band.
std::vector<std::pair<Numbers, Numbers>> disturbed_numbers(const Correlation& c) {
  const Numbers n = numbers(c);
  std::vector<std::pair<Numbers, Numbers>> pairs(4, {n, n});
  pairs[0].first.gas_temperature -= c.gas_temperature.half_band;
  pairs[0].second.gas_temperature += c.gas_temperature.half_band;
  pairs[1].first.charge_exponent -= c.charge_exponent.half_band;
  pairs[1].second.charge_exponent += c.charge_exponent.half_band;
  pairs[2].first.cooling_exponent -= c.cooling_exponent.half_band;
  pairs[2].second.cooling_exponent += c.cooling_exponent.half_band;
  pairs[3].first.charge_heating -= c.charge_heating.half_band;
  pairs[3].second.charge_heating += c.charge_heating.half_band;
  return pairs;
}

std::string listed(const std::set<std::string>& names) {
  std::string text;
  for (const std::string& name : names) text += (text.empty() ? "" : ", ") + name;
  return text;
}

}  // namespace

Numbers numbers(const Correlation& correlation) {
  return {correlation.gas_temperature.value,
          correlation.charge_exponent.value,
          correlation.cooling_exponent.value,
          correlation.charge_heating.value};
}

double gas_temperature(const Numbers& numbers, const CylinderCondition& condition) {
  return numbers.gas_temperature +
         numbers.charge_heating * (condition.carburettor_temperature - reference_carburettor_temperature);
}

double log_constant(const Numbers& numbers, const CylinderCondition& condition, double temperature) {
  const double gas = gas_temperature(numbers, condition);
  return std::log((temperature - condition.air_temperature) / (gas - temperature)) -
         numbers.charge_exponent * std::log(condition.charge_flow) +
         numbers.cooling_exponent * std::log(condition.cooling_pressure);
}

double site_temperature(const Numbers& numbers, const CylinderCondition& condition, double log_constant) {
  const double x = std::exp(log_constant + numbers.charge_exponent * std::log(condition.charge_flow) -
                            numbers.cooling_exponent * std::log(condition.cooling_pressure));
  return (condition.air_temperature + x * gas_temperature(numbers, condition)) / (1.0 + x);
}

Calibration::Calibration(Site site, const Correlation& correlation, std::vector<Observation> observations)
    : correlation_(correlation), observations_(std::move(observations)) {
  assert(!observations_.empty());
  std::set<std::string> names;
  for (const Observation& o : observations_) {
    names.insert(o.reading);
    const double gas = gas_temperature(numbers(correlation_), o.condition.front());
    const double reserve = correlation_.gas_temperature.half_band + o.half_band;
    if (!(o.temperature - o.half_band > o.condition.front().air_temperature &&
          o.temperature + reserve < gas)) {
      throw base::InputError(
          fmt::format("[{}] {}: {:.4g} degC: must lie between the cooling air ({:.4g} degC) and the gas "
                      "({:.4g} degC), by "
                      "more than its own band and the gas temperature's. Check the reading and its unit.",
                      o.reading,
                      site_key(site),
                      base::celsius(o.temperature),
                      base::celsius(o.condition.front().air_temperature),
                      base::celsius(gas)));
    }
  }
  origin_ = fmt::format(
      "{} temperature{} of {}", observations_.size(), observations_.size() == 1 ? "" : "s", listed(names));
}

Calibration::Calibration(Site site,
                         const Correlation& correlation,
                         const CylinderCondition& required,
                         double limit)
    : correlation_(correlation), required_(required), limit_(limit) {
  const double gas = gas_temperature(numbers(correlation_), required_);
  if (!(limit - required_point_reserve > required_.air_temperature &&
        limit + correlation_.gas_temperature.half_band < gas)) {
    throw base::InputError(
        fmt::format("[limits] {} = {:.4g} degC: must be at least {:.4g} K above the hot day's cooling air "
                    "({:.4g} degC) and "
                    "below the gas ({:.4g} degC) by more than its band. Check the limit.",
                    site_key(site),
                    base::celsius(limit),
                    required_point_reserve,
                    base::celsius(required_.air_temperature),
                    base::celsius(gas)));
  }
  origin_ = fmt::format(
      "no readings: assumed that the engine maker's required point (sigma*dp {:.4g} Pa at rated power, hot "
      "day "
      "at sea level) leaves this site between its limit and {:.3g} K below it; chosen, no source",
      required_.cooling_pressure,
      required_point_reserve);
}

bool Calibration::has_reading_of(std::size_t cylinder) const {
  return std::any_of(observations_.begin(), observations_.end(), [cylinder](const Observation& o) {
    return o.cylinder == cylinder;
  });
}

Calibration::Fit Calibration::fit(const Numbers& n, std::size_t cylinder, std::size_t network) const {
  std::size_t n_cylinders = cylinder + 1;
  for (const Observation& o : observations_) n_cylinders = std::max(n_cylinders, o.cylinder + 1);
  std::vector<std::vector<double>> by_cylinder(n_cylinders);
  for (const Observation& o : observations_) {
    by_cylinder[o.cylinder].push_back(log_constant(n, o.condition[network], o.temperature));
  }
  std::vector<double> means;
  double squares = 0.0;
  double freedom = 0.0;
  for (const std::vector<double>& values : by_cylinder) {
    if (values.empty()) continue;
    const Sample s = sample(values);
    means.push_back(s.mean);
    squares += s.squares;
    freedom += s.n - 1.0;
  }
  const double deviation = freedom > 0.0 ? std::sqrt(squares / freedom) : 0.0;
  if (!by_cylinder[cylinder].empty()) {
    const Sample own = sample(by_cylinder[cylinder]);
    return {own.mean, freedom > 0.0 ? prediction_half_band(deviation, own.n, freedom) : 0.0};
  }
  const Sample all = sample(means);
  const double spread = all.n > 1.0
                            ? prediction_half_band(std::sqrt(all.squares / (all.n - 1.0)), all.n, all.n - 1.0)
                            : other_cylinder_half_band;
  return {all.mean, std::hypot(spread, freedom > 0.0 ? prediction_half_band(deviation, 1.0, freedom) : 0.0)};
}

double Calibration::predicted(const Numbers& n,
                              std::size_t cylinder,
                              std::span<const CylinderCondition> condition,
                              std::size_t network,
                              double shift) const {
  return site_temperature(n, condition[network], fit(n, cylinder, network).log_constant + shift);
}

double Calibration::reading_log_band(std::size_t cylinder) const {
  // One instrument is off alike in all its readings, so their number does not make this smaller.
  const Numbers n = numbers(correlation_);
  double widest = 0.0;
  for (const Observation& o : observations_) {
    if (has_reading_of(cylinder) && o.cylinder != cylinder) continue;
    const double middle = log_constant(n, o.condition.front(), o.temperature);
    for (const double sign : {-1.0, 1.0}) {
      const double off = log_constant(n, o.condition.front(), o.temperature + sign * o.half_band);
      widest = std::max(widest, std::abs(off - middle));
    }
  }
  return widest;
}

double Calibration::constant(std::size_t cylinder) const {
  const Numbers n = numbers(correlation_);
  if (rests_on_readings()) return std::exp(fit(n, cylinder, 0).log_constant);
  return std::exp(0.5 * (log_constant(n, required_, limit_) +
                         log_constant(n, required_, limit_ - required_point_reserve)));
}

double Calibration::scatter() const {
  return rests_on_readings() ? fit(numbers(correlation_), observations_.front().cylinder, 0).half_band : 0.0;
}

double Calibration::bound_from_requirement(const Numbers& n,
                                           const CylinderCondition& condition,
                                           double temperature) const {
  return site_temperature(n, condition, log_constant(n, required_, temperature));
}

Estimate Calibration::at(std::size_t cylinder, std::span<const CylinderCondition> condition) const {
  assert(!condition.empty());
  const Numbers n = numbers(correlation_);
  if (!rests_on_readings()) {
    Estimate estimate{std::nullopt, 0.0, 0.0};
    const std::array<double, 2> ends{limit_ - required_point_reserve, limit_};
    for (std::size_t end = 0; end < 2; ++end) {
      BandSum band(bound_from_requirement(n, condition.front(), ends[end]));
      for (const auto& [one, other] : disturbed_numbers(correlation_)) {
        band.add(bound_from_requirement(one, condition.front(), ends[end]),
                 bound_from_requirement(other, condition.front(), ends[end]));
      }
      const double middle = bound_from_requirement(n, condition.front(), ends[end]);
      for (std::size_t k = 1; k < condition.size(); ++k) {
        const double off = bound_from_requirement(n, condition[k], ends[end]);
        band.add(off, 2.0 * middle - off);
      }
      (end == 0 ? estimate.low : estimate.high) = end == 0 ? band.low() : band.high();
    }
    return estimate;
  }
  const Fit known = fit(n, cylinder, 0);
  const double value = site_temperature(n, condition.front(), known.log_constant);
  BandSum band(value);
  for (const auto& [one, other] : disturbed_numbers(correlation_)) {
    band.add(predicted(one, cylinder, condition, 0, 0.0), predicted(other, cylinder, condition, 0, 0.0));
  }
  const double reading = reading_log_band(cylinder);
  for (const double shift : {reading, known.half_band}) {
    band.add(predicted(n, cylinder, condition, 0, -shift), predicted(n, cylinder, condition, 0, shift));
  }
  for (std::size_t k = 1; k < condition.size(); ++k) {
    const double off = predicted(n, cylinder, condition, k, 0.0);
    band.add(off, 2.0 * value - off);
  }
  return {value, band.low(), band.high()};
}

}  // namespace cowlwright::temperature
