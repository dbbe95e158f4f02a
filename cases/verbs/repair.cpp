// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `repair`: from a user's dirty surface to one the other verbs take, with a record of every step.
#include "cases/verbs/repair_report.h"
#include "cases/verbs/surface_options.h"
#include "cases/verbs/verbs.h"
#include "cases/verbs/words.h"
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"
#include "geometry/base/units.h"
#include "geometry/imported/read_surface.h"

#include <boost/program_options.hpp>
#include <fmt/format.h>

#include <sstream>

namespace cowlwright::verbs {
namespace {

namespace fs = std::filesystem;
namespace options = boost::program_options;

options::options_description visible_options() {
  options::options_description visible("Options", 100);
  auto add = visible.add_options();
  const auto length = [] { return options::value<std::string>()->value_name("LENGTH"); };
  add("help,h", "print this and end");
  add_surface_options(visible);
  add("output,o",
      options::value<std::string>()->value_name("FILE"),
      "STL to write (default: FILE's name + \"-repaired.stl\", in this folder); coordinates in metres, x "
      "aft, y to the "
      "pilot's right, z up");
  add("weld", length(), "points of open edges nearer than this become one (default: 0.01 mm)");
  add("fill-holes", length(), "holes up to this size across are closed (default: none are)");
  add("crumbs",
      options::value<std::string>()->value_name("SHARE"),
      "loose pieces with less than this share of the whole area are left out (default: 0.1 %)");
  add("tolerance",
      length(),
      "greatest deviation from the original, either way (default: that of --wrap, else 1 mm); beyond it "
      "nothing is written "
      "but the report and the deviation");
  add("wrap", length(), "for scans beyond repair: a closed skin round the whole, made with this tolerance");
  add("shell", "with --wrap: a thin closed shell round both sides of an open sheet is what is wanted");
  add("remesh", length(), "triangles of even size, edges of about this length");
  add("json", options::value<std::string>()->value_name("FILE"), "also write the report as JSON");
  return visible;
}

std::string help() {
  std::ostringstream text;
  text << "cowlwright repair SURFACE --unit UNIT --axes=\"A R U\" [options]\n\n"
          "Mends a surface (STL, OBJ, PLY, OFF, STEP): welds and stitches cracks, drops degenerate and "
          "duplicate "
          "triangles, turns\nall outward, takes apart edges with more than two triangles, leaves out crumbs, "
          "closes "
          "small holes, takes out\nself-intersections. Prints what each step did and measures the deviation "
          "from the "
          "original, both ways. A result that\nbreaks the tolerance or still has a fault is refused with "
          "exit code 4: "
          "look at the deviation file to see where.\n\n"
       << visible_options()
       << "\nExamples\n"
          "  cowlwright repair cowl.stl --unit mm --axes=\"x y z\" -o repaired.stl\n"
          "  cowlwright repair cowl.stl --unit mm --axes=\"x y z\" --weld \"0.1 mm\" --fill-holes \"20 mm\"\n"
          "  cowlwright repair scan.ply --unit mm --axes=\"-x y -z\" --weld \"0.5 mm\" --fill-holes \"30 "
          "mm\" --wrap \"5 "
          "mm\"\n";
  return text.str();
}

/// What is asked for; range checks stand with repair() and wrap().
struct RepairRequest {
  imported::RepairSettings repair;
  std::optional<imported::WrapSettings> wrap;
};

RepairRequest read_request(const options::variables_map& values) {
  const auto length = [&](const char* name) {
    return quantity_option("repair", values, name, base::Dimension::Length);
  };
  RepairRequest request;
  request.repair.weld = length("weld").value_or(request.repair.weld);
  request.repair.fill_holes = length("fill-holes").value_or(request.repair.fill_holes);
  request.repair.crumb_share = quantity_option("repair", values, "crumbs", base::Dimension::Share)
                                   .value_or(request.repair.crumb_share);
  request.repair.remesh_edge = length("remesh");
  const std::optional<double> wrap = length("wrap");
  request.repair.tolerance = length("tolerance").value_or(wrap.value_or(request.repair.tolerance));
  if (values.count("shell") > 0 && !wrap)
    throw base::InputError(
        "cowlwright repair: --shell without --wrap: only a wrap makes a shell. Add --wrap.");
  if (!wrap) return request;
  if (request.repair.remesh_edge) {
    throw base::InputError(
        "cowlwright repair: --remesh with --wrap: a wrap sets its own size of triangles. Leave one of them "
        "out.");
  }
  request.repair.remove_crossings = false;  // a wrap has none, whatever it is wrapped round
  request.wrap = imported::WrapSettings{.tolerance = *wrap,
                                        .accept_shell = values.count("shell") > 0,
                                        .deviation_limit = request.repair.tolerance};
  return request;
}

fs::path beside(const fs::path& output, const char* ending) {
  return output.parent_path() / (output.stem().string() + ending);
}

/// Why the result may not be used; empty when it may.
std::string refusal(const RepairOutcome& outcome) {
  std::string text;
  const auto add = [&](const std::string& reason) { text += (text.empty() ? "" : "; ") + reason; };
  if (!outcome.repaired.broken_tolerance.empty()) add(outcome.repaired.broken_tolerance);
  if (outcome.wrapped) {
    if (!outcome.wrapped->broken_tolerance.empty()) add("wrap: " + outcome.wrapped->broken_tolerance);
    return text;
  }
  for (const std::string& fault : outcome.repaired.faults) add(fault);
  return text;
}

int finish(const RepairOutcome& outcome, const fs::path& output, const options::variables_map& values) {
  const fs::path deviation_file = beside(output, "-deviation.vtp");
  imported::write_deviation(outcome.surface(), outcome.deviation(), deviation_file);
  fmt::print("{}", report_text(outcome));
  const std::string reason = refusal(outcome);
  if (values.count("json") > 0)
    base::write_text(values["json"].as<std::string>(), report_json(outcome, reason));
  fmt::print("\n{}  deviation [mm] as colours\n", deviation_file.string());
  if (!reason.empty()) {
    throw base::ResultError(
        fmt::format("cowlwright repair: {} is not written: {}. Look at {}; then raise --tolerance if the "
                    "change is right, or mend the "
                    "place in the program the surface comes from{}.",
                    output.string(),
                    reason,
                    deviation_file.string(),
                    outcome.wrapped ? "" : ", or wrap it with --wrap"));
  }
  shape::write_stl(outcome.surface(), output);
  fmt::print("{}  in metres, x aft, y to the pilot's right, z up: from here on --unit m --axes=\"x y z\"\n",
             output.string());
  return 0;
}

}  // namespace

int repair_surface(const Words& words) {
  const options::variables_map values = read_words("repair", visible_options(), words);
  if (values.count("help") > 0) {
    fmt::print("{}", help());
    return 0;
  }
  const fs::path file = required_file("repair", values, "SURFACE");
  const RepairRequest request = read_request(values);
  const imported::SurfaceFile read =
      imported::read_surface_file(file, surface_placement("repair", file, values));
  RepairOutcome outcome{.file = file.string(), .format = read.format, .settings = request.repair};
  outcome.repaired = imported::repair(read.surface, request.repair);
  const fs::path output = values.count("output") > 0 ? fs::path(values["output"].as<std::string>())
                                                     : fs::path(file.stem().string() + "-repaired.stl");
  if (request.wrap) {
    try {
      outcome.wrapped = imported::wrap(outcome.repaired.surface, *request.wrap);
    } catch (const base::ResultError&) {
      fmt::print("{}", report_text(outcome));  // what the repair did says why the wrap failed
      throw;
    }
  }
  return finish(outcome, output, values);
}

}  // namespace cowlwright::verbs
