// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `readings`: what a flight log says of steady flight, and what of it can be kept.
#include "cases/envelope/reading_comparison.h"
#include "cases/network/study_coefficients.h"
#include "cases/readings/log_plot.h"
#include "cases/readings/log_report.h"
#include "cases/readings/screening.h"
#include "cases/study.h"
#include "cases/temperature/regulation.h"
#include "cases/verbs/verbs.h"
#include "cases/verbs/words.h"
#include "geometry/base/error.h"
#include "geometry/base/solved_flow.h"
#include "geometry/base/text_file.h"
#include "geometry/base/units.h"

#include <boost/program_options.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <optional>
#include <utility>

namespace cowlwright::verbs {
namespace {

namespace fs = std::filesystem;
namespace options = boost::program_options;
using readings::Kind;

constexpr const char* purpose =
    "cowlwright readings LOG.toml [options]\n\n"
    "Reads the log of an engine monitor (CSV) by a small map of its columns, refuses what is no "
    "measurement,\n"
    "finds the stretches in which airspeed, power and temperatures held, and writes them as readings: a "
    "report,\n"
    "a table, a plot, and readings.toml, which a study takes with [readings] file = \"readings.toml\". "
    "Nothing is\n"
    "filled in; what was skipped is counted with its lines.\n\n";

constexpr const char* examples =
    "\nExamples\n"
    "  cowlwright readings my-log.toml\n"
    "  cowlwright readings my-log.toml --study my-cowl.toml -o flight-3\n";

options::options_description visible_options() {
  options::options_description visible("Options", 100);
  auto add = visible.add_options();
  add("help,h", "print this and end");
  add("study",
      options::value<std::string>()->value_name("STUDY"),
      "also margins to its [limits], and its estimate beside what was measured");
  add("output,o",
      options::value<std::string>()->value_name("DIR"),
      "folder to write to (default: LOG's name + \"-readings\", beside it)");
  return visible;
}

/// The study's first variant: readings belong to it.
std::optional<VariantSpec> read_variant(const options::variables_map& values, const readings::LogMap& map) {
  if (values.count("study") == 0) return std::nullopt;
  const std::string file = values["study"].as<std::string>();
  const Study study = read_study(file);
  const VariantSpec& variant = study.variants.front();
  if (variant.shape.engine.n_cylinders != map.n_cylinders) {
    throw base::InputError(fmt::format(
        "{}: [engine] cylinders = {}, but {} has [log] engine_cylinders = {}: must be the same engine. "
        "Correct one of them.",
        file,
        variant.shape.engine.n_cylinders,
        map.map_file.string(),
        map.n_cylinders));
  }
  return variant;
}

std::optional<double> limit_of(const std::optional<VariantSpec>& variant, Kind kind) {
  if (!variant) return std::nullopt;
  const temperature::TemperatureSpec& spec = variant->temperatures;
  switch (kind) {
    case Kind::HeadBottom:
      return spec.limits[temperature::index(temperature::Site::HeadBottom)];
    case Kind::UnderPlug:
      return spec.limits[temperature::index(temperature::Site::UnderPlug)];
    case Kind::Barrel:
      return spec.limits[temperature::index(temperature::Site::Barrel)];
    case Kind::OilHot:
      return spec.oil_limit;
    default:
      return std::nullopt;
  }
}

/// Every temperature of a segment on the rule's hot day at the same altitude.
std::vector<readings::Corrected> corrected(const readings::Segment& segment,
                                           const readings::FlightLog& log,
                                           const std::optional<VariantSpec>& variant,
                                           temperature::HotDay rule) {
  const double hot = temperature::hot_day_temperature(rule, segment.pressure_altitude);
  std::vector<readings::Corrected> found;
  for (std::size_t c = 0; c < log.channels.size(); ++c) {
    const readings::ColumnSpec& spec = log.channels[c].spec;
    if (!readings::is_temperature_of_engine(spec.kind) || segment.channels[c].n == 0) continue;
    const auto part = spec.kind == Kind::Barrel ? temperature::Part::Barrel : temperature::Part::Other;
    const double value = temperature::corrected_temperature(
        segment.channels[c].mean, segment.reading.air.temperature, hot, part);
    found.push_back({spec.kind, spec.cylinder, value, limit_of(variant, spec.kind)});
  }
  std::sort(found.begin(), found.end(), [](const readings::Corrected& a, const readings::Corrected& b) {
    return std::pair(a.kind, a.cylinder) < std::pair(b.kind, b.cylinder);
  });
  return found;
}

std::vector<readings::Reading> kept(const readings::Segments& segments) {
  std::vector<readings::Reading> found;
  for (const readings::Segment& segment : segments.found) {
    if (!segment.reading.name.empty()) found.push_back(segment.reading);
  }
  return found;
}

/// The study's estimate, without any reading of its own, beside what was measured.
std::string comparison(VariantSpec variant, const std::vector<readings::Reading>& measured) {
  variant.readings.clear();
  return envelope::comparison_text(variant, network::StudyCoefficients().of(variant), measured);
}

void print_summary(const readings::FlightLog& log, const readings::Segments& segments) {
  const auto in = [](double value, const char* unit, base::Dimension dimension) {
    return base::in_unit(value, unit, dimension);
  };
  fmt::print("{} rows, {} steady segment{}\n",
             log.time.size(),
             segments.found.size(),
             segments.found.size() == 1 ? "" : "s");
  constexpr int most_shown = 20;
  int number = 0;
  for (const readings::Segment& segment : segments.found) {
    if (number == most_shown) {
      fmt::print("  and {} more, in readings.md\n", segments.found.size() - most_shown);
      break;
    }
    const readings::Reading& reading = segment.reading;
    fmt::print(
        "  {}  {} to {}  {:.0f} kt true  {:.0f} ft density altitude  {:.1f} hp{}{}\n",
        ++number,
        readings::time_text(log, segment.begin),
        readings::time_text(log, segment.end),
        in(reading.true_airspeed, "kt", base::Dimension::Speed),
        in(segment.density_altitude, "ft", base::Dimension::Length),
        in(reading.shaft_power, "hp", base::Dimension::Power),
        reading.deck_pressure_difference
            ? fmt::format("  decks {:.2f} inH2O",
                          in(reading.deck_pressure_difference->value, "inH2O", base::Dimension::Pressure))
            : std::string{},
        reading.name.empty() ? std::string{} : "  " + reading.name);
  }
  for (const std::string& finding : log.findings) fmt::print("  {}\n", finding);
  for (const std::string& finding : segments.findings) fmt::print("  {}\n", finding);
}

void write_all(const fs::path& folder, const readings::LogReport& report) {
  fs::create_directories(folder);
  std::vector<std::string> heading;
  for (std::string caution : readings::reading_cautions()) {
    std::erase(caution, '*');
    heading.push_back(caution);
  }
  heading.push_back(fmt::format("Made from {}.", report.map->log_file.filename().string()));
  base::write_text(folder / "readings.md", readings::report_markdown(report));
  base::write_text(folder / "readings.csv", readings::report_csv(report));
  base::write_text(folder / "readings.svg", readings::log_svg(*report.map, *report.log, *report.segments));
  const std::vector<readings::Reading> chosen = kept(*report.segments);
  if (!chosen.empty()) base::write_text(folder / "readings.toml", readings::readings_toml(chosen, heading));
}

}  // namespace

int keep_readings(const Words& words) {
  const options::variables_map values = read_words("readings", visible_options(), words);
  if (has_told_help(values, purpose, visible_options(), examples)) return 0;
  const fs::path file = required_file("readings", values, "LOG.toml");
  const fs::path folder = values.count("output") > 0
                              ? fs::path(values["output"].as<std::string>())
                              : file.parent_path() / (file.stem().string() + "-readings");
  const readings::LogMap map = readings::read_log_map(file);
  const std::optional<VariantSpec> variant = read_variant(values, map);
  const readings::FlightLog log = readings::screen(map, readings::read_flight_log(map));
  readings::Segments segments = readings::steady_segments(map, log);
  readings::choose_readings(segments);
  const temperature::HotDay rule =
      variant ? variant->temperatures.envelope.hot_day : temperature::HotDay::Part23;
  readings::LogReport report{.map = &map, .log = &log, .segments = &segments};
  report.correction_rule = temperature::hot_day_source(rule);
  for (const readings::Segment& segment : segments.found) {
    report.corrected.push_back(corrected(segment, log, variant, rule));
  }
  if (variant) report.comparison = comparison(*variant, kept(segments));
  write_all(folder, report);
  print_summary(log, segments);
  fmt::print("written: {}\n", folder.string());
  if (segments.found.empty()) {
    throw base::ResultError(
        fmt::format("{}: no steady segment in flight, so there is no reading. {} says what came "
                    "nearest; the rules are keys of [steady] in the map.",
                    map.log_file.string(),
                    (folder / "readings.md").string()));
  }
  return 0;
}

}  // namespace cowlwright::verbs
