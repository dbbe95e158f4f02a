// SPDX-License-Identifier: GPL-3.0-or-later
//
// Details of what the estimate is told: solved cases, limits, fuel, constants of the temperatures. What an
// envelope asks for is no difference between installations.
#include "cases/compare/keys.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace cowlwright::compare {
namespace {

using temperature::TemperatureSpec;

bool is_same_if_any(const std::optional<double>& a, const std::optional<double>& b) {
  return a.has_value() == b.has_value() && (!a || is_same(*a, *b));
}

std::string if_any(const std::optional<double>& value, base::Dimension dimension) {
  return value ? quantity_texts(*value, dimension).both() : "not stated";
}

/// One key that stands for several numbers of [limits], [fuel] or [temperatures].
Key part_key(std::string name,
             std::function<std::string(const TemperatureSpec&)> words,
             std::function<bool(const TemperatureSpec&, const TemperatureSpec&)> is_equal,
             std::function<void(const TemperatureSpec&, TemperatureSpec&)> copy) {
  return {
      .name = std::move(name),
      .common_name = {},
      .applies = always,
      .differs = [=](const auto& a, const auto& b) { return !is_equal(a.temperatures, b.temperatures); },
      .si = [=](const VariantSpec& s) { return words(s.temperatures); },
      .practical = [](const VariantSpec&) { return std::string{}; },
      .toml = [](const VariantSpec&) { return std::string{}; },
      .copy = [=](const VariantSpec& from, VariantSpec& to) { copy(from.temperatures, to.temperatures); }};
}

void add_limits(DetailList& list) {
  for (const temperature::Site site : temperature::sites) {
    const std::size_t i = temperature::index(site);
    list.add("temperature limits",
             part_key(
                 fmt::format("limits.{}", temperature::site_key(site)),
                 [=](const TemperatureSpec& t) { return if_any(t.limits[i], base::Dimension::Temperature); },
                 [=](const TemperatureSpec& a, const TemperatureSpec& b) {
                   return is_same_if_any(a.limits[i], b.limits[i]);
                 },
                 [=](const TemperatureSpec& from, TemperatureSpec& to) { to.limits[i] = from.limits[i]; }),
             Topic::Estimate);
  }
  list.add("temperature limits",
           part_key(
               "limits.oil",
               [](const TemperatureSpec& t) { return if_any(t.oil_limit, base::Dimension::Temperature); },
               [](const TemperatureSpec& a, const TemperatureSpec& b) {
                 return is_same_if_any(a.oil_limit, b.oil_limit);
               },
               [](const TemperatureSpec& from, TemperatureSpec& to) { to.oil_limit = from.oil_limit; }),
           Topic::Estimate);
}

std::string fuel_words(const TemperatureSpec& t) {
  const temperature::FuelSpec& f = t.fuel;
  const std::string flow = f.fuel_flow ? quantity_texts(*f.fuel_flow, base::Dimension::MassFlow).both()
                           : f.specific_consumption
                               ? fmt::format("{:.4g} g/kWh", *f.specific_consumption * 3.6e9)
                               : "flow not stated";
  return fmt::format("{}, fuel-air ratio {:.3g}, carburettor air {}",
                     flow,
                     f.fuel_air_ratio,
                     f.carburettor_temperature
                         ? if_any(f.carburettor_temperature, base::Dimension::Temperature)
                         : std::string("as outside"));
}

bool is_same_fuel(const TemperatureSpec& a, const TemperatureSpec& b) {
  return is_same_if_any(a.fuel.fuel_flow, b.fuel.fuel_flow) &&
         is_same_if_any(a.fuel.specific_consumption, b.fuel.specific_consumption) &&
         is_same(a.fuel.fuel_air_ratio, b.fuel.fuel_air_ratio) &&
         is_same_if_any(a.fuel.carburettor_temperature, b.fuel.carburettor_temperature);
}

bool is_same_correlation(const temperature::Correlation& a, const temperature::Correlation& b) {
  using temperature::Constant;
  using temperature::Correlation;
  for (const auto member : {&Correlation::gas_temperature,
                            &Correlation::charge_exponent,
                            &Correlation::cooling_exponent,
                            &Correlation::charge_heating}) {
    if (!is_same((a.*member).value, (b.*member).value)) return false;
  }
  return true;
}

bool is_same_cooler_point(const TemperatureSpec& a, const TemperatureSpec& b) {
  if (a.cooler.has_value() != b.cooler.has_value()) return false;
  return !a.cooler ||
         (is_same(a.cooler->heat, b.cooler->heat) && is_same(a.cooler->air_flow, b.cooler->air_flow) &&
          is_same(a.cooler->temperature_difference, b.cooler->temperature_difference));
}

void add_fuel(DetailList& list) {
  list.add("fuel and mixture",
           part_key("fuel.fuel_flow",
                    fuel_words,
                    is_same_fuel,
                    [](const TemperatureSpec& from, TemperatureSpec& to) { to.fuel = from.fuel; }),
           Topic::Power);
}

void add_constants(DetailList& list) {
  list.add("constants of the temperatures",
           part_key(
               "temperatures",
               [](const TemperatureSpec& t) {
                 const temperature::Correlation& head = t.correlations[0];
                 return fmt::format(
                     "head: gas {}, exponents {:.3g} and {:.3g}",
                     quantity_texts(head.gas_temperature.value, base::Dimension::Temperature).both(),
                     head.charge_exponent.value,
                     head.cooling_exponent.value);
               },
               [](const TemperatureSpec& a, const TemperatureSpec& b) {
                 return std::ranges::equal(a.correlations, b.correlations, is_same_correlation) &&
                        is_same_if_any(a.rated_power, b.rated_power) &&
                        is_same_if_any(a.required_pressure_drop, b.required_pressure_drop);
               },
               [](const TemperatureSpec& from, TemperatureSpec& to) {
                 to.correlations = from.correlations;
                 to.rated_power = from.rated_power;
                 to.required_pressure_drop = from.required_pressure_drop;
               }),
           Topic::Estimate);
  list.add("oil cooler, heat it can give off",
           part_key(
               "temperatures.cooler_heat",
               [](const TemperatureSpec& t) {
                 return t.cooler ? fmt::format("{:.3g} kW at {:.3g} kg/s of air",
                                               t.cooler->heat / 1000.0,
                                               t.cooler->air_flow)
                                 : std::string("not stated");
               },
               [](const TemperatureSpec& a, const TemperatureSpec& b) {
                 return is_same_cooler_point(a, b) && is_same_if_any(a.oil_flow, b.oil_flow);
               },
               [](const TemperatureSpec& from, TemperatureSpec& to) {
                 to.cooler = from.cooler;
                 to.oil_flow = from.oil_flow;
               }));
}

void add_solved_flow(DetailList& list) {
  const auto words = [](const VariantSpec& s) {
    return s.estimate.solved_flow ? "from " + s.estimate.solved_flow->string()
                                  : std::string("handbooks and defaults");
  };
  list.add("where the coefficients come from",
           {.name = "estimate.solved_flow",
            .common_name = {},
            .applies = always,
            .differs = [](const auto& a,
                          const auto& b) { return a.estimate.solved_flow != b.estimate.solved_flow; },
            .si = words,
            .practical = [](const VariantSpec&) { return std::string{}; },
            .toml = [](const VariantSpec&) { return std::string{}; },
            .copy = [](const VariantSpec& from, VariantSpec& to) { to.estimate = from.estimate; }},
           Topic::Estimate);
}

}  // namespace

void add_estimate_details(DetailList& list) {
  add_limits(list);
  add_fuel(list);
  add_constants(list);
  add_solved_flow(list);
}

}  // namespace cowlwright::compare
