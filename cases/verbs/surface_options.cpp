// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/verbs/surface_options.h"

#include "geometry/base/error.h"
#include "geometry/imported/read_surface.h"

#include <boost/program_options.hpp>
#include <fmt/format.h>

namespace cowlwright::verbs {

namespace {

namespace options = boost::program_options;

std::string text_of(const options::variables_map& values, const char* name) {
  return values.count(name) > 0 ? values[name].as<std::string>() : std::string();
}

[[noreturn]] void refuse_with_proposal(const std::string& verb,
                                       const std::filesystem::path& file,
                                       const std::string& unit,
                                       const std::string& axes) {
  const imported::PlacementProposal proposal = imported::propose_placement(file);
  std::string missing = unit.empty() ? "--unit" : "";
  if (axes.empty()) missing += missing.empty() ? "--axes" : " and --axes";
  std::string text = fmt::format(
      "cowlwright {}: {} missing. Most surface files do not say their unit, none says which way its axes "
      "point; a wrong one would pass unseen, so neither is guessed.\n",
      verb,
      missing);
  if (unit.empty())
    text += fmt::format("  Proposed: --unit {}, for {}.\n", proposal.unit, proposal.unit_reason);
  if (axes.empty()) {
    text += fmt::format(
        "  Proposed: --axes=\"{}\" (aft, right, up), for {}.\n", proposal.axes, proposal.axes_reason);
  }
  text += fmt::format("Check against the drawing, then: cowlwright {} {} --unit {} --axes=\"{}\"",
                      verb,
                      file.string(),
                      unit.empty() ? proposal.unit : unit,
                      axes.empty() ? proposal.axes : axes);
  throw base::InputError(text);
}

}  // namespace

void add_surface_options(options::options_description& description) {
  auto add = description.add_options();
  add("unit",
      options::value<std::string>()->value_name("UNIT"),
      "unit the surface file was drawn in: mm, in, m, cm or ft; must be given");
  add("axes",
      options::value<std::string>()->value_name("\"A R U\""),
      "the file's axes that point aft, to the pilot's right and up: --axes=\"x y z\", --axes=\"-x y -z\"; "
      "must be given");
  add("origin",
      options::value<std::string>()->value_name("\"X Y Z\""),
      "where the crankshaft line meets the propeller plane, in the file's axes and unit (default: 0 0 0)");
}

bool is_study_file(const std::filesystem::path& file) {
  return file.extension() == ".toml";
}

imported::Placement surface_placement(const std::string& verb,
                                      const std::filesystem::path& file,
                                      const options::variables_map& values) {
  const std::string unit = text_of(values, "unit");
  const std::string axes = text_of(values, "axes");
  const std::string origin = text_of(values, "origin");
  if (unit.empty() || axes.empty()) {
    // What was given must be sound before anything is proposed beside it.
    (void)imported::read_placement(
        unit.empty() ? "mm" : unit, axes.empty() ? "x y z" : axes, origin.empty() ? "0 0 0" : origin);
    refuse_with_proposal(verb, file, unit, axes);
  }
  return imported::read_placement(unit, axes, origin.empty() ? "0 0 0" : origin);
}

void refuse_surface_options(const std::string& verb, const options::variables_map& values) {
  for (const char* name : {"unit", "axes", "origin"}) {
    if (values.count(name) > 0) {
      throw base::InputError(
          fmt::format("cowlwright {}: --{} = \"{}\": belongs to a surface file; a study has its own units "
                      "and axes. Leave it "
                      "out.",
                      verb,
                      name,
                      text_of(values, name)));
    }
  }
}

}  // namespace cowlwright::verbs
