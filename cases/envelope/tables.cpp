// SPDX-License-Identifier: GPL-3.0-or-later
//
// An envelope as Markdown, CSV and JSON.
#include "cases/envelope/grid.h"
#include "geometry/base/markup.h"
#include "geometry/base/units.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace cowlwright::envelope {

namespace {

using base::Dimension;
using nlohmann::json;

double fahrenheit(double kelvin) {
  return base::in_unit(kelvin, "degF", Dimension::Temperature);
}
double feet(double metres) {
  return base::in_unit(metres, "ft", Dimension::Length);
}
double knots(double speed) {
  return base::in_unit(speed, "kt", Dimension::Speed);
}

std::string list(const std::vector<std::string>& lines) {
  std::string text;
  for (const std::string& line : lines) text += fmt::format("- {}\n", line);
  return text;
}

/// "12 (-3 to 27)", "-3 to 27" without a value, or what stands in its place.
std::string cell(const Point& point) {
  if (!point.trouble.empty()) return "no answer";
  if (point.is_below_stall) return "stall";
  const ShownTemperature* shown = point.tightest();
  if (shown == nullptr) return "no margin";
  const Margin& m = *shown->margin;
  const std::string mark = point.extrapolated.empty() ? "" : " \\*";
  const std::string who =
      shown->cylinder.empty() ? shown->id : fmt::format("{} {}", shown->id, shown->cylinder);
  if (!m.value) return fmt::format("{:.0f} to {:.0f}{} {}", m.low, m.high, mark, who);
  return fmt::format("**{:.0f}** ({:.0f} to {:.0f}){} {}", *m.value, m.low, m.high, mark, who);
}

std::string panel_table(const Envelope& e, std::size_t day, std::size_t power) {
  const temperature::PowerSetting& setting = e.spec.powers[power];
  std::string text = fmt::format(
      "\n## {}, {}\n\n{:.4g} kW ({:.4g} hp) at {:.0f} rpm. Smallest margin [K], band in brackets; "
      "1 K is 1.8 degF.\n\n| altitude |",
      setting.name,
      e.spec.days[day].name,
      base::in_unit(setting.shaft_power, "kW", Dimension::Power),
      base::in_unit(setting.shaft_power, "hp", Dimension::Power),
      base::in_unit(setting.rotational_speed, "rpm", Dimension::RotationalSpeed));
  for (const double speed : e.spec.airspeeds) {
    text += fmt::format(" {:.0f} kt ({:.0f} mph) {} |",
                        knots(speed),
                        base::in_unit(speed, "mph", Dimension::Speed),
                        e.spec.speeds_are_calibrated ? "CAS" : "TAS");
  }
  text += "\n|---|";
  for (std::size_t i = 0; i < e.spec.airspeeds.size(); ++i) text += "---|";
  text += "\n";
  for (std::size_t a = e.spec.altitudes.size(); a-- > 0;) {
    text += fmt::format("| {:.0f} ft ({:.0f} m) |", feet(e.spec.altitudes[a]), e.spec.altitudes[a]);
    for (std::size_t s = 0; s < e.spec.airspeeds.size(); ++s)
      text += fmt::format(" {} |", cell(e.at(s, a, day, power)));
    text += "\n";
  }
  return text;
}

/// How far and how often each quantity lies outside the readings, from its texts.
std::vector<std::string> troubles(const Envelope& e) {
  std::vector<std::string> found;
  const auto where = [&](const Point& p) {
    return fmt::format("{}, {}, {:.0f} kt, {:.0f} ft",
                       e.spec.powers[p.power].name,
                       e.spec.days[p.day].name,
                       knots(e.spec.airspeeds[p.speed]),
                       feet(e.spec.altitudes[p.altitude]));
  };
  for (const Point& p : e.points) {
    if (!p.trouble.empty()) found.push_back(fmt::format("{}: no answer: {}", where(p), p.trouble));
  }
  return found;
}

std::vector<std::string> extrapolations(const Envelope& e) {
  std::vector<std::string> found;
  if (const Point* worst = e.worst()) {
    for (const std::string& text : worst->extrapolated) found.push_back("at the worst corner: " + text);
  }
  std::size_t n = 0;
  for (const Point& p : e.points) n += p.extrapolated.empty() ? 0 : 1;
  if (n > 0) {
    found.push_back(fmt::format(
        "{} of {} points are extrapolated (marked *); envelope.csv says for each by what and how far",
        n,
        e.points.size()));
  }
  return found;
}

json estimate_json(const Estimate& estimate) {
  return {{"value", estimate.value ? json(*estimate.value) : json(nullptr)},
          {"low", estimate.low},
          {"high", estimate.high}};
}

json shown_json(const ShownTemperature& shown) {
  json j{{"id", shown.id},
         {"name", shown.name},
         {"cylinder", shown.cylinder},
         {"temperature", estimate_json(shown.temperature)},
         {"limit", shown.limit ? json(*shown.limit) : json(nullptr)},
         {"margin", nullptr}};
  if (shown.margin) {
    j["margin"] = {{"value", shown.margin->value ? json(*shown.margin->value) : json(nullptr)},
                   {"low", shown.margin->low},
                   {"high", shown.margin->high}};
  }
  return j;
}

json point_json(const Point& p) {
  json shown = json::array();
  for (const ShownTemperature& s : p.shown) shown.push_back(shown_json(s));
  const ShownTemperature* tightest = p.tightest();
  return {{"speed", p.speed},
          {"altitude", p.altitude},
          {"day", p.day},
          {"power", p.power},
          {"true_airspeed", p.condition.true_airspeed},
          {"calibrated_airspeed", p.calibrated_airspeed},
          {"outside_temperature", p.condition.air.temperature},
          {"density", p.condition.air.density},
          {"status",
           !p.trouble.empty() ? "no_answer"
           : p.is_below_stall ? "stall"
                              : "flown"},
          {"trouble", p.trouble},
          {"extrapolated", p.extrapolated},
          {"deck_pressure_difference", p.deck_pressure_difference},
          {"cooling_air", p.cooling_air},
          {"temperatures", std::move(shown)},
          {"tightest", tightest != nullptr ? json(tightest->id) : json(nullptr)}};
}

std::string joined(const std::vector<std::string>& parts) {
  std::string text;
  for (const std::string& part : parts) text += (text.empty() ? "" : "; ") + part;
  return text;
}

std::string optional_number(const std::optional<double>& value) {
  return value ? fmt::format("{:.2f}", *value) : std::string{};
}

}  // namespace

std::string envelope_markdown(const Envelope& e) {
  std::string text = fmt::format("# Envelope: {}\n\nVariant {}.\n\n", e.study, e.variant);
  text += fmt::format("**{}**\n\n{}", e.worst_in_words(), list(cautions()));
  if (!e.has_values) {
    text +=
        "- No reading calibrates this: there are bands, no numbers, and they rest on the assumptions "
        "below.\n";
  }
  for (std::size_t power = 0; power < e.spec.powers.size(); ++power) {
    for (std::size_t day = 0; day < e.spec.days.size(); ++day) text += panel_table(e, day, power);
  }
  const std::vector<std::string> outside = extrapolations(e);
  if (!outside.empty()) text += "\n## Beyond the readings\n\n" + list(outside);
  const std::vector<std::string> none = troubles(e);
  if (!none.empty()) text += "\n## Outside the model\n\n" + list(none);
  return text + "\n## Notes\n\n" + list(e.notes) + "\n## What it rests on\n\n" + list(e.assumptions);
}

std::string envelope_csv(const Envelope& e) {
  std::string text =
      "power,shaft_power [kW],speed [rpm],day,pressure_altitude [m],pressure_altitude "
      "[ft],calibrated_airspeed [m/s],"
      "calibrated_airspeed [kt],true_airspeed [m/s],outside_temperature [K],outside_temperature "
      "[degF],status,site,"
      "cylinder,temperature [K],temperature_low [K],temperature_high [K],temperature [degF],limit [K],margin "
      "[K],"
      "margin_low [K],margin_high [K],extrapolated,trouble\n";
  for (const Point& p : e.points) {
    const temperature::PowerSetting& setting = e.spec.powers[p.power];
    const std::string head =
        fmt::format("{},{:.4g},{:.1f},{},{:.1f},{:.1f},{:.3f},{:.2f},{:.3f},{:.2f},{:.2f},{}",
                    base::csv_quoted(setting.name),
                    base::in_unit(setting.shaft_power, "kW", Dimension::Power),
                    base::in_unit(setting.rotational_speed, "rpm", Dimension::RotationalSpeed),
                    base::csv_quoted(e.spec.days[p.day].name),
                    e.spec.altitudes[p.altitude],
                    feet(e.spec.altitudes[p.altitude]),
                    p.calibrated_airspeed,
                    knots(p.calibrated_airspeed),
                    p.condition.true_airspeed,
                    p.condition.air.temperature,
                    fahrenheit(p.condition.air.temperature),
                    !p.trouble.empty() ? "no answer"
                    : p.is_below_stall ? "below stall"
                                       : "flown");
    const std::string tail =
        fmt::format("{},{}\n", base::csv_quoted(joined(p.extrapolated)), base::csv_quoted(p.trouble));
    if (p.shown.empty()) text += fmt::format("{},,,,,,,,,,,{}", head, tail);
    for (const ShownTemperature& s : p.shown) {
      const std::optional<double>& value = s.temperature.value;
      text += fmt::format("{},{},{},{},{:.2f},{:.2f},{},{},{},{},{},{}",
                          head,
                          s.id,
                          s.cylinder,
                          optional_number(value),
                          s.temperature.low,
                          s.temperature.high,
                          value ? fmt::format("{:.2f}", fahrenheit(*value)) : std::string{},
                          optional_number(s.limit),
                          s.margin ? optional_number(s.margin->value) : std::string{},
                          s.margin ? fmt::format("{:.2f}", s.margin->low) : std::string{},
                          s.margin ? fmt::format("{:.2f}", s.margin->high) : std::string{},
                          tail);
    }
  }
  return text;
}

std::string envelope_json(const Envelope& e) {
  json powers = json::array();
  for (const temperature::PowerSetting& power : e.spec.powers) {
    powers.push_back({{"name", power.name},
                      {"shaft_power", power.shaft_power},
                      {"rotational_speed", power.rotational_speed}});
  }
  json days = json::array();
  for (const temperature::Day& day : e.spec.days) days.push_back(day.name);
  json points = json::array();
  for (const Point& point : e.points) points.push_back(point_json(point));
  const json root{{"format", "cowlwright envelope"},
                  {"version", 1},
                  {"study", e.study},
                  {"variant", e.variant},
                  {"worst", e.worst_in_words()},
                  {"has_values", e.has_values},
                  {"readings", e.n_readings},
                  {"speeds_are_calibrated", e.spec.speeds_are_calibrated},
                  {"airspeeds", e.spec.airspeeds},
                  {"altitudes", e.spec.altitudes},
                  {"days", std::move(days)},
                  {"powers", std::move(powers)},
                  {"points", std::move(points)},
                  {"cautions", cautions()},
                  {"notes", e.notes},
                  {"assumptions", e.assumptions}};
  return root.dump(1) + "\n";
}

}  // namespace cowlwright::envelope
