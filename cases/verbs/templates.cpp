// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `templates`: section outlines and flat patterns at full size.
#include "cases/verbs/study_selection.h"
#include "cases/verbs/surface_options.h"
#include "cases/verbs/verbs.h"
#include "cases/verbs/words.h"
#include "geometry/base/error.h"
#include "geometry/base/units.h"
#include "geometry/imported/read_surface.h"
#include "geometry/shape/cowl_skin.h"
#include "geometry/templates/flat_patterns.h"
#include "geometry/templates/inset.h"
#include "geometry/templates/paper.h"
#include "geometry/templates/write_dxf.h"
#include "geometry/templates/write_pdf.h"
#include "geometry/templates/write_svg.h"

#include <boost/program_options.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <sstream>
#include <utility>

namespace cowlwright::verbs {
namespace {

namespace fs = std::filesystem;
namespace options = boost::program_options;
using options::variables_map;

constexpr std::size_t most_planes = 100;

constexpr const char* purpose =
    "cowlwright templates FILE [options]\n\n"
    "Cuts a surface at fuselage stations (FS), butt lines (BL) and water lines (WL) and writes each\n"
    "outline at full size: DXF (mm, aircraft coordinates), SVG, and PDF over several sheets of paper\n"
    "with a map, crosses to lay them together by, and bars to check the printer. FILE is a surface\n"
    "(STL, OBJ, PLY, OFF, STEP) or a study (.toml), of which the cowl's outer skin is cut. From a\n"
    "study, --patterns adds flat patterns of exit lip, inlet rings and ducts.\n\n";

constexpr const char* examples =
    "\nExamples\n"
    "  cowlwright templates my-cowl.toml --stations \"300 mm, 600 mm\" --waterlines \"0 mm\"\n"
    "  cowlwright templates my-cowl.toml --stations \"24 in\" --inset \"19 mm\" --paper letter\n"
    "  cowlwright templates my-cowl.toml --patterns --sheet \"1.2 mm\" --bend-radius \"4 mm\"\n"
    "  cowlwright templates scan.stl --unit mm --axes=\"x y z\" --buttlines \"0 mm, 200 mm\"\n";

options::options_description visible_options() {
  options::options_description visible("Options", 100);
  auto add = visible.add_options();
  const auto text = [](const char* name) { return options::value<std::string>()->value_name(name); };
  add("help,h", "print this and end");
  add("stations", text("LIST"), "lengths aft of the propeller plane, with units, parted by commas");
  add("buttlines", text("LIST"), "lengths to the pilot's right of the shaft line");
  add("waterlines", text("LIST"), "lengths above the shaft line");
  add("inset", text("LENGTH"), "also each closed outline moved inward by this: a bulkhead inside the skin");
  add("patterns", "also flat patterns of exit lip, inlet rings and ducts; from a study only");
  add("sheet", text("LENGTH"), "thickness of the lip's sheet (default: 1 mm)");
  add("bend-radius", text("LENGTH"), "inside radius of the lip's bend (default: 3 mm)");
  add("k-factor",
      options::value<double>()->value_name("K"),
      "neutral line over thickness in the bend, 0 to 0.5 (default: 0.44, common practice)");
  add("flange", text("LENGTH"), "of the lip's plate on the skin, to the bend's corner (default: 25 mm)");
  add("paper", text("NAME"), "a4, letter, a3 or none (default: a4)");
  add("output,o", text("DIR"), "folder to write to (default: FILE's name + \"-templates\", beside it)");
  add("variant",
      options::value<std::vector<std::string>>()->value_name("NAME"),
      "of a study only this variant; may be given several times");
  add_surface_options(visible);
  return visible;
}

struct Plane {
  templates::Cut cut = templates::Cut::Station;
  double value = 0.0;
};

void add_planes(std::vector<Plane>& planes,
                const variables_map& values,
                const std::string& option,
                templates::Cut cut) {
  if (values.count(option) == 0) return;
  std::istringstream list(values[option].as<std::string>());
  std::vector<double> lengths;
  for (std::string item; std::getline(list, item, ',');) {
    try {
      const auto start = item.find_first_not_of(' ');
      lengths.push_back(base::parse_quantity(start == std::string::npos ? item : item.substr(start),
                                             base::Dimension::Length));
    } catch (const base::InputError& error) {
      throw base::InputError(fmt::format("cowlwright templates: --{}: {}", option, error.what()));
    }
  }
  if (lengths.empty()) {
    throw base::InputError(
        fmt::format("cowlwright templates: --{} is empty: give lengths, \"300 mm, 600 mm\".", option));
  }
  std::sort(lengths.begin(), lengths.end());
  lengths.erase(std::unique(lengths.begin(), lengths.end()), lengths.end());
  for (const double length : lengths) planes.push_back({cut, length});
}

std::vector<Plane> wanted_planes(const variables_map& values) {
  std::vector<Plane> planes;
  add_planes(planes, values, "stations", templates::Cut::Station);
  add_planes(planes, values, "buttlines", templates::Cut::ButtLine);
  add_planes(planes, values, "waterlines", templates::Cut::WaterLine);
  if (planes.size() > most_planes) {
    throw base::InputError(
        fmt::format("cowlwright templates: {} planes: at most {} in one call.", planes.size(), most_planes));
  }
  if (planes.empty() && values.count("patterns") == 0) {
    throw base::InputError(
        "cowlwright templates: nothing to draw: give --stations, --buttlines, --waterlines or --patterns.");
  }
  return planes;
}

struct Wanted {
  std::vector<Plane> planes;
  std::optional<double> inset{};
  bool patterns = false;
  templates::Plate plate{};
  std::optional<templates::Paper> paper{};
};

Wanted read_wanted(const variables_map& values) {
  Wanted wanted{.planes = wanted_planes(values)};
  const auto length = [&](const char* option) {
    return quantity_option("templates", values, option, base::Dimension::Length);
  };
  wanted.inset = length("inset");
  wanted.patterns = values.count("patterns") > 0;
  for (const char* option : {"sheet", "bend-radius", "k-factor", "flange"}) {
    if (values.count(option) > 0 && !wanted.patterns) {
      throw base::InputError(
          fmt::format("cowlwright templates: --{} belongs to --patterns. Add it or leave it out.", option));
    }
  }
  templates::Plate& plate = wanted.plate;
  plate.thickness = length("sheet").value_or(plate.thickness);
  plate.bend_radius = length("bend-radius").value_or(plate.bend_radius);
  plate.flange = length("flange").value_or(plate.flange);
  if (values.count("k-factor") > 0) plate.k_factor = values["k-factor"].as<double>();
  const std::string paper = values.count("paper") > 0 ? values["paper"].as<std::string>() : "a4";
  if (paper != "none") wanted.paper = templates::paper_named(paper);
  return wanted;
}

/// Outlines of one plane and, where asked for, the same moved inward on a layer of its own.
templates::Drawing plane_drawing(const shape::Surface& surface, const Plane& plane, const Wanted& wanted) {
  const templates::Section section = templates::cut_section(surface, plane.cut, plane.value);
  templates::Drawing drawing = templates::section_drawing(section);
  if (!wanted.inset) return drawing;
  try {
    templates::add_inset(drawing, templates::inset_curves(section.curves, *wanted.inset), *wanted.inset);
  } catch (const base::InputError& error) {
    throw base::InputError(fmt::format("{}: {}", drawing.title, error.what()));
  }
  return drawing;
}

/// A drawing, the folder it goes to and, where it goes to paper, its sheets.
struct Sheet {
  templates::Drawing drawing;
  fs::path folder;
  std::optional<templates::Tiling> tiling{};
};

/// Names of files and variants as they can stand in any drawing: printable ASCII.
std::string printable(std::string text) {
  std::replace_if(
      text.begin(), text.end(), [](char c) { return c < ' ' || c > '~'; }, '?');
  return text;
}

void add_sheet(std::vector<Sheet>& sheets,
               templates::Drawing drawing,
               const std::string& origin,
               const Wanted& wanted,
               const fs::path& folder) {
  drawing.notes.insert(drawing.notes.begin(), printable(origin));
  Sheet sheet{std::move(drawing), folder};
  if (wanted.paper) sheet.tiling = templates::tile(sheet.drawing, *wanted.paper);
  sheets.push_back(std::move(sheet));
}

std::vector<Sheet> sheets_of_study(const fs::path& file,
                                   const variables_map& values,
                                   const Wanted& wanted,
                                   const fs::path& output) {
  refuse_surface_options("templates", values);
  const Study study = read_study(file);
  std::vector<std::string> names;
  if (values.count("variant") > 0) names = values["variant"].as<std::vector<std::string>>();
  std::vector<Sheet> sheets;
  for (const std::size_t index : selected_variants(study, names)) {
    const VariantSpec& spec = study.variants[index];
    const fs::path folder = output / spec.variant.name;
    const std::string origin = fmt::format("{}, variant {}.", file.filename().string(), spec.variant.name);
    if (!wanted.planes.empty()) {
      const shape::Surface skin = shape::cowl_skin(spec.shape);
      for (const Plane& plane : wanted.planes) {
        add_sheet(sheets, plane_drawing(skin, plane, wanted), origin, wanted, folder);
      }
    }
    if (!wanted.patterns) continue;
    for (templates::Drawing& drawing : templates::flat_patterns(spec.shape, wanted.plate)) {
      add_sheet(sheets, std::move(drawing), origin, wanted, folder);
    }
  }
  return sheets;
}

std::vector<Sheet> sheets_of_surface(const fs::path& file,
                                     const variables_map& values,
                                     const Wanted& wanted,
                                     const fs::path& output) {
  for (const char* option : {"variant", "patterns"}) {
    if (values.count(option) > 0) {
      throw base::InputError(fmt::format(
          "cowlwright templates: --{} belongs to a study (.toml); {} is a surface.", option, file.string()));
    }
  }
  const imported::Placement placement = surface_placement("templates", file, values);
  const shape::Surface surface = imported::read_surface(file, placement);
  const std::string origin = fmt::format("{}, unit {}, axes {}.",
                                         file.filename().string(),
                                         values["unit"].as<std::string>(),
                                         values["axes"].as<std::string>());
  std::vector<Sheet> sheets;
  for (const Plane& plane : wanted.planes) {
    add_sheet(sheets, plane_drawing(surface, plane, wanted), origin, wanted, output);
  }
  return sheets;
}

void write_sheet(const Sheet& sheet, const Wanted& wanted) {
  make_folder(sheet.folder);
  const fs::path stem = sheet.folder / sheet.drawing.stem;
  templates::write_dxf(sheet.drawing, stem.string() + ".dxf");
  templates::write_svg(sheet.drawing, stem.string() + ".svg");
  if (sheet.tiling) templates::write_pdf(sheet.drawing, *sheet.tiling, stem.string() + ".pdf");
  fmt::print("{}\n", sheet.drawing.title);
  for (const std::string& note : sheet.drawing.notes) fmt::print("  {}\n", note);
  fmt::print("  {}.dxf, .svg{}\n",
             stem.string(),
             sheet.tiling ? fmt::format(", .pdf: a map and {} {} {}",
                                        n_printed(*sheet.tiling),
                                        n_printed(*sheet.tiling) == 1 ? "sheet" : "sheets",
                                        wanted.paper->name)
                          : "");
}

}  // namespace

int write_templates(const Words& words) {
  const variables_map values = read_words("templates", visible_options(), words);
  if (has_told_help(values, purpose, visible_options(), examples)) return 0;
  const fs::path file = required_file("templates", values, "FILE");
  const Wanted wanted = read_wanted(values);
  const fs::path output = values.count("output") > 0
                              ? fs::path(values["output"].as<std::string>())
                              : file.parent_path() / (file.stem().string() + "-templates");
  // All are drawn before any is written: a plane that misses leaves no half set behind.
  const std::vector<Sheet> sheets = is_study_file(file) ? sheets_of_study(file, values, wanted, output)
                                                        : sheets_of_surface(file, values, wanted, output);
  for (const Sheet& sheet : sheets) write_sheet(sheet, wanted);
  fmt::print(
      "Lines are the surface as it was given. Print at 100 %, measure both bars on every sheet, and check a "
      "template against\nthe part before cutting.\n");
  return 0;
}

}  // namespace cowlwright::verbs
