// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `inspect`: what a user's surface is and what is wrong with it. Changes nothing.
#include "cases/verbs/cost.h"
#include "cases/verbs/inspect_report.h"
#include "cases/verbs/surface_options.h"
#include "cases/verbs/verbs.h"
#include "cases/verbs/words.h"
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <boost/program_options.hpp>
#include <fmt/format.h>

#include <chrono>
#include <sstream>

namespace cowlwright::verbs {
namespace {

namespace options = boost::program_options;

options::options_description visible_options() {
  options::options_description visible("Options", 100);
  visible.add_options()("help,h", "print this and end");
  add_surface_options(visible);
  visible.add_options()(
      "output,o",
      options::value<std::string>()->value_name("FILE.vtp"),
      "the surface with every fault marked, for any viewer of VTK files: one cell array of 0 and 1 per "
      "kind (default: none)")(
      "json", options::value<std::string>()->value_name("FILE"), "also write the report as JSON");
  return visible;
}

std::string help() {
  std::ostringstream text;
  text << "cowlwright inspect SURFACE --unit UNIT --axes=\"A R U\" [options]\n\n"
          "Reads a surface (STL, OBJ, PLY, OFF, STEP), prints its size, area and volume, and counts and "
          "locates "
          "what is wrong with "
          "it:\nholes, flipped, duplicated, degenerate, tiny and needle faces, self-intersections, "
          "non-manifold edges and "
          "points,\noverlapping shells, crumbs. Nothing is changed. The exit code is 0 when the file could "
          "be read, also with "
          "faults.\nWithout --unit or --axes it proposes them and ends with 2.\n\n"
       << visible_options()
       << "\nExamples\n"
          "  cowlwright inspect cowl.stl --unit mm --axes=\"x y z\"\n"
          "  cowlwright inspect scan.ply --unit in --axes=\"-x y -z\" --origin=\"12.5 0 3\" -o faults.vtp\n"
          "  cowlwright inspect cowl.obj --unit mm --axes=\"z x y\" --json faults.json\n";
  return text.str();
}

Inspection inspect(const options::variables_map& values) {
  constexpr std::size_t most_places = 100;
  const auto text_of = [&](const char* name, const char* otherwise) {
    return values.count(name) > 0 ? values[name].as<std::string>() : std::string(otherwise);
  };
  Inspection result;
  result.file_name = text_of("file", "");
  if (is_study_file(result.file_name)) {
    throw base::InputError(
        fmt::format("cowlwright inspect: {}: is a study, whose surfaces are proven sound when they are "
                    "built. Give a surface file.",
                    result.file_name));
  }
  const imported::Placement placement = surface_placement("inspect", result.file_name, values);
  result.unit = text_of("unit", "");
  result.axes = text_of("axes", "");
  result.origin = text_of("origin", "0 0 0");
  auto start = std::chrono::steady_clock::now();
  result.file = imported::read_surface_file(result.file_name, placement);
  result.seconds_reading = seconds_since(start);
  start = std::chrono::steady_clock::now();
  const imported::FaultLimits limits;
  result.faults = imported::diagnose(result.file.surface, limits);
  result.seconds_judging = seconds_since(start);
  result.rows = imported::fault_table(result.file.surface, result.faults, limits, most_places);
  for (imported::FaultRow& row : result.rows) {
    // The reader has left them out already.
    if (row.key != "unused_point" || result.file.n_unused_points == 0) continue;
    row.count = result.file.n_unused_points;
    row.places = {{result.file.first_unused, "the first of them"}};
    row.remedy = "they were left out on reading";
  }
  result.peak_megabytes = peak_megabytes();
  return result;
}

}  // namespace

int inspect_surface(const Words& words) {
  const options::variables_map values = read_words("inspect", visible_options(), words);
  if (values.count("help") > 0) {
    fmt::print("{}", help());
    return 0;
  }
  if (values.count("file") == 0) {
    throw base::InputError("cowlwright inspect: SURFACE is missing. See `cowlwright inspect --help`.");
  }
  const Inspection inspection = inspect(values);
  if (values.count("output") > 0) {
    imported::write_faults_vtp(
        inspection.file.surface, inspection.faults, values["output"].as<std::string>());
  }
  if (values.count("json") > 0)
    base::write_text(values["json"].as<std::string>(), inspection_json(inspection));
  fmt::print("{}", inspection_text(inspection));
  for (const char* name : {"output", "json"}) {
    if (values.count(name) > 0) fmt::print("written: {}\n", values[name].as<std::string>());
  }
  return 0;
}

}  // namespace cowlwright::verbs
