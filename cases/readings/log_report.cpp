// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/readings/log_report.h"

#include "cases/core/spec.h"
#include "cases/readings/screening.h"
#include "geometry/base/air.h"
#include "geometry/base/markup.h"
#include "geometry/base/units.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace cowlwright::readings {

namespace {

using base::Dimension;

std::string in(double value, std::string_view unit, Dimension dimension, int digits) {
  return fmt::format("{:.{}f}", base::in_unit(value, unit, dimension), digits);
}

/// Differences have no offset.
Dimension difference_of(Dimension dimension) {
  return dimension == Dimension::Temperature ? Dimension::TemperatureDifference : dimension;
}

std::string cautions_text() {
  std::string text;
  for (const std::string& caution : reading_cautions()) text += fmt::format("> {}\n", caution);
  return text + "\n";
}

std::string log_text(const LogReport& report) {
  const FlightLog& log = *report.log;
  const LogMap& map = *report.map;
  std::string text =
      fmt::format("Log {}, {} rows, {} to {}, a sample every {:.3g} s. Instrument as stated: {}.\n\n",
                  map.log_file.filename().string(),
                  log.time.size(),
                  time_text(log, log.time.front()),
                  time_text(log, log.time.back()),
                  usual_step(log),
                  map.instrument);
  if (map.has(Kind::IndicatedAirspeed)) {
    text +=
        "Airspeed is the indicated one, taken as calibrated: the error of pitot and static port is in "
        "it.\n\n";
  }
  text +=
      "The outside temperature is taken as static: a probe in the stream shows 1 K more at 90 kt, 2 K at 125 "
      "kt, if it "
      "shows all of the air's ram rise.\n\n";
  if (map.has(Kind::UpperDeckPressure) || map.has(Kind::LowerDeckPressure)) {
    text +=
        "Single deck pressures are over what the other port of the gauge felt, taken as the free stream's "
        "static "
        "pressure; with a cabin or a static port of error that error is in them.\n\n";
  }
  return text;
}

std::string rules_text(const SteadySpec& steady) {
  return fmt::format(
      "Steady is: for at least {:.0f} s every mapped temperature of the engine changes by less than {:.2f} "
      "degF a minute "
      "(least squares, twice the slope's error below that too); airspeed within +-{:.1f} kt, rotational "
      "speed +-{:.0f} "
      "rpm, altitude +-{:.0f} ft, outside temperature +-{:.1f} degF, fuel flow +-{:.0f} %. 2 degF a minute "
      "is the rule of "
      "14 CFR 25.1045; the other bounds are chosen, no source. Stretches above {:.0f} s are parted.\n\n",
      steady.length,
      base::in_unit(60.0 * steady.temperature_rate, "degF", Dimension::TemperatureDifference),
      base::in_unit(steady.airspeed, "kt", Dimension::Speed),
      base::in_unit(steady.rotational_speed, "rpm", Dimension::RotationalSpeed),
      base::in_unit(steady.altitude, "ft", Dimension::Length),
      base::in_unit(steady.outside_temperature, "degF", Dimension::TemperatureDifference),
      100.0 * steady.fuel_flow,
      steady.longest);
}

std::string findings_text(const LogReport& report) {
  std::string text = "## What was found in the log\n\n";
  for (const std::string& finding : report.log->findings) text += fmt::format("- {}\n", finding);
  for (const std::string& finding : report.segments->findings) text += fmt::format("- {}\n", finding);
  for (std::size_t i = 0; i < report.segments->found.size(); ++i) {
    for (const std::string& sensor : report.segments->found[i].left_out) {
      text += fmt::format("- Segment {}: too little of {}: left out there.\n", i + 1, sensor);
    }
  }
  if (text.ends_with("\n\n")) text += "Nothing was skipped or refused.\n";
  return text + "\n";
}

std::string segments_text(const LogReport& report) {
  std::string text =
      "| segment | from, to | true airspeed [kt] | pressure, density altitude [ft] | outside [degC] | power "
      "[hp] | fuel "
      "[lb/h] | rotational speed [rpm] | q [inH2O] | reading |\n|---|---|---|---|---|---|---|---|---|---|\n";
  int number = 0;
  for (const Segment& segment : report.segments->found) {
    const Reading& reading = segment.reading;
    text += fmt::format("| {} | {}, {} | {} | {}, {} | {} | {} | {} | {} | {} | {} |\n",
                        ++number,
                        time_text(*report.log, segment.begin),
                        time_text(*report.log, segment.end),
                        in(reading.true_airspeed, "kt", Dimension::Speed, 1),
                        in(segment.pressure_altitude, "ft", Dimension::Length, 0),
                        in(segment.density_altitude, "ft", Dimension::Length, 0),
                        in(reading.air.temperature, "degC", Dimension::Temperature, 1),
                        in(reading.shaft_power, "hp", Dimension::Power, 1),
                        reading.fuel_flow ? in(*reading.fuel_flow, "lb/h", Dimension::MassFlow, 1) : "-",
                        in(reading.rotational_speed, "rpm", Dimension::RotationalSpeed, 0),
                        in(segment.dynamic_pressure, "inH2O", Dimension::Pressure, 2),
                        reading.name.empty() ? "not kept" : reading.name);
  }
  text +=
      report.map->shaft_power
          ? "\nThe power is the stated one.\n"
          : fmt::format(
                "\nPower = fuel flow / {:.3g} lb/(hp h), as stated. The consumption depends on mixture and "
                "setting: 5 % of it is 5 % of the power.\n",
                base::in_unit(
                    *report.map->specific_consumption, "lb/(hp h)", Dimension::SpecificConsumption));
  const auto n_kept = std::count_if(report.segments->found.begin(),
                                    report.segments->found.end(),
                                    [](const Segment& s) { return !s.reading.name.empty(); });
  if (static_cast<std::size_t>(n_kept) < report.segments->found.size()) {
    text += fmt::format(
        "\n{} of {} segments are kept as readings: the longest, and those that differ most in airspeed, "
        "power and density altitude.\n",
        n_kept,
        report.segments->found.size());
  }
  return text + "\n";
}

/// Channels of one kind that have something in some segment, by cylinder.
std::vector<std::size_t> channels_of(const LogReport& report, Kind kind) {
  std::vector<std::size_t> found;
  for (std::size_t c = 0; c < report.log->channels.size(); ++c) {
    if (report.log->channels[c].spec.kind == kind) found.push_back(c);
  }
  std::sort(found.begin(), found.end(), [&](std::size_t a, std::size_t b) {
    return report.log->channels[a].spec.cylinder < report.log->channels[b].spec.cylinder;
  });
  return found;
}

std::string cell(const Trend& trend, const ColumnSpec& spec) {
  if (trend.n == 0) return "-";
  const Dimension dimension = facts(spec.kind).dimension;
  constexpr std::array<std::string_view, 4> large_units{"inH2O", "inHg", "psi", "psf"};
  const bool is_large = std::find(large_units.begin(), large_units.end(), spec.unit) != large_units.end();
  const int digits = is_large ? 2 : 1;
  return fmt::format("{:.{}f} ± {:.{}f} ({:+.{}f})",
                     base::in_unit(trend.mean, spec.unit, dimension),
                     digits,
                     base::in_unit(trend.scatter, spec.unit, difference_of(dimension)),
                     digits,
                     base::in_unit(60.0 * trend.slope, spec.unit, difference_of(dimension)),
                     digits);
}

std::string_view kind_name(Kind kind) {
  switch (kind) {
    case Kind::HeadBottom:
      return "Head, bottom";
    case Kind::UnderPlug:
      return "Head, under the plug";
    case Kind::Barrel:
      return "Barrel";
    case Kind::OilHot:
      return "Oil before the cooler";
    case Kind::OilCooled:
      return "Oil behind the cooler";
    case Kind::UpperDeckPressure:
      return "Upper deck";
    case Kind::LowerDeckPressure:
      return "Lower deck";
    case Kind::DeckPressureDifference:
      return "Decks, as logged";
    case Kind::DeckDifferenceAsAirspeed:
      return "Decks, as an airspeed";
    default:
      return facts(kind).key;
  }
}

std::string cylinders_text(const LogReport& report, Kind kind) {
  const std::vector<std::size_t> columns = channels_of(report, kind);
  if (columns.empty()) return {};
  const std::string unit = report.log->channels[columns.front()].spec.unit;
  std::string text = fmt::format("### {} [{}]\n\n| segment |", kind_name(kind), unit);
  for (const std::size_t c : columns) {
    const ColumnSpec& spec = report.log->channels[c].spec;
    text += fmt::format(" {} ({}) |", cylinder_text(*report.map, spec.cylinder), spec.column);
  }
  text += " hottest | spread |\n|---|";
  for (std::size_t i = 0; i < columns.size() + 2; ++i) text += "---|";
  text += "\n";
  int number = 0;
  for (const Segment& segment : report.segments->found) {
    text += fmt::format("| {} |", ++number);
    double low = 1e300;
    double high = -1e300;
    std::string hottest = "-";
    for (const std::size_t c : columns) {
      const Trend& trend = segment.channels[c];
      text += fmt::format(" {} |", cell(trend, report.log->channels[c].spec));
      if (trend.n == 0) continue;
      low = std::min(low, trend.mean);
      if (trend.mean > high) {
        high = trend.mean;
        hottest = cylinder_text(*report.map, report.log->channels[c].spec.cylinder);
      }
    }
    text += fmt::format(
        " {} | {} |\n",
        hottest,
        high >= low ? fmt::format("{:.1f}", base::in_unit(high - low, unit, Dimension::TemperatureDifference))
                    : "-");
  }
  return text + "\n";
}

std::string others_text(const LogReport& report) {
  constexpr std::array kinds{Kind::OilHot,
                             Kind::OilCooled,
                             Kind::UpperDeckPressure,
                             Kind::LowerDeckPressure,
                             Kind::DeckPressureDifference,
                             Kind::DeckDifferenceAsAirspeed};
  std::string text;
  for (const Kind kind : kinds) {
    for (const std::size_t c : channels_of(report, kind)) {
      const ColumnSpec& spec = report.log->channels[c].spec;
      std::vector<std::string> cells;
      for (const Segment& segment : report.segments->found) cells.push_back(cell(segment.channels[c], spec));
      text += fmt::format(
          "| {} ({}) [{}] | {} |\n", kind_name(kind), spec.column, spec.unit, fmt::join(cells, " | "));
    }
  }
  std::vector<std::string> differences;
  bool any = false;
  for (const Segment& segment : report.segments->found) {
    const auto& difference = segment.reading.deck_pressure_difference;
    any = any || difference;
    differences.push_back(difference
                              ? fmt::format("{:.0f} ± {:.0f} Pa, {:.2f} inH2O, {:.2f} q",
                                            difference->value,
                                            difference->scatter,
                                            base::in_unit(difference->value, "inH2O", Dimension::Pressure),
                                            difference->value / segment.dynamic_pressure)
                              : "-");
  }
  if (any) text += fmt::format("| deck pressure difference | {} |\n", fmt::join(differences, " | "));
  if (text.empty()) return {};
  std::string head = "### Oil and deck pressures\n\n| |";
  std::string line = "|---|";
  for (std::size_t i = 0; i < report.segments->found.size(); ++i) {
    head += fmt::format(" segment {} |", i + 1);
    line += "---|";
  }
  return fmt::format("{}\n{}\n{}\n", head, line, text);
}

std::string corrected_text(const LogReport& report) {
  if (report.corrected.empty()) return {};
  std::string text = fmt::format(
      "## On a hot day\n\nMeasured temperatures carried to the hot day of {}. A rule of "
      "reckoning, not a measurement.\n\n| segment | temperature | measured | hot day | limit | "
      "margin |\n|---|---|---|---|---|---|\n",
      report.correction_rule);
  for (std::size_t s = 0; s < report.corrected.size(); ++s) {
    for (const Corrected& value : report.corrected[s]) {
      const Channel* channel = nullptr;
      double mean = 0.0;
      for (std::size_t c = 0; c < report.log->channels.size(); ++c) {
        const ColumnSpec& spec = report.log->channels[c].spec;
        if (spec.kind != value.kind || spec.cylinder != value.cylinder) continue;
        channel = &report.log->channels[c];
        mean = report.segments->found[s].channels[c].mean;
      }
      if (channel == nullptr) continue;
      const std::string& unit = channel->spec.unit;
      const auto shown = [&](double kelvin) {
        return fmt::format("{:.0f} {}", base::in_unit(kelvin, unit, Dimension::Temperature), unit);
      };
      text += fmt::format(
          "| {} | {}{}{} | {} | {} | {} | {} |\n",
          s + 1,
          kind_name(value.kind),
          value.cylinder < 0 ? "" : " ",
          cylinder_text(*report.map, value.cylinder),
          shown(mean),
          shown(value.temperature),
          value.limit ? shown(*value.limit) : "not stated",
          value.limit
              ? fmt::format(
                    "{:+.0f} {}",
                    base::in_unit(*value.limit - value.temperature, unit, Dimension::TemperatureDifference),
                    unit)
              : "-");
    }
  }
  return text + "\n";
}

const Corrected* corrected_of(const LogReport& report, std::size_t segment, const ColumnSpec& spec) {
  if (segment >= report.corrected.size()) return nullptr;
  for (const Corrected& value : report.corrected[segment]) {
    if (value.kind == spec.kind && value.cylinder == spec.cylinder) return &value;
  }
  return nullptr;
}

std::string csv_row(const LogReport& report, std::size_t s, std::size_t c) {
  const ColumnSpec& spec = report.log->channels[c].spec;
  const Segment& segment = report.segments->found[s];
  const Trend& trend = segment.channels[c];
  const Dimension dimension = facts(spec.kind).dimension;
  const Corrected* hot = corrected_of(report, s, spec);
  const auto of = [&](double value) {
    return fmt::format("{:.6g}", base::in_unit(value, spec.unit, dimension));
  };
  const auto difference = [&](double value) {
    return fmt::format("{:.4g}", base::in_unit(value, spec.unit, difference_of(dimension)));
  };
  return fmt::format("{},{},{},{},{},{},{},{},{},{},{},{},{},{},{}\n",
                     s + 1,
                     segment.reading.name,
                     base::csv_quoted(time_text(*report.log, segment.begin)),
                     base::csv_quoted(time_text(*report.log, segment.end)),
                     facts(spec.kind).key,
                     cylinder_text(*report.map, spec.cylinder),
                     base::csv_quoted(spec.column),
                     base::csv_quoted(spec.unit),
                     trend.n,
                     trend.n > 0 ? of(trend.mean) : "",
                     trend.n > 0 ? difference(trend.scatter) : "",
                     trend.n > 0 ? difference(60.0 * trend.slope) : "",
                     hot != nullptr ? of(hot->temperature) : "",
                     hot != nullptr && hot->limit ? of(*hot->limit) : "",
                     hot != nullptr && hot->limit ? difference(*hot->limit - hot->temperature) : "");
}

/// What follows from the columns.
std::string csv_derived(const LogReport& report, std::size_t s) {
  const Segment& segment = report.segments->found[s];
  const Reading& reading = segment.reading;
  std::string text;
  const auto add = [&](std::string_view name, std::string_view unit, double value) {
    text += fmt::format("{},{},{},{},{},,,{},,{:.6g},,,,,\n",
                        s + 1,
                        reading.name,
                        base::csv_quoted(time_text(*report.log, segment.begin)),
                        base::csv_quoted(time_text(*report.log, segment.end)),
                        name,
                        unit,
                        value);
  };
  add("true_airspeed", "m/s", reading.true_airspeed);
  add("pressure_altitude", "m", segment.pressure_altitude);
  add("density_altitude", "m", segment.density_altitude);
  add("density", "kg/m3", reading.air.density);
  add("dynamic_pressure", "Pa", segment.dynamic_pressure);
  add("shaft_power", "W", reading.shaft_power);
  if (reading.fuel_flow) add("fuel_flow", "kg/s", *reading.fuel_flow);
  if (reading.deck_pressure_difference) {
    add("deck_pressure_difference", "Pa", reading.deck_pressure_difference->value);
    add("deck_pressure_difference_over_q",
        "-",
        reading.deck_pressure_difference->value / segment.dynamic_pressure);
  }
  return text;
}

}  // namespace

std::vector<std::string> reading_cautions() {
  return {
      "**Readings of one flight, not an approval.** They are worth what the sensors are: check them (boiling "
      "water, a "
      "second instrument) before you lean on a margin.",
      "Temperatures that held for minutes at one setting say nothing of a longer climb, another mixture or a "
      "hotter "
      "day.",
      "The engine maker's limits, local codes and licensed people decide what may fly."};
}

std::string time_text(const FlightLog& log, double time) {
  if (!log.has_time_of_day) return fmt::format("{:.0f} s", time);
  const auto seconds = static_cast<long long>(std::floor(time)) % 86400;
  return fmt::format("{:02d}:{:02d}:{:02d}", seconds / 3600, seconds / 60 % 60, seconds % 60);
}

std::string cylinder_text(const LogMap& map, int cylinder) {
  return cylinder < 0 ? std::string{}
                      : core::cylinder_names(map.n_cylinders).at(static_cast<std::size_t>(cylinder));
}

std::string report_markdown(const LogReport& report) {
  std::string text = fmt::format("# Readings: {}\n\n", report.map->name) + cautions_text() + log_text(report);
  text += "![The log](readings.svg)\n\n## Steady segments\n\n" + rules_text(report.map->steady);
  if (report.segments->found.empty()) {
    text += "**None was found**; the reason stands below.\n\n";
  } else {
    text += segments_text(report);
    text +=
        "Temperatures and pressures: mean ± standard deviation (change per minute). l1 is the front left "
        "cylinder as the "
        "pilot sees it; hottest and spread are among the cylinders measured.\n\n";
    for (const Kind kind : {Kind::HeadBottom, Kind::UnderPlug, Kind::Barrel})
      text += cylinders_text(report, kind);
    text += others_text(report);
    text += corrected_text(report);
    text += report.comparison;
  }
  return text + findings_text(report);
}

std::string report_csv(const LogReport& report) {
  std::string text =
      "segment,reading,from,to,quantity,cylinder,column,unit,samples,mean,standard deviation,change per "
      "minute,on the hot "
      "day,limit,margin\n";
  for (std::size_t s = 0; s < report.segments->found.size(); ++s) {
    for (std::size_t c = 0; c < report.log->channels.size(); ++c) text += csv_row(report, s, c);
    text += csv_derived(report, s);
  }
  return text;
}

}  // namespace cowlwright::readings
