// SPDX-License-Identifier: GPL-3.0-or-later
//
// The correlation of one site of one cylinder, solved for the temperature and for its constant, and what is
// known of the constant: from readings, or from what the engine maker asks for.
#pragma once

#include "cases/temperature/spec.h"

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace cowlwright::temperature {

/// One cylinder at one condition, as the correlation sees it.
struct CylinderCondition {
  double charge_flow = 0.0;              ///< W_c, air of the charge [kg/s], > 0
  double cooling_pressure = 0.0;         ///< sigma*dp [Pa], > 0
  double air_temperature = 0.0;          ///< T_a, cooling air that enters [K]
  double carburettor_temperature = 0.0;  ///< [K]
};

/// The correlation's numbers at work.
struct Numbers {
  double gas_temperature = 0.0;
  double charge_exponent = 0.0;
  double cooling_exponent = 0.0;
  double charge_heating = 0.0;
};
Numbers numbers(const Correlation& correlation);

/// T_g of this condition [K].
double gas_temperature(const Numbers& numbers, const CylinderCondition& condition);

/// ln K from a temperature [K]. NaN when it does not lie between those of air and gas.
double log_constant(const Numbers& numbers, const CylinderCondition& condition, double temperature);

/// T = (T_a + X T_g) / (1 + X), X = K W_c^n / (sigma dp)^m [K].
double site_temperature(const Numbers& numbers, const CylinderCondition& condition, double log_constant);

/// One temperature that was read.
struct Observation {
  std::string reading;                       ///< "reading_1"
  std::size_t cylinder = 0;                  ///< in the order of core::cylinder_names()
  double temperature = 0.0;                  ///< [K]
  double half_band = 0.0;                    ///< [K]
  std::vector<CylinderCondition> condition;  ///< first as the network has it, then with each of its
                                             ///< coefficients off by its band
};

/// A temperature [K]. Without readings there is a band and no value.
struct Estimate {
  std::optional<double> value;
  double low = 0.0;
  double high = 0.0;
};

/// Half band of one thermocouple and its gauge [K]: chosen, no source.
inline constexpr double reading_half_band = 5.0;
/// How far below its limit the site may lie at the engine maker's point [K]: chosen, no source.
inline constexpr double required_point_reserve = 60.0;

/// What is known of K at one site.
class Calibration {
 public:
  /// From readings: mean of ln K per cylinder; for a cylinder without one, mean of all, with their spread.
  /// @throws InputError  when a temperature does not lie between those of air and gas; names the reading.
  Calibration(Site site, const Correlation& correlation, std::vector<Observation> observations);

  /// From the engine maker's required point: there, the site lies at `limit` or up to required_point_reserve
  /// below it. Gives bands only.
  /// @throws InputError  when the limit does not lie between those of air and gas, reserve included.
  Calibration(Site site, const Correlation& correlation, const CylinderCondition& required, double limit);

  bool rests_on_readings() const { return !observations_.empty(); }
  bool has_reading_of(std::size_t cylinder) const;
  std::size_t n_observations() const { return observations_.size(); }

  /// K in SI (W_c in kg/s, sigma*dp in Pa): of one cylinder, or of the middle of the band.
  double constant(std::size_t cylinder) const;
  /// Half band of ln K from scatter, for several readings; 0 where there is no telling.
  double scatter() const;

  /// @param condition  as Observation::condition, equally long.
  Estimate at(std::size_t cylinder, std::span<const CylinderCondition> condition) const;

  /// One line: where K comes from.
  const std::string& origin() const { return origin_; }

 private:
  struct Fit {
    double log_constant = 0.0;
    double half_band = 0.0;  ///< of scatter or spread
  };
  Fit fit(const Numbers& numbers, std::size_t cylinder, std::size_t network) const;
  double predicted(const Numbers& numbers,
                   std::size_t cylinder,
                   std::span<const CylinderCondition> condition,
                   std::size_t network,
                   double shift) const;
  double bound_from_requirement(const Numbers& numbers,
                                const CylinderCondition& condition,
                                double temperature) const;
  double reading_log_band(std::size_t cylinder) const;

  Correlation correlation_;
  std::vector<Observation> observations_;
  CylinderCondition required_;
  double limit_ = 0.0;
  std::string origin_;
};

}  // namespace cowlwright::temperature
