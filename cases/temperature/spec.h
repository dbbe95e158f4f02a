// SPDX-License-Identifier: GPL-3.0-or-later
//
// What temperatures are reckoned with: limits, fuel, the correlation's constants, the oil cooler's stated
// point, and which corners of the envelope are asked for.
#pragma once

#include "cases/temperature/regulation.h"
#include "geometry/base/study_file.h"

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::temperature {

/// Where a temperature is taken. Bottom of the head and under the plug are two sites of one head, each with a
/// limit and a calibration of its own; they are never mixed.
enum class Site { HeadBottom, UnderPlug, Barrel };
inline constexpr std::array sites{Site::HeadBottom, Site::UnderPlug, Site::Barrel};
inline constexpr std::size_t n_sites = sites.size();
constexpr std::size_t index(Site site) {
  return static_cast<std::size_t>(site);
}

std::string_view site_key(Site site);   ///< "head_bottom"
std::string_view site_name(Site site);  ///< "head, bottom"

/// A number, how far it may be off and where it comes from.
struct Constant {
  double value = 0.0;
  double half_band = 0.0;  ///< same unit, >= 0
  std::string source;
};

/// (T - T_a) / (T_g - T) = K W_c^n / (sigma dp)^m. Source: Pinkel, NACA TR 612, and Pinkel and Ellerbrock,
/// NACA TR 683 (form and constants from memory); exponents agree with the flights of NACA TN 584 (1936).
struct Correlation {
  Constant gas_temperature;   ///< T_g at the reference carburettor temperature [K]
  Constant charge_exponent;   ///< n
  Constant cooling_exponent;  ///< m
  Constant charge_heating;    ///< rise of T_g per rise of the carburettor's air [-]
};
inline constexpr double reference_carburettor_temperature = 299.816667;  ///< 80 degF [K]

Correlation default_correlation(Site site);

struct FuelSpec {
  std::optional<double> fuel_flow;             ///< at the study's shaft power [kg/s]
  std::optional<double> specific_consumption;  ///< per shaft work [kg/J]
  double density = 719.0;                      ///< [kg/m³]
  bool density_is_stated = false;
  double fuel_air_ratio = 0.08;  ///< by mass
  bool fuel_air_ratio_is_stated = false;
  std::optional<double> carburettor_temperature;  ///< absent: that outside [K]
};

/// The oil cooler at one point, from its maker or a bench.
struct CoolerPoint {
  double heat = 0.0;                    ///< from the oil to the air [W]
  double air_flow = 0.0;                ///< [kg/s]
  double temperature_difference = 0.0;  ///< oil that enters less air that enters [K]
};

struct PowerSetting {
  std::string name;
  double shaft_power = 0.0;         ///< [W]
  double rotational_speed = 0.0;    ///< [rad/s]
  std::optional<double> fuel_flow;  ///< [kg/s]; absent: the specific consumption of [fuel]
};

enum class DayKind { Standard, Hot, Stated };

struct Day {
  DayKind kind = DayKind::Standard;
  double temperature = 0.0;  ///< outside, at every altitude; of a stated one [K]
  std::string name;          ///< "standard day", "hot day", "95 degF"
};

/// How temperatures of another day follow from a standard one.
enum class Method { Model, Regulation };

struct EnvelopeSpec {
  bool present = false;
  bool speeds_are_calibrated = false;
  std::vector<double> airspeeds;   ///< [m/s], rising
  std::vector<double> incidences;  ///< one for each airspeed; empty: the study's [rad]
  std::vector<double> altitudes;   ///< pressure altitudes [m], rising
  std::vector<Day> days;
  std::vector<PowerSetting> powers;
  std::optional<double> stall_speed;  ///< calibrated [m/s]
  Method method = Method::Model;
  HotDay hot_day = HotDay::Part23;
};

struct TemperatureSpec {
  std::array<std::optional<double>, n_sites> limits;  ///< [K]
  std::optional<double> oil_limit;                    ///< [K]
  FuelSpec fuel;
  std::array<Correlation, n_sites> correlations;
  /// What the engine maker asks for at `rated_power`: without readings the band rests on it.
  std::optional<double> rated_power;             ///< [W]
  std::optional<double> required_pressure_drop;  ///< sigma*dp of one cylinder [Pa]
  std::optional<CoolerPoint> cooler;
  std::optional<double> oil_flow;  ///< through the cooler [kg/s]
  EnvelopeSpec envelope;

  bool has_limit() const;
};

/// What a reader of the sections has to know of the study.
struct StudyPoint {
  double shaft_power = 0.0;       ///< [W]
  double rotational_speed = 0.0;  ///< [rad/s]
};

/// Reads [limits], [fuel], [temperatures] and [envelope]; all of it may be absent. Complains of values that
/// contradict each other.
TemperatureSpec read_temperature_spec(const base::StudyFile& file,
                                      const base::Variant& variant,
                                      const StudyPoint& study,
                                      base::Complaints& complaints);

/// Fuel flow at a shaft power [kg/s]; nothing when neither it nor the consumption is stated.
/// @param study_power  at which `fuel_flow` is stated [W].
std::optional<double> fuel_flow_at(const FuelSpec& fuel, double study_power, double shaft_power);

}  // namespace cowlwright::temperature
