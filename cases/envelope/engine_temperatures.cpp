// SPDX-License-Identifier: GPL-3.0-or-later
//
// From the network's flows to temperatures: calibration at the readings, prediction anywhere.
#include "cases/envelope/engine_temperatures.h"

#include "cases/network/with_readings.h"
#include "geometry/base/air.h"
#include "geometry/base/error.h"
#include "geometry/base/units.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace cowlwright::envelope {

namespace {

using base::Dimension;
using temperature::CylinderCondition;
using temperature::Observation;

// Within this of the readings' range nothing counts as extrapolated: chosen, no source.
constexpr double near_share = 0.10;
constexpr double near_degrees = 10.0;  // K

const readings::PerCylinder& values_of(const readings::Reading& reading, Site site) {
  if (site == Site::HeadBottom) return reading.head_bottom;
  return site == Site::UnderPlug ? reading.under_plug : reading.barrel;
}

std::size_t n_cylinders(const VariantSpec& spec) {
  return static_cast<std::size_t>(spec.shape.engine.n_cylinders);
}

double mean(const std::vector<double>& values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

std::optional<std::size_t> cooler_index(const network::Model& model) {
  const auto& passages = model.coefficients().passages;
  const auto found = std::find_if(passages.begin(), passages.end(), [](const auto& passage) {
    return passage.kind == base::PassageKind::Cooler;
  });
  if (found == passages.end()) return std::nullopt;
  return static_cast<std::size_t>(found - passages.begin());
}

std::vector<double> cooling_pressures(const network::Model& model,
                                      const network::State& state,
                                      std::size_t n) {
  std::vector<double> found;
  for (std::size_t i = 0; i < n; ++i) {
    found.push_back(cooling_pressure(
        model.coefficients().passages[i], state.passages[i].mass_flow, state.inlet_temperature));
  }
  return found;
}

std::string constant_line(std::string_view what, const temperature::Constant& c, std::string_view unit) {
  return fmt::format("{} {:.4g}{} ± {:.2g}: {}", what, c.value, unit, c.half_band, c.source);
}

}  // namespace

double cooling_pressure(const network::PassageCoefficients& passage, double mass_flow, double temperature) {
  const double flux = mass_flow / passage.area;
  return (passage.viscous * base::dynamic_viscosity(temperature) * flux + passage.inertial * flux * flux) /
         base::air::sea_level_density;
}

Margin margin(double limit, const Estimate& estimate) {
  Margin m;
  if (estimate.value) m.value = limit - *estimate.value;
  m.low = limit - estimate.high;
  m.high = limit - estimate.low;
  return m;
}

std::size_t SiteTemperatures::hottest() const {
  // Of cylinders that are as hot within rounding, the one that may be hottest.
  constexpr double alike = 0.01;  // K
  const auto is_cooler = [](const Estimate& a, const Estimate& b) {
    const double difference = b.value.value_or(b.high) - a.value.value_or(a.high);
    return std::abs(difference) > alike ? difference > 0.0 : a.high < b.high;
  };
  return static_cast<std::size_t>(std::max_element(cylinders.begin(), cylinders.end(), is_cooler) -
                                  cylinders.begin());
}

std::optional<Margin> SiteTemperatures::smallest_margin() const {
  if (!is_shown() || !limit) return std::nullopt;
  return envelope::margin(*limit, cylinders[hottest()]);
}

std::optional<Margin> OilTemperatures::margin() const {
  if (!hot || !limit) return std::nullopt;
  return envelope::margin(*limit, *hot);
}

const std::vector<std::string>& cautions() {
  static const std::vector<std::string> lines{
      "An estimate, not an approval: instrument the engine and flight-test.",
      "The engine maker's limits, local rules and licensed people decide.",
      "Bottom of the head and under the plug are two places of one head; a limit holds for its own place "
      "only."};
  return lines;
}

EngineTemperatures::EngineTemperatures(const DisturbedModel& baseline) : spec_(baseline.model().spec()) {
  n_readings_ = spec_.readings.size();
  double consumption = 0.0;
  double n = 0.0;
  for (const readings::Reading& reading : spec_.readings) {
    if (!reading.fuel_flow || !(reading.shaft_power > 0.0)) continue;
    consumption += *reading.fuel_flow / reading.shaft_power;
    n += 1.0;
  }
  if (n > 0.0) consumption_of_readings_ = consumption / n;
  calibrate(baseline);
}

std::optional<double> EngineTemperatures::fuel_flow_of(double shaft_power,
                                                       std::optional<double> stated) const {
  if (stated) return stated;
  const std::optional<double> flow =
      temperature::fuel_flow_at(spec_.temperatures.fuel, spec_.propeller.shaft_power, shaft_power);
  if (flow) return flow;
  if (consumption_of_readings_) return *consumption_of_readings_ * shaft_power;
  return std::nullopt;
}

double EngineTemperatures::carburettor_temperature(double outside) const {
  const std::optional<double>& stated = spec_.temperatures.fuel.carburettor_temperature;
  return stated ? *stated - spec_.flight.air.temperature + outside : outside;
}

std::vector<std::vector<CylinderCondition>> EngineTemperatures::conditions(
    const network::Model& model, const std::vector<network::State>& states, double fuel_flow) const {
  const std::size_t n = n_cylinders(spec_);
  const double charge = fuel_flow / spec_.temperatures.fuel.fuel_air_ratio / static_cast<double>(n);
  std::vector<std::vector<CylinderCondition>> found(n);
  for (const network::State& state : states) {
    const std::vector<double> pressures = cooling_pressures(model, state, n);
    for (std::size_t i = 0; i < n; ++i) {
      found[i].push_back({charge,
                          pressures[i],
                          state.inlet_temperature,
                          carburettor_temperature(state.condition.air.temperature)});
    }
  }
  return found;
}

void EngineTemperatures::calibrate(const DisturbedModel& baseline) {
  std::vector<network::State> nominal;
  std::vector<std::vector<std::vector<CylinderCondition>>> at_readings;  // [reading][cylinder][kind]
  for (const readings::Reading& reading : spec_.readings) {
    try {
      const std::vector<network::State> states =
          baseline.solve(network::condition_of(reading), network::Route::Solved);
      nominal.push_back(states.front());
      const std::optional<double> fuel = fuel_flow_of(reading.shaft_power, reading.fuel_flow);
      at_readings.push_back(fuel ? conditions(baseline.model(), states, *fuel)
                                 : std::vector<std::vector<CylinderCondition>>{});
    } catch (const base::ResultError& error) {
      throw base::ResultError(
          fmt::format("[{}]: the network has no solution there: {}", reading.name, error.what()));
    }
  }
  for (const Site site : temperature::sites) calibrate_site(site, at_readings);
  calibrate_oil(baseline, nominal);
  note_spans(nominal, baseline.model());
}

void EngineTemperatures::calibrate_site(
    Site site, const std::vector<std::vector<std::vector<CylinderCondition>>>& at_readings) {
  const std::size_t at = temperature::index(site);
  const temperature::Correlation& correlation = spec_.temperatures.correlations[at];
  std::vector<Observation> observations;
  bool has_reading = false;
  for (std::size_t r = 0; r < at_readings.size(); ++r) {
    const readings::PerCylinder& values = values_of(spec_.readings[r], site);
    for (std::size_t i = 0; i < values.size(); ++i) {
      if (!values[i]) continue;
      has_reading = true;
      if (at_readings[r].empty()) continue;
      // Twice the scatter over the moment, and what instrument and gauge may be off.
      const double half_band = std::hypot(temperature::reading_half_band, 2.0 * values[i]->scatter);
      const std::vector<CylinderCondition>& condition = at_readings[r][i];
      if (!(condition.front().cooling_pressure > 0.0)) {
        throw base::ResultError(
            fmt::format("[{}]: no air passes cylinder {} in the network there, so its "
                        "temperature teaches nothing. Check the installation.",
                        spec_.readings[r].name,
                        i + 1));
      }
      observations.push_back({spec_.readings[r].name, i, values[i]->value, half_band, condition});
    }
  }
  if (!observations.empty()) {
    calibrations_[at].emplace(site, correlation, std::move(observations));
    return;
  }
  const std::string no_fuel =
      "the charge is not known: neither [fuel] fuel_flow or specific_consumption is stated nor a reading's "
      "fuel flow";
  if (has_reading) {
    missing_[at] = no_fuel;
    return;
  }
  std::string reason;
  const std::optional<CylinderCondition> required = required_point(reason);
  if (!spec_.temperatures.limits[at]) {
    missing_[at] =
        fmt::format("no reading and no [limits] {}, on which a band could rest", temperature::site_key(site));
  } else if (!required) {
    missing_[at] = reason;
  } else {
    calibrations_[at].emplace(site, correlation, *required, *spec_.temperatures.limits[at]);
  }
}

std::optional<CylinderCondition> EngineTemperatures::required_point(std::string& reason) const {
  const temperature::TemperatureSpec& t = spec_.temperatures;
  if (!t.rated_power) {
    reason =
        "no reading, and no [temperatures] rated_power, at which the engine maker's pressure drop is asked "
        "for";
    return std::nullopt;
  }
  const std::optional<double> fuel = fuel_flow_of(*t.rated_power, std::nullopt);
  if (!fuel) {
    reason = "no reading, and neither [fuel] fuel_flow nor specific_consumption";
    return std::nullopt;
  }
  const core::Law& law = spec_.core.law.front();
  if (!t.required_pressure_drop && law.kind != core::LawKind::PowerLaw) {
    reason =
        "no reading, and no [temperatures] required_pressure_drop; only a core law stated as one point "
        "stands in "
        "for it";
    return std::nullopt;
  }
  const double pressure = t.required_pressure_drop.value_or(law.reference.pressure_drop);
  const double hot = temperature::hot_day_temperature(temperature::HotDay::Part23, 0.0);
  return CylinderCondition{*fuel / t.fuel.fuel_air_ratio / static_cast<double>(n_cylinders(spec_)),
                           pressure,
                           hot,
                           carburettor_temperature(hot)};
}

void EngineTemperatures::calibrate_oil(const DisturbedModel& baseline,
                                       const std::vector<network::State>& nominal) {
  const std::optional<std::size_t> at = cooler_index(baseline.model());
  cooler_ = spec_.temperatures.cooler;
  cooler_origin_ = "cooler_heat, cooler_air_flow and cooler_temperature_difference as stated in the study";
  if (!at) return;
  for (std::size_t r = 0; r < nominal.size(); ++r) {
    const std::optional<readings::Measured>& hot = spec_.readings[r].oil_hot;
    const network::PassageState& passage = nominal[r].passages[*at];
    if (!hot || !(passage.mass_flow > 0.0) || !(passage.heat > 0.0)) continue;
    const temperature::OilCondition condition{passage.heat, passage.mass_flow, nominal[r].inlet_temperature};
    const double rise = hot->value - condition.air_temperature;
    if (!cooler_) {
      const temperature::CoolerPoint point{condition.heat, condition.air_flow, rise};
      if (!(rise > 0.0 && point.heat < temperature::greatest_heat(point))) continue;
      cooler_ = point;
      cooler_origin_ =
          fmt::format("oil temperature of {} with the stated heat of the oil", spec_.readings[r].name);
    }
    if (!(rise > 0.0)) {
      throw base::InputError(
          fmt::format("[{}] oil_hot = {:.4g} degC: must be above the cooling air ({:.4g} degC). Check the "
                      "reading and its unit.",
                      spec_.readings[r].name,
                      base::celsius(hot->value),
                      base::celsius(condition.air_temperature)));
    }
    oil_observations_.push_back(
        {condition, hot->value, std::hypot(temperature::reading_half_band, 2.0 * hot->scatter)});
  }
}

void EngineTemperatures::note_spans(const std::vector<network::State>& nominal, const network::Model& model) {
  if (nominal.empty()) return;
  const std::size_t n = n_cylinders(spec_);
  const auto span = [&](std::string name, std::string unit, Dimension dimension, auto value) {
    Span s{std::move(name),
           std::move(unit),
           dimension,
           INFINITY,
           -INFINITY,
           dimension == Dimension::Temperature};
    for (const network::State& state : nominal) {
      s.low = std::min(s.low, value(state));
      s.high = std::max(s.high, value(state));
    }
    spans_.push_back(s);
  };
  span("power", "kW", Dimension::Power, [](const auto& s) { return s.condition.shaft_power; });
  span("true airspeed", "kt", Dimension::Speed, [](const auto& s) { return s.condition.true_airspeed; });
  span("air density", "kg/m3", Dimension::Density, [](const auto& s) { return s.condition.air.density; });
  span("outside temperature", "degC", Dimension::Temperature, [](const auto& s) {
    return s.condition.air.temperature;
  });
  span("fins' pressure drop sigma*dp", "Pa", Dimension::Pressure, [&](const auto& s) {
    return mean(cooling_pressures(model, s, n));
  });
}

std::vector<std::string> EngineTemperatures::outside_spans(const network::State& state,
                                                           double mean_cooling_pressure) const {
  std::vector<std::string> found;
  const std::array<double, 5> values{state.condition.shaft_power,
                                     state.condition.true_airspeed,
                                     state.condition.air.density,
                                     state.condition.air.temperature,
                                     mean_cooling_pressure};
  for (std::size_t i = 0; i < spans_.size(); ++i) {
    const Span& s = spans_[i];
    const double low = s.is_temperature ? s.low - near_degrees : s.low * (1.0 - near_share);
    const double high = s.is_temperature ? s.high + near_degrees : s.high * (1.0 + near_share);
    if (values[i] >= low && values[i] <= high) continue;
    const double bound = values[i] < low ? s.low : s.high;
    const std::string_view word = values[i] < low ? "below" : "above";
    const std::string shown = fmt::format("{:.4g} {}", base::in_unit(bound, s.unit, s.dimension), s.unit);
    found.push_back(
        s.is_temperature
            ? fmt::format("{} {:.0f} K {} the readings' {}", s.name, std::abs(values[i] - bound), word, shown)
            : fmt::format("{} {:.0f} % {} the readings' {}",
                          s.name,
                          100.0 * std::abs(values[i] / bound - 1.0),
                          word,
                          shown));
  }
  return found;
}

OilTemperatures EngineTemperatures::oil(const network::Model& model, const network::State& state) const {
  OilTemperatures found;
  found.limit = spec_.temperatures.oil_limit;
  const std::optional<std::size_t> at = cooler_index(model);
  if (!at) {
    found.missing_hot = "no [oil_cooler]";
  } else if (!cooler_) {
    found.missing_hot =
        "no reading of the oil before the cooler and no point of the cooler in [temperatures] "
        "(cooler_heat, cooler_air_flow, cooler_temperature_difference)";
  } else if (!(state.passages[*at].heat > 0.0)) {
    found.missing_hot = "the oil's heat is stated as nothing in [oil_cooler]";
  } else if (!(state.passages[*at].mass_flow > 0.0)) {
    found.missing_hot = "no air passes the cooler here";
  }
  found.missing_cooled = found.missing_hot;
  if (!found.missing_hot.empty()) return found;
  const temperature::OilCondition condition{
      state.passages[*at].heat, state.passages[*at].mass_flow, state.inlet_temperature};
  found.hot = temperature::oil_temperature(*cooler_, oil_observations_, condition);
  if (spec_.temperatures.oil_flow) {
    found.cooled = temperature::cooled_oil_temperature(*found.hot, condition, *spec_.temperatures.oil_flow);
  } else {
    found.missing_cooled = "no [temperatures] oil_flow";
  }
  return found;
}

Temperatures EngineTemperatures::at(const network::Model& model,
                                    const std::vector<network::State>& states,
                                    std::optional<double> fuel_flow) const {
  const network::State& state = states.front();
  const std::size_t n = n_cylinders(spec_);
  Temperatures found;
  found.cooling_pressure = cooling_pressures(model, state, n);
  found.fuel_flow = fuel_flow_of(state.condition.shaft_power, fuel_flow);
  const bool has_air = std::all_of(
      found.cooling_pressure.begin(), found.cooling_pressure.end(), [](double p) { return p > 0.0; });
  const bool is_running = found.fuel_flow && *found.fuel_flow > 0.0;
  std::vector<std::vector<CylinderCondition>> at_cylinders;
  if (is_running && has_air) at_cylinders = conditions(model, states, *found.fuel_flow);
  if (!at_cylinders.empty()) found.charge_flow = at_cylinders.front().front().charge_flow;
  for (const Site site : temperature::sites) {
    const std::size_t index = temperature::index(site);
    SiteTemperatures& result = found.sites[index];
    result.site = site;
    result.limit = spec_.temperatures.limits[index];
    result.missing = missing_[index];
    if (!calibrations_[index]) continue;
    if (at_cylinders.empty()) {
      result.missing = !has_air ? "a cylinder gets no air here" : "the fuel flow is not known";
      continue;
    }
    for (std::size_t i = 0; i < n; ++i) {
      // A disturbed network that leaves a cylinder without air says nothing of the band.
      std::vector<CylinderCondition> condition = at_cylinders[i];
      for (CylinderCondition& c : condition) {
        if (!(c.cooling_pressure > 0.0)) c = condition.front();
      }
      result.cylinders.push_back(calibrations_[index]->at(i, condition));
    }
  }
  found.oil = oil(model, state);
  found.extrapolated = outside_spans(state, mean(found.cooling_pressure));
  return found;
}

std::vector<std::string> EngineTemperatures::assumptions() const {
  const temperature::TemperatureSpec& t = spec_.temperatures;
  std::vector<std::string> lines{
      "(T - T_a) / (T_g - T) = K W_c^n / (sigma dp)^m: NACA TR 612 and TR 683 (from memory); exponents agree "
      "with the "
      "flights of NACA TN 584 (1936)"};
  const auto is_fuel_stated = t.fuel.fuel_flow || t.fuel.specific_consumption;
  for (const Site site : temperature::sites) {
    const auto& calibration = calibrations_[temperature::index(site)];
    const std::string name{temperature::site_name(site)};
    if (!calibration) {
      lines.push_back(fmt::format("{}: not shown: {}", name, missing_[temperature::index(site)]));
      continue;
    }
    std::string constants;
    const std::size_t n = calibration->rests_on_readings() ? n_cylinders(spec_) : 1;
    for (std::size_t i = 0; i < n; ++i) {
      constants += fmt::format("{}{:.4g}", i == 0 ? "" : ", ", calibration->constant(i));
    }
    lines.push_back(fmt::format("{}: K = {} (kg/s, Pa), from {}", name, constants, calibration->origin()));
    const temperature::Correlation& c = t.correlations[temperature::index(site)];
    lines.push_back(fmt::format("{}: T_g {:.0f} K ({:.0f} degF) ± {:.0f} K: {}",
                                name,
                                c.gas_temperature.value,
                                base::in_unit(c.gas_temperature.value, "degF", Dimension::Temperature),
                                c.gas_temperature.half_band,
                                c.gas_temperature.source));
  }
  const temperature::Correlation& c = t.correlations.front();
  lines.push_back(constant_line("n", c.charge_exponent, ""));
  lines.push_back(constant_line("m", c.cooling_exponent, ""));
  lines.push_back(constant_line("T_g rises with the carburettor's air by", c.charge_heating, " K/K"));
  lines.push_back("sigma dp: what each cylinder's own law takes at its own flow; T_a: air in the upper deck");
  lines.push_back(
      fmt::format("W_c: fuel flow over the fuel-air ratio {:.3g} ({}) and the number of cylinders",
                  t.fuel.fuel_air_ratio,
                  t.fuel.fuel_air_ratio_is_stated ? "stated"
                                                  : "assumed; it cancels where it is as at the "
                                                    "readings"));
  if (!t.fuel.density_is_stated) {
    lines.push_back("fuel stated by volume: 0.719 kg/L (6 lb/gal), common practice, no source");
  }
  if (!is_fuel_stated && consumption_of_readings_) {
    lines.push_back("fuel flow elsewhere: in proportion to the power, as at the readings");
  } else if (is_fuel_stated) {
    lines.push_back("fuel flow where none is stated: in proportion to the power");
  }
  lines.push_back(
      fmt::format("a reading is taken to be right within {:.0f} K (chosen, no source) and twice its scatter; "
                  "bands: Student's, "
                  "95 %, for the scatter of several readings; the other parts as roots of sums of squares",
                  temperature::reading_half_band));
  if (n_readings_ > 0) {
    lines.push_back(
        fmt::format("extrapolated: more than {:.0f} % or {:.0f} K beyond the readings (chosen, no source)",
                    100.0 * near_share,
                    near_degrees));
  }
  if (cooler_) {
    lines.push_back(fmt::format(
        "oil: {:.4g} W at {:.3g} kg/s of air and {:.3g} K ({}); UA ~ flow^{} ± {} (chosen, no source)",
        cooler_->heat,
        cooler_->air_flow,
        cooler_->temperature_difference,
        cooler_origin_,
        temperature::cooler_exponent,
        temperature::cooler_exponent_half_band));
    lines.push_back(
        oil_observations_.empty()
            ? fmt::format("oil: heat right within {:.0f} % (chosen, no source), so a band and no number",
                          100.0 * temperature::oil_heat_half_band)
            : fmt::format("oil: heat scaled to meet {} reading(s)", oil_observations_.size()));
  }
  return lines;
}

}  // namespace cowlwright::envelope
