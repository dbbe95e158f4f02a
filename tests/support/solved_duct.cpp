// SPDX-License-Identifier: GPL-3.0-or-later
//
// The heated duct's mesh, inflow and outflow; everything else comes from the case writer. Air goes down (-z),
// as through the cores of a cowl.
#include "tests/support/solved_duct.h"

#include "cases/foam/dictionary.h"
#include "cases/foam/parts.h"
#include "cases/run/log_scan.h"
#include "cases/run/openfoam.h"
#include "cases/run/process.h"
#include "geometry/base/air.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>

#include <utility>
#include <vector>

namespace cowlwright::testing_support {
namespace {

namespace fs = std::filesystem;
using base::PlaneRole;
using base::Side;
using base::Vec3;
using base::ZoneRole;
using foam::Dictionary;
using foam::Value;

constexpr double inflow_left = 5.0;          // m/s
constexpr double inflow_right = 6.0;         // m/s
constexpr double outlet_pressure = 89800.0;  // Pa
constexpr double temperature = 280.0;        // K
constexpr double core_heat = 20000.0;        // W each

/// A plane across one half of the duct, or all of it, at a height.
struct Cut {
  const char* name;
  PlaneRole role;
  Side side;
  double z;
};
constexpr Cut cuts[] = {{"inlet_left", PlaneRole::Inlet, Side::Left, 0.9},
                        {"inlet_right", PlaneRole::Inlet, Side::Right, 0.9},
                        {"core_l1", PlaneRole::Core, Side::Left, 0.5},
                        {"core_r1", PlaneRole::Core, Side::Right, 0.5},
                        {"exit", PlaneRole::Exit, Side::Centre, 0.1}};

/// A stretch of one half of the duct, or all of it.
struct Stretch {
  const char* name;
  ZoneRole role;
  Side side;
  double low;
  double high;
};
constexpr Stretch stretches[] = {{"upper_deck_left", ZoneRole::UpperDeck, Side::Left, 0.6, 0.9},
                                 {"upper_deck_right", ZoneRole::UpperDeck, Side::Right, 0.6, 0.9},
                                 {"core_l1", ZoneRole::Core, Side::Left, 0.4, 0.6},
                                 {"core_r1", ZoneRole::Core, Side::Right, 0.4, 0.6},
                                 {"lower_deck", ZoneRole::LowerDeck, Side::Centre, 0.1, 0.4}};

double low_y(Side side) {
  return side == Side::Right ? 0.0 : -0.3;
}
double high_y(Side side) {
  return side == Side::Left ? 0.0 : 0.3;
}
double section(Side side) {
  return 0.4 * (high_y(side) - low_y(side));
}

base::Manifest duct_manifest(const DuctRun& duct) {
  base::Manifest manifest;
  manifest.study = "Heated duct";
  manifest.study_file = "duct.toml";
  manifest.variant = "base";
  manifest.is_baseline = true;
  manifest.program_version = "test";
  manifest.openfoam_version = "1912";
  manifest.grid_level = "coarse";
  manifest.last_iteration = duct.iterations;
  manifest.window = 40;
  manifest.closure_tolerance = 0.01;
  manifest.energy_tolerance = 0.02;
  manifest.settled_tolerance = 0.01;
  const double density = outlet_pressure / (base::air::gas_constant * temperature);
  manifest.flight.true_airspeed = 20.0;
  manifest.flight.pressure = outlet_pressure;
  manifest.flight.temperature = temperature;
  manifest.flight.density = density;
  manifest.flight.dynamic_pressure = 0.5 * density * 20.0 * 20.0;
  for (const Cut& cut : cuts) {
    const Vec3 centre{0.2, 0.5 * (low_y(cut.side) + high_y(cut.side)), cut.z};
    manifest.planes.push_back(
        {cut.name, cut.role, cut.side, centre, {0.0, 0.0, -1.0}, section(cut.side), 0.4});
    manifest.monitors.push_back(
        {"mass_flow", cut.name, fmt::format("flow_{}", cut.name), "surfaceFieldValue.dat"});
  }
  for (const Stretch& stretch : stretches) {
    manifest.zones.push_back(
        {stretch.name, stretch.role, stretch.side, section(stretch.side) * (stretch.high - stretch.low)});
    if (stretch.role == ZoneRole::Core) {
      base::PassageRecord core;
      core.zone = stretch.name;
      core.plane = stretch.name;
      core.area = section(stretch.side);
      core.depth = stretch.high - stretch.low;
      core.viscous = 2e4;                                      // 1/m
      core.inertial = stretch.side == Side::Left ? 6.0 : 8.0;  // unlike, so that air changes sides above
      core.heat = core_heat;
      manifest.passages.push_back(core);
    } else {
      manifest.monitors.push_back(
          {"mean_pressure", stretch.name, fmt::format("pressure_{}", stretch.name), "volFieldValue.dat"});
    }
  }
  return manifest;
}

Dictionary block_mesh(int refinement) {
  std::vector<Value> vertices;
  for (const double z : {0.0, 1.0}) {
    for (const double y : {-0.3, 0.0, 0.3}) {
      for (const double x : {0.0, 0.4}) {
        vertices.emplace_back(Vec3{x, y, z});
      }
    }
  }
  const std::string cells =
      fmt::format("({} {} {}) simpleGrading (1 1 1)", 8 * refinement, 6 * refinement, 20 * refinement);
  Dictionary dictionary;
  dictionary.set("vertices", foam::list(vertices));
  dictionary.set("blocks", fmt::format("(hex (0 1 3 2 6 7 9 8) {0} hex (2 3 5 4 8 9 11 10) {0})", cells));
  dictionary.sub_list(
      "boundary",
      {{"entry_left", {{"type", "patch"}, {"faces", "((6 7 9 8))"}}},
       {"entry_right", {{"type", "patch"}, {"faces", "((8 9 11 10))"}}},
       {"outlet", {{"type", "patch"}, {"faces", "((0 2 3 1) (2 4 5 3))"}}},
       {"walls",
        {{"type", "wall"}, {"faces", "((0 1 7 6) (4 10 11 5) (0 6 8 2) (2 8 10 4) (1 3 9 7) (3 5 11 9))"}}}});
  return dictionary;
}

std::string box(double low_y, double high_y, double low_z, double high_z) {
  return fmt::format("(-1 {} {}) (2 {} {})", low_y, low_z, high_y, high_z);
}

Dictionary action(const std::string& name, const std::string& type, const std::string& source) {
  return {{"name", name}, {"type", type}, {"action", "new"}, {"source", source}};
}

Dictionary zone_actions() {
  constexpr double margin = 1e-3;  // m, far below a cell's size
  std::vector<std::pair<std::string, Dictionary>> actions;
  for (const Cut& cut : cuts) {
    const std::string faces = fmt::format("{}_faces", cut.name);
    const std::string ahead = fmt::format("{}_ahead", cut.name);
    actions.emplace_back(
        "",
        action(faces, "faceSet", "boxToFace")
            .set("box", box(low_y(cut.side), high_y(cut.side), cut.z - margin, cut.z + margin)));
    actions.emplace_back("", action(ahead, "cellSet", "boxToCell").set("box", box(-1.0, 1.0, cut.z, 2.0)));
    actions.emplace_back(
        "", action(cut.name, "faceZoneSet", "setsToFaceZone").set("faceSet", faces).set("cellSet", ahead));
  }
  for (const Stretch& stretch : stretches) {
    actions.emplace_back(
        "",
        action(stretch.name, "cellZoneSet", "boxToCell")
            .set("box", box(low_y(stretch.side), high_y(stretch.side), stretch.low, stretch.high)));
  }
  Dictionary dictionary;
  dictionary.sub_list("actions", std::move(actions));
  return dictionary;
}

/// A slab in the middle of the upper deck, for halving its cells.
Dictionary slab_action() {
  Dictionary dictionary;
  dictionary.sub_list(
      "actions", {{"", action("slab", "cellSet", "boxToCell").set("box", box(-0.15, 0.15, 0.62, 0.88))}});
  return dictionary;
}

Dictionary refinement() {
  Dictionary dictionary{{"set", "slab"},
                        {"coordinateSystem", "global"},
                        {"directions", "(tan1 tan2 normal)"},
                        {"useHexTopology", "yes"},
                        {"geometricCut", "no"},
                        {"writeMesh", "no"}};
  dictionary.sub("globalCoeffs", {{"tan1", Vec3{1, 0, 0}}, {"tan2", Vec3{0, 1, 0}}});
  return dictionary;
}

/// A start field: given value at both entries, `outlet`, `walls`.
struct StartField {
  const char* name;
  const char* foam_class;
  const char* dimensions;
  Value inside;
  Dictionary entry_left;
  Dictionary entry_right;
  Dictionary outlet;
  Dictionary walls;
};

Dictionary fixed(const Value& value) {
  return {{"type", "fixedValue"}, {"value", foam::uniform(value)}};
}
Dictionary leaving(const Value& value) {
  return {{"type", "inletOutlet"}, {"inletValue", foam::uniform(value)}, {"value", foam::uniform(value)}};
}
Dictionary typed(const char* type, const Value& value) {
  return {{"type", type}, {"value", foam::uniform(value)}};
}
const Dictionary zero_gradient{{"type", "zeroGradient"}};

std::vector<StartField> start_fields() {
  const auto down = [](double speed) { return Value(Vec3{0.0, 0.0, -speed}); };
  constexpr double k = 0.1;
  constexpr double omega = 50.0;
  const Dictionary calculated = typed("calculated", 0);
  return {{"U",
           "volVectorField",
           "[0 1 -1 0 0 0 0]",
           down(inflow_left),
           fixed(down(inflow_left)),
           fixed(down(inflow_right)),
           leaving(Vec3{}),
           {{"type", "noSlip"}}},
          {"p",
           "volScalarField",
           "[1 -1 -2 0 0 0 0]",
           outlet_pressure,
           zero_gradient,
           zero_gradient,
           fixed(outlet_pressure),
           zero_gradient},
          {"T",
           "volScalarField",
           "[0 0 0 1 0 0 0]",
           temperature,
           fixed(temperature),
           fixed(temperature),
           leaving(temperature),
           zero_gradient},
          {"k",
           "volScalarField",
           "[0 2 -2 0 0 0 0]",
           k,
           fixed(k),
           fixed(k),
           leaving(k),
           typed("kqRWallFunction", k)},
          {"omega",
           "volScalarField",
           "[0 0 -1 0 0 0 0]",
           omega,
           fixed(omega),
           fixed(omega),
           leaving(omega),
           typed("omegaWallFunction", omega)},
          {"nut",
           "volScalarField",
           "[0 2 -1 0 0 0 0]",
           0,
           calculated,
           calculated,
           calculated,
           typed("nutkWallFunction", 0)},
          {"alphat",
           "volScalarField",
           "[1 -1 -1 0 0 0 0]",
           0,
           calculated,
           calculated,
           calculated,
           typed("compressible::alphatWallFunction", 0)}};
}

void put(const fs::path& file, const std::string& foam_class, const Dictionary& content) {
  fs::create_directories(file.parent_path());
  base::write_text(file, foam::foam_file(foam_class, file.filename().string(), content));
}

void write_files(const fs::path& case_dir, const DuctRun& duct, const base::Manifest& manifest) {
  const auto dictionary = [&](const char* path, const Dictionary& content) {
    put(case_dir / path, "dictionary", content);
  };
  dictionary("system/blockMeshDict", block_mesh(duct.refinement));
  dictionary("system/topoSetDict", zone_actions());
  dictionary("system/slabDict", slab_action());
  dictionary("system/refineMeshDict", refinement());
  dictionary("system/fvSchemes", foam::schemes());
  dictionary("system/fvSolution", foam::solution());
  dictionary("system/controlDict",
             foam::control(manifest)
                 .set("writeInterval", std::max(1, duct.iterations / 2))
                 .set("writeFormat", duct.write_format)
                 .set("writeCompression", duct.compressed ? "on" : "off"));
  Dictionary split{{"numberOfSubdomains", 2}, {"method", "hierarchical"}};
  split.sub("coeffs", {{"n", "(1 1 2)"}, {"order", "xyz"}, {"delta", 0.001}});
  dictionary("system/decomposeParDict", split);
  dictionary("constant/thermophysicalProperties", foam::thermophysical_properties());
  dictionary("constant/turbulenceProperties", foam::turbulence_properties());
  dictionary("constant/fvOptions", foam::sources(manifest, {}, 0));
  for (const StartField& field : start_fields()) {
    Dictionary content{{"dimensions", field.dimensions}, {"internalField", foam::uniform(field.inside)}};
    content.sub("boundaryField").sub("entry_left", field.entry_left);
    content.sub("boundaryField").sub("entry_right", field.entry_right);
    content.sub("boundaryField").sub("outlet", field.outlet);
    content.sub("boundaryField").sub("walls", field.walls);
    put(case_dir / "0" / field.name, field.foam_class, content);
  }
}

}  // namespace

base::Manifest solve_duct(const fs::path& case_dir, const DuctRun& duct) {
  const base::Manifest manifest = duct_manifest(duct);
  write_files(case_dir, duct, manifest);
  base::write_manifest(manifest, case_dir);
  const auto run = [&case_dir](const std::vector<std::string>& words, const char* log) {
    const run::Command command{.words = words,
                               .directory = case_dir,
                               .log = case_dir / log,
                               .environment = run::openfoam_environment()};
    run::require_success(command, run::run_process(command));
  };
  run({"blockMesh"}, "log.block");
  if (duct.with_polyhedra) {
    run({"topoSet", "-dict", "system/slabDict"}, "log.slab");
    run({"refineMesh", "-overwrite", "-dict", "system/refineMeshDict"}, "log.refine");
  }
  run({"topoSet"}, "log.zones");
  if (duct.ranks == 1) {
    run({"rhoSimpleFoam"}, "log.solve");
    return manifest;
  }
  run({"decomposePar"}, "log.split");
  run({"mpirun", "--oversubscribe", "-np", "2", "rhoSimpleFoam", "-parallel"}, "log.solve");
  if (duct.reconstruct) {
    run({"reconstructPar", "-latestTime"}, "log.join");
  }
  return manifest;
}

}  // namespace cowlwright::testing_support
