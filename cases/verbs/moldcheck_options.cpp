// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/verbs/moldcheck_options.h"

#include "cases/verbs/surface_options.h"
#include "cases/verbs/words.h"
#include "geometry/base/error.h"
#include "geometry/base/units.h"

#include <boost/program_options.hpp>
#include <fmt/format.h>

#include <cmath>
#include <sstream>

namespace cowlwright::verbs {
namespace {

namespace options = boost::program_options;
using base::Dimension;
using Texts = std::vector<std::string>;

/// A limit that can be given: where it goes, what it may be.
struct Quantity {
  const char* name;
  const char* what;
  Dimension dimension;
  double least, most;
  double* value;
};

std::vector<Quantity> quantities(mold::Options& o) {
  mold::Limits& l = o.limits;
  constexpr double degree = mold::one_degree;
  return {
      {"draft-warning",
       "draft below this is a warning",
       Dimension::Angle,
       0.0,
       45 * degree,
       &l.draft_warning},
      {"draft-error", "draft below this is a fault", Dimension::Angle, 0.0, 45 * degree, &l.draft_error},
      {"wall-height",
       "where it is lower than this along the pull, a warning",
       Dimension::Length,
       0.0,
       1.0,
       &l.wall_height},
      {"inside-radius",
       "of the mold's hollows; less is a warning",
       Dimension::Length,
       1e-4,
       1.0,
       &l.inside_radius},
      {"outside-radius",
       "of the mold's edges; less is a warning",
       Dimension::Length,
       1e-4,
       1.0,
       &l.outside_radius},
      {"flange-warning",
       "room for a flange; less is a warning",
       Dimension::Length,
       0.0,
       0.2,
       &l.flange_warning},
      {"flange-error", "room for a flange; less is a fault", Dimension::Length, 0.0, 0.2, &l.flange_error},
      {"thickness", "of a closed part; less is a warning", Dimension::Length, 0.0, 1.0, &l.thickness},
      {"least", "clearance to other bodies; less is a fault", Dimension::Length, 0.0, 1.0, &l.clearance},
      {"gel-coat", "its thickness", Dimension::Length, 0.0, 0.01, &o.lay_up.gel_thickness},
      {"resin", "resin's share of the laminate's mass", Dimension::Share, 0.0, 0.95, &o.lay_up.resin_share}};
}

const char* edge_unit(Dimension dimension) {
  return dimension == Dimension::Angle ? "deg" : dimension == Dimension::Share ? "%" : "mm";
}

std::string at_edge(double value, Dimension dimension) {
  return fmt::format(
      "{:.4g} {}", base::in_unit(value, edge_unit(dimension), dimension), edge_unit(dimension));
}

options::options_description visible_options() {
  options::options_description visible("Options", 100);
  auto add = visible.add_options();
  add("help,h", "print this and end");
  add("pull",
      options::value<Texts>()->value_name("\"X Y Z\""),
      "the way one part of the mold is drawn off, as aft, right and up; given once for a mold in one piece, "
      "twice for two "
      "halves, more for loose pieces; must be given");
  add("split",
      options::value<std::string>()->value_name("\"BL 0\""),
      "plane between two halves, FS, BL or WL in mm; with one pull the other half is drawn the other way "
      "(default: the "
      "line is proposed)");
  add("side",
      options::value<std::string>()->value_name("SIDE"),
      "side of the surface the mold stands on: outside, where its normals point, or inside (default: "
      "outside)");
  add_surface_options(visible);
  mold::Options defaults;
  for (const Quantity& q : quantities(defaults)) {
    add(q.name,
        options::value<std::string>()->value_name("VALUE"),
        fmt::format("{} (default: {})", q.what, at_edge(*q.value, q.dimension)).c_str());
  }
  add("ply",
      options::value<Texts>()->value_name("\"N g/m2\""),
      "dry mass of one ply of cloth; once for each ply (default: three of 200 g/m2)");
  add("near",
      options::value<Texts>()->value_name("FILE"),
      "a second surface to keep clear of, in the same unit and axes; may be given several times");
  add("skin",
      options::value<std::string>()->value_name("VALUE"),
      "thickness of the part behind the surface, taken off the clearance (default: 0 mm; of a study its "
      "skin)");
  add("variant",
      options::value<std::string>()->value_name("NAME"),
      "variant of a study (default: the first)");
  add("output,o",
      options::value<std::string>()->value_name("DIR"),
      "folder to write to (default: FILE's name + \"-moldcheck\", beside it)");
  return visible;
}

[[noreturn]] void refuse(const std::string& what) {
  throw base::InputError(fmt::format("cowlwright moldcheck: {} See `cowlwright moldcheck --help`.", what));
}

double bounded(const char* name, const std::string& text, Dimension dimension, double least, double most) {
  double value = 0.0;
  try {
    value = base::parse_quantity(text, dimension);
  } catch (const base::InputError& error) {
    refuse(fmt::format("--{} = {}: {}", name, text, error.what()));
  }
  if (!(value >= least && value <= most)) {
    refuse(fmt::format(
        "--{} = {}: must be {} to {}.", name, text, at_edge(least, dimension), at_edge(most, dimension)));
  }
  return value;
}

double parse_ply(const std::string& text) {
  constexpr double most = 5000.0;
  const base::SplitQuantity split = base::split_quantity(text);
  if (split.unit != "g/m2" || !(split.number > 0.0 && split.number <= most)) {
    refuse(
        fmt::format("--ply = {}: must be above 0 and up to {} g/m2, for example \"200 g/m2\".", text, most));
  }
  return 0.001 * split.number;
}

void read_pulls(const options::variables_map& values, mold::Options& o) {
  if (values.count("pull") == 0) {
    refuse("--pull is missing: the way the mold is drawn off, for example --pull \"0 1 0\".");
  }
  for (const std::string& text : values["pull"].as<Texts>()) o.pulls.push_back(parse_pull(text));
  if (o.pulls.size() > mold::most_pulls)
    refuse(fmt::format("--pull: {} given: at most {}.", o.pulls.size(), mold::most_pulls));
  for (std::size_t i = 0; i < o.pulls.size(); ++i) {
    for (std::size_t k = 0; k < i; ++k) {
      if (dot(o.pulls[i], o.pulls[k]) > 0.9999) refuse("--pull: the same direction twice. Leave one out.");
    }
  }
  if (values.count("split") > 0) o.split = mold::parse_split(values["split"].as<std::string>());
}

void read_options(const options::variables_map& values, mold::Options& o) {
  read_pulls(values, o);
  if (values.count("side") > 0) {
    const std::string& side = values["side"].as<std::string>();
    if (side != "outside" && side != "inside")
      refuse(fmt::format("--side = {}: must be outside or inside.", side));
    o.side = side == "inside" ? mold::MoldSide::Inside : mold::MoldSide::Outside;
  }
  for (const Quantity& q : quantities(o)) {
    if (values.count(q.name) > 0) {
      *q.value = bounded(q.name, values[q.name].as<std::string>(), q.dimension, q.least, q.most);
    }
  }
  if (!(o.limits.draft_error <= o.limits.draft_warning)) {
    refuse(fmt::format("--draft-error = {}: must not be above --draft-warning ({}).",
                       at_edge(o.limits.draft_error, Dimension::Angle),
                       at_edge(o.limits.draft_warning, Dimension::Angle)));
  }
  if (!(o.limits.flange_error <= o.limits.flange_warning)) {
    refuse(fmt::format("--flange-error = {}: must not be above --flange-warning ({}).",
                       at_edge(o.limits.flange_error, Dimension::Length),
                       at_edge(o.limits.flange_warning, Dimension::Length)));
  }
  if (values.count("ply") == 0) return;
  o.lay_up.plies.clear();
  for (const std::string& text : values["ply"].as<Texts>()) o.lay_up.plies.push_back(parse_ply(text));
}

void read_place(const options::variables_map& values, MoldRequest& request) {
  if (is_study_file(request.file)) {
    refuse_surface_options("moldcheck", values);
    if (values.count("near") > 0)
      refuse("--near: belongs to a surface file; a study has its engine and propeller.");
  } else {
    if (values.count("variant") > 0) refuse("--variant: belongs to a study. Leave it out.");
    request.placement = surface_placement("moldcheck", request.file, values);
  }
}

}  // namespace

base::Vec3 parse_pull(const std::string& text) {
  std::istringstream in(text);
  base::Vec3 v;
  std::string rest;
  const bool is_read = static_cast<bool>(in >> v.x >> v.y >> v.z) && !(in >> rest);
  const base::Vec3 direction = mold::unit(v);
  // A unit vector, or nothing that can be made one (NaN fails too).
  if (!is_read || !(std::abs(norm(direction) - 1.0) < 1e-9)) {
    refuse(fmt::format(
        "--pull = {}: must be three numbers, aft, right and up, not all 0, for example \"0 1 0\".", text));
  }
  return direction;
}

MoldRequest parse_mold_request(const Texts& words) {
  const options::variables_map values = read_words("moldcheck", visible_options(), words);
  MoldRequest request;
  request.wants_help = values.count("help") > 0;
  if (request.wants_help) return request;
  if (values.count("file") == 0) refuse("FILE is missing: a surface or a study.");
  request.file = values["file"].as<std::string>();
  read_options(values, request.options);
  read_place(values, request);
  if (values.count("near") > 0) {
    for (const std::string& file : values["near"].as<Texts>()) request.near.emplace_back(file);
  }
  if (values.count("skin") > 0) {
    request.skin = bounded("skin", values["skin"].as<std::string>(), Dimension::Length, 0.0, 0.1);
  }
  if (values.count("variant") > 0) request.variant = values["variant"].as<std::string>();
  request.output = request.file.parent_path() / (request.file.stem().string() + "-moldcheck");
  if (values.count("output") > 0) request.output = values["output"].as<std::string>();
  return request;
}

std::string mold_help() {
  std::ostringstream text;
  text << "cowlwright moldcheck FILE --pull \"X Y Z\" [options]\n\n"
          "Says what a mold maker needs to know of a surface before the mold is made: undercuts, draft, a "
          "parting line, "
          "radii,\nroom for flanges, trim edges, thickness, clearances, size and mass. FILE is a surface "
          "(STL, OBJ, PLY, "
          "OFF) or a study\n(.toml), of which the cowl's outer skin is taken. Writes report.json, check.vtp "
          "and "
          "pictures.\nEvery limit is common practice, no source. Exit code 0 with passes and warnings, 4 "
          "when something "
          "fails.\n\n"
       << visible_options()
       << "\nExamples\n"
          "  cowlwright moldcheck cowl.stl --unit mm --axes \"x y z\" --pull \"0 1 0\" --pull \"0 -1 0\"\n"
          "  cowlwright moldcheck cowl.stl --unit mm --axes \"x y z\" --pull \"0 1 0\" --split \"BL 0\" -o "
          "mold\n"
          "  cowlwright moldcheck upper.stl --unit in --axes \"x y z\" --pull \"0 0 1\" --near engine.stl "
          "--least \"25 mm\"\n"
          "  cowlwright moldcheck my-cowl.toml --pull \"0 0 1\" --pull \"0 0 -1\" --pull \"-1 0 0\"\n\n"
          "Results are estimates, not approvals: the mold maker, and after that the aircraft, decide.\n";
  return text.str();
}

}  // namespace cowlwright::verbs
