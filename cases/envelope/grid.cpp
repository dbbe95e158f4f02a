// SPDX-License-Identifier: GPL-3.0-or-later
//
// Every point of the envelope, solved.
#include "cases/envelope/grid.h"

#include "cases/core/spec.h"
#include "cases/flight/free_stream.h"
#include "geometry/base/error.h"
#include "geometry/base/parallel.h"
#include "geometry/base/units.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::envelope {

namespace {

using base::Dimension;
using temperature::Day;
using temperature::DayKind;
using temperature::EnvelopeSpec;

constexpr std::string_view oil_id = "oil";

void carry(Estimate& estimate, double shift) {
  if (estimate.value) *estimate.value += shift;
  estimate.low += shift;
  estimate.high += shift;
}

/// The hottest of each site, and the oil before its cooler.
std::vector<ShownTemperature> shown_of(const Temperatures& temperatures, int n_cylinders) {
  const std::vector<std::string> names = core::cylinder_names(n_cylinders);
  std::vector<ShownTemperature> shown;
  for (const SiteTemperatures& site : temperatures.sites) {
    if (!site.is_shown()) continue;
    const std::size_t hottest = site.hottest();
    shown.push_back({std::string(temperature::site_key(site.site)),
                     std::string(temperature::site_name(site.site)),
                     names[hottest],
                     site.cylinders[hottest],
                     site.limit,
                     std::nullopt});
  }
  if (temperatures.oil.hot) {
    shown.push_back({std::string(oil_id),
                     "oil, before the cooler",
                     "",
                     *temperatures.oil.hot,
                     temperatures.oil.limit,
                     std::nullopt});
  }
  return shown;
}

/// The rule carries a temperature of the standard day to this one.
void carry_to_day(std::vector<ShownTemperature>& shown, double standard, double outside) {
  for (ShownTemperature& s : shown) {
    const auto part =
        s.id == temperature::site_key(Site::Barrel) ? temperature::Part::Barrel : temperature::Part::Other;
    carry(s.temperature, temperature::corrected_temperature(0.0, standard, outside, part));
  }
}

network::Condition condition_of(const VariantSpec& study,
                                const EnvelopeSpec& spec,
                                const Point& point,
                                const Day& day) {
  const temperature::PowerSetting& power = spec.powers[point.power];
  network::Condition condition;
  condition.air = air_of(day, spec.hot_day, spec.altitudes[point.altitude]);
  const double speed = spec.airspeeds[point.speed];
  condition.true_airspeed =
      spec.speeds_are_calibrated ? flight::true_from_calibrated(speed, condition.air) : speed;
  condition.incidence = spec.incidences.empty() ? study.flight.incidence : spec.incidences[point.speed];
  condition.shaft_power = power.shaft_power;
  condition.rotational_speed = power.rotational_speed;
  return condition;
}

/// A flow so small that the heat it is offered would melt the engine is no answer.
bool takes_its_heat(const network::Model& model, const network::State& state) {
  for (std::size_t i = 0; i < state.passages.size(); ++i) {
    const network::PassageCoefficients& passage = model.coefficients().passages[i];
    if (passage.kind != base::PassageKind::Core) continue;
    const double offered = passage.stated_heat + passage.heat_share * state.condition.shaft_power;
    if (!(state.passages[i].heat > 0.999 * offered)) return false;
  }
  return true;
}

void solve_point(const EngineTemperatures& engine,
                 const DisturbedModel& model,
                 const EnvelopeSpec& spec,
                 Point& point) {
  const VariantSpec& study = model.model().spec();
  const Day& day = spec.days[point.day];
  point.condition = condition_of(study, spec, point, day);
  point.calibrated_airspeed = calibrated_from_true(point.condition.true_airspeed, point.condition.air);
  // 1e-6: a stall speed that is one of the speeds is not below itself.
  point.is_below_stall = spec.stall_speed && point.calibrated_airspeed < *spec.stall_speed * (1.0 - 1e-6);
  const bool by_rule = spec.method == temperature::Method::Regulation && day.kind != DayKind::Standard;
  network::Condition solved = point.condition;
  if (by_rule) solved = condition_of(study, spec, point, Day{});
  try {
    const std::vector<network::State> states = model.solve(solved, network::Route::Tabulated);
    const network::State& state = states.front();
    if (!takes_its_heat(model.model(), state)) {
      point.trouble = "hardly any air passes a cylinder";
      return;
    }
    point.deck_pressure_difference = state.deck_pressure_difference();
    point.cooling_air = state.exit_mass_flow;
    const Temperatures temperatures = engine.at(model.model(), states, spec.powers[point.power].fuel_flow);
    point.extrapolated = temperatures.extrapolated;
    point.shown = shown_of(temperatures, study.shape.engine.n_cylinders);
    if (by_rule) carry_to_day(point.shown, solved.air.temperature, point.condition.air.temperature);
    for (ShownTemperature& shown : point.shown) {
      if (shown.limit) shown.margin = margin(*shown.limit, shown.temperature);
    }
  } catch (const base::ResultError& error) {
    point.trouble = error.what();
  } catch (const base::InputError& error) {
    point.trouble = error.what();
  }
}

std::vector<std::string> notes_of(const EnvelopeSpec& spec,
                                  const std::vector<Point>& points,
                                  const VariantSpec& study) {
  std::vector<std::string> notes;
  if (spec.method == temperature::Method::Regulation) {
    notes.push_back(
        fmt::format("Other days than the standard one: the standard day's temperatures carried by the rule, "
                    "the whole difference of "
                    "outside temperatures, 0.7 of it for barrels ({})",
                    temperature::hot_day_source(spec.hot_day)));
  }
  notes.push_back(fmt::format("Hot day: {}.", temperature::hot_day_source(spec.hot_day)));
  if (!spec.stall_speed)
    notes.emplace_back("No stall_speed is stated: points below the stall are not marked.");
  if (spec.incidences.empty()) {
    notes.push_back(
        fmt::format("No incidences are stated: the study's {:.3g} deg at every airspeed, though a slow "
                    "aircraft flies nose up.",
                    base::in_unit(study.flight.incidence, "deg", Dimension::Angle)));
  }
  const bool has_margin =
      std::any_of(points.begin(), points.end(), [](const Point& p) { return p.tightest() != nullptr; });
  if (!has_margin) {
    notes.emplace_back("No margin: there is no limit in [limits] for a temperature that is shown.");
  }
  return notes;
}

}  // namespace

double drawn(const Margin& margin) {
  return margin.value.value_or(margin.low);
}

const ShownTemperature* Point::tightest() const {
  const ShownTemperature* found = nullptr;
  for (const ShownTemperature& s : shown) {
    if (s.margin && (found == nullptr || drawn(*s.margin) < drawn(*found->margin))) found = &s;
  }
  return found;
}

const Point& Envelope::at(std::size_t speed, std::size_t altitude, std::size_t day, std::size_t power) const {
  return points[speed + spec.airspeeds.size() *
                            (altitude + spec.altitudes.size() * (day + spec.days.size() * power))];
}

const Point* Envelope::worst() const {
  const Point* found = nullptr;
  for (const Point& point : points) {
    const ShownTemperature* here = point.is_flown() ? point.tightest() : nullptr;
    if (here != nullptr && (found == nullptr || drawn(*here->margin) < drawn(*found->tightest()->margin))) {
      found = &point;
    }
  }
  return found;
}

std::string Envelope::worst_in_words() const {
  const Point* point = worst();
  if (point == nullptr) return "No point has a margin.";
  const ShownTemperature& shown = *point->tightest();
  const Margin& m = *shown.margin;
  const auto both = [](double kelvin) { return fmt::format("{:.0f} K ({:.0f} degF)", kelvin, 1.8 * kelvin); };
  const std::string where =
      fmt::format("{}, {}, {:.0f} kt calibrated ({:.0f} mph), {:.0f} ft ({:.0f} m)",
                  spec.powers[point->power].name,
                  spec.days[point->day].name,
                  base::in_unit(point->calibrated_airspeed, "kt", Dimension::Speed),
                  base::in_unit(point->calibrated_airspeed, "mph", Dimension::Speed),
                  base::in_unit(spec.altitudes[point->altitude], "ft", Dimension::Length),
                  spec.altitudes[point->altitude]);
  const std::string what =
      shown.cylinder.empty() ? shown.name : fmt::format("{}, cylinder {}", shown.name, shown.cylinder);
  const std::string size =
      m.value ? fmt::format("margin {}, band {} to {}", both(*m.value), both(m.low), both(m.high))
              : fmt::format("margin between {} and {}", both(m.low), both(m.high));
  const std::string verdict = m.low > 0.0 ? "The whole band lies within the limit."
                              : m.high < 0.0
                                  ? "The band lies beyond the limit."
                                  : "The band reaches across the limit, so this corner is not settled.";
  return fmt::format("Worst corner: {}: {}, {}. {}{}",
                     where,
                     what,
                     size,
                     verdict,
                     point->extrapolated.empty() ? "" : " It is extrapolated beyond the readings.");
}

base::AirState air_of(const Day& day, temperature::HotDay rule, double altitude) {
  base::AirState air = base::standard_air(altitude);
  if (day.kind == DayKind::Hot) air.temperature = temperature::hot_day_temperature(rule, altitude);
  if (day.kind == DayKind::Stated) air.temperature = day.temperature;
  air.density = air.pressure / (base::air::gas_constant * air.temperature);
  return air;
}

double calibrated_from_true(double true_airspeed, const base::AirState& air) {
  const double mach = true_airspeed / base::speed_of_sound(air.temperature);
  const double impact = air.pressure * (std::pow(1.0 + 0.2 * mach * mach, 3.5) - 1.0);
  const double ratio = impact / base::air::sea_level_pressure;
  return base::speed_of_sound(base::air::sea_level_temperature) *
         std::sqrt(5.0 * (std::pow(ratio + 1.0, 1.0 / 3.5) - 1.0));
}

Envelope solve_envelope(const std::string& study,
                        const EngineTemperatures& engine,
                        const DisturbedModel& model) {
  const VariantSpec& variant = model.model().spec();
  const EnvelopeSpec& spec = variant.temperatures.envelope;
  if (!spec.present) {
    throw base::InputError(
        "the study has no section [envelope]. Give it calibrated_airspeeds and pressure_altitudes, for "
        "example; "
        "`cowlwright new` shows all its keys.");
  }
  Envelope envelope;
  envelope.study = study;
  envelope.variant = variant.variant.name;
  envelope.spec = spec;
  for (std::size_t power = 0; power < spec.powers.size(); ++power) {
    for (std::size_t day = 0; day < spec.days.size(); ++day) {
      for (std::size_t altitude = 0; altitude < spec.altitudes.size(); ++altitude) {
        for (std::size_t speed = 0; speed < spec.airspeeds.size(); ++speed) {
          Point point;
          point.speed = speed;
          point.altitude = altitude;
          point.day = day;
          point.power = power;
          envelope.points.push_back(std::move(point));
        }
      }
    }
  }
  base::for_each_range(envelope.points.size(), 1, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) solve_point(engine, model, spec, envelope.points[i]);
  });
  envelope.assumptions = engine.assumptions();
  envelope.notes = notes_of(spec, envelope.points, variant);
  for (const std::string& note : model.model().coefficients().notes) envelope.notes.push_back(note);
  envelope.n_readings = engine.n_readings();
  for (const Point& point : envelope.points) {
    const ShownTemperature* shown = point.tightest();
    envelope.has_values = envelope.has_values || (shown != nullptr && shown->margin->value);
  }
  return envelope;
}

}  // namespace cowlwright::envelope
