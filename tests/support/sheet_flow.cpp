// SPDX-License-Identifier: GPL-3.0-or-later
//
// Case files of a sheet and its fields read back.
#include "tests/support/sheet_flow.h"

#include "cases/foam/parts.h"
#include "geometry/base/error.h"
#include "geometry/base/manifest.h"
#include "geometry/base/monitor_history.h"

#include <fmt/format.h>

#include <numbers>
#include <sstream>
#include <utility>

namespace cowlwright::testing_support {
namespace {

using foam::Dictionary;
using foam::list;
using foam::uniform;
using foam::Value;
using Kind = Opening::Kind;

base::Vec3 along(Sheet sheet, double speed) {
  return sheet == Sheet::Plane ? base::Vec3{0.0, 0.0, -speed} : base::Vec3{speed, 0.0, 0.0};
}

// What drives the flow comes up over this many iterations: at once it can throw the density out of its
// bounds.
constexpr int rise = 50;

Dictionary risen_speed(Sheet sheet, double speed) {
  const Value table = list({list({0, along(sheet, 0.1 * speed)}), list({rise, along(sheet, speed)})});
  return {{"type", "uniformFixedValue"}, {"uniformValue", "table " + table.text}};
}

Dictionary velocity_at(const Opening& opening, Sheet sheet) {
  switch (opening.kind) {
    case Kind::Wall:
      return {{"type", "noSlip"}};
    case Kind::Slip:
      return {{"type", "slip"}};
    case Kind::SpeedIn:
    case Kind::SpeedOut:
      return risen_speed(sheet, opening.value);
    case Kind::Total:
    case Kind::Static:
      break;
  }
  return {{"type", "pressureInletOutletVelocity"}, {"value", uniform(base::Vec3{})}};
}

Dictionary pressure_at(const Opening& opening, double start) {
  if (opening.kind == Kind::Total) {
    const Value table = list({list({0, start}), list({rise, opening.value})});
    return {{"type", "uniformTotalPressure"}, {"p0", "table " + table.text}, {"value", uniform(start)}};
  }
  if (opening.kind == Kind::Static) {
    return {{"type", "fixedValue"}, {"value", uniform(opening.value)}};
  }
  return {{"type", "zeroGradient"}};
}

/// Fields carried by the air: the start value comes in with it.
Dictionary carried_at(const Opening& opening) {
  if (opening.kind == Kind::Slip || opening.kind == Kind::SpeedOut) {
    return {{"type", "zeroGradient"}};
  }
  return {{"type", "inletOutlet"}, {"inletValue", "$internalField"}, {"value", "$internalField"}};
}

Dictionary field_at(const std::string& field, const Opening& opening, const SheetFlow& flow) {
  if (field == "U") {
    return velocity_at(opening, flow.mesh.sheet());
  }
  if (field == "p") {
    return pressure_at(opening, flow.air.pressure);
  }
  if (field == "nut" || field == "alphat") {
    return {{"type", "calculated"}, {"value", "$internalField"}};
  }
  return carried_at(opening);
}

/// Start fields of a study's case with this sheet's patches.
void write_fields(SolverCase& run, const SheetFlow& flow) {
  flight::FlightSpec flight;
  flight.true_airspeed = flow.turbulence_speed;
  flight.air = flow.air;
  std::vector<std::string> walls;
  for (const auto& [patch, opening] : flow.patches) {
    if (opening.kind == Kind::Wall) {
      walls.push_back(patch);
    }
  }
  const Sheet sheet = flow.mesh.sheet();
  for (foam::Field& field : foam::start_fields(flight, flight::reference_pressure(flight, 0.0), walls)) {
    if (field.name == "U") {
      field.content.set("internalField", uniform(base::Vec3{}));
    }
    Dictionary& boundary = field.content.sub("boundaryField");
    for (const auto& [patch, opening] : flow.patches) {
      if (opening.kind != Kind::Wall) {
        boundary.sub(patch, field_at(field.name, opening, flow));
      }
    }
    for (const char* side : {"back", "front"}) {
      boundary.sub(side, {{"type", sheet == Sheet::Round ? "wedge" : "empty"}});
    }
    run.write_field(field.name, field.foam_class, field.content);
  }
}

/// Zones of the cores, whose resistance lies along s.
Dictionary core_zones(const SheetFlow& flow) {
  std::vector<std::pair<std::string, Dictionary>> actions;
  for (const CoreZone& zone : flow.cores) {
    const bool is_round = flow.mesh.sheet() == Sheet::Round;
    const base::Vec3 low = is_round ? base::Vec3{zone.s_low, zone.r_low, -sheet_depth}
                                    : base::Vec3{zone.r_low, -sheet_depth, -zone.s_high};
    const base::Vec3 high = is_round ? base::Vec3{zone.s_high, zone.r_high, sheet_depth}
                                     : base::Vec3{zone.r_high, sheet_depth, -zone.s_low};
    Dictionary action{{"name", zone.core.zone},
                      {"type", "cellZoneSet"},
                      {"action", "new"},
                      {"source", "boxToCell"},
                      {"box", Value(low).text + " " + Value(high).text}};
    actions.emplace_back("", std::move(action));
  }
  Dictionary content;
  content.sub_list("actions", std::move(actions));
  return content;
}

/// What a study's case says of forces inside, with the wind downwards as the sheet's flow is.
base::Manifest force_manifest(const SheetFlow& flow) {
  base::Manifest manifest;
  manifest.flight.pressure = flow.air.pressure;
  manifest.flight.incidence = -0.5 * std::numbers::pi;
  for (const base::MonitorRecord& record : foam::force_monitors(true)) {
    if (record.subject == "inside") {
      manifest.monitors.push_back(record);
    }
  }
  for (const auto& [patch, opening] : flow.patches) {
    if (opening.kind == Kind::Wall) {
      manifest.patches.push_back({patch, 0.0});
    }
  }
  return manifest;
}

void write_case(SolverCase& run, const SheetFlow& flow) {
  base::Manifest manifest;
  manifest.flight.temperature = flow.air.temperature;
  for (const CoreZone& zone : flow.cores) {
    manifest.passages.push_back(zone.core);
    manifest.passages.back().direction = along(flow.mesh.sheet(), 1.0);
  }
  run.write("system/blockMeshDict", flow.mesh.dictionary());
  run.write("system/topoSetDict", core_zones(flow));
  Dictionary control = steady_control("rhoSimpleFoam", flow.iterations);
  if (flow.with_forces) {
    control.sub("functions") = foam::control(force_manifest(flow)).sub("functions");
  }
  run.write("system/controlDict", control);
  run.write("system/fvSchemes", foam::schemes());
  run.write("system/fvSolution", foam::solution());
  run.write("constant/thermophysicalProperties", foam::thermophysical_properties());
  run.write("constant/turbulenceProperties", foam::turbulence_properties());
  run.write("constant/fvOptions", foam::sources(manifest, {}, 0));
  write_fields(run, flow);
}

/// Sum of a patch's fluxes in the text of "phi".
double patch_sum(const std::string& text, const std::string& patch) {
  const std::size_t boundary = text.find("boundaryField");
  const std::size_t at = text.find("    " + patch + "\n", boundary);
  const std::size_t list_at = text.find("value", at);
  if (boundary == std::string::npos || at == std::string::npos || list_at == std::string::npos) {
    throw base::ExternalError(fmt::format("phi: no values for patch {}. Was it written in ASCII?", patch));
  }
  std::istringstream stream(text.substr(list_at + std::string("value").size()));
  std::string kind, list_type;
  std::size_t n = 0;
  stream >> kind;
  if (kind == "uniform") {
    double value = 0.0;
    stream >> value;
    return value;
  }
  stream >> list_type >> n;
  stream.ignore(100, '(');
  double sum = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    double value = 0.0;
    stream >> value;
    sum += value;
  }
  if (!stream) {
    throw base::ExternalError(fmt::format("phi: patch {} has fewer than {} values", patch, n));
  }
  return sum;
}

SheetSolution read_solution(const SolverCase& run, const SheetFlow& flow) {
  const std::string last = std::to_string(flow.iterations) + "/";
  const std::vector<double> volume = run.scalars(last + "V");
  const std::vector<base::Vec3> centre = run.vectors(last + "C");
  const std::vector<base::Vec3> velocity = run.vectors(last + "U");
  const std::vector<double> pressure = run.scalars(last + "p");
  const std::vector<double> temperature = run.scalars(last + "T", pressure.size());
  SheetSolution solution;
  const bool is_round = flow.mesh.sheet() == Sheet::Round;
  for (std::size_t i = 0; i < pressure.size(); ++i) {
    Cell cell{.volume = volume.at(i), .pressure = pressure[i], .temperature = temperature.at(i)};
    cell.s = is_round ? centre.at(i).x : -centre.at(i).z;
    cell.r = is_round ? centre.at(i).y : centre.at(i).x;
    cell.along = is_round ? velocity.at(i).x : -velocity.at(i).z;
    cell.across = is_round ? velocity.at(i).y : velocity.at(i).x;
    solution.cells.push_back(cell);
  }
  const std::string phi = run.text(last + "phi");
  for (const auto& [patch, opening] : flow.patches) {
    if (opening.kind != Kind::Wall && opening.kind != Kind::Slip) {
      solution.mass_flow[patch] = patch_sum(phi, patch);
    }
  }
  for (const base::MonitorRecord& record :
       flow.with_forces ? force_manifest(flow).monitors : std::vector<base::MonitorRecord>{}) {
    const std::string table = "postProcessing/" + record.function_object + "/0/" + record.file;
    solution.force[record.quantity] = base::parse_history(run.text(table), table, record.column).value.back();
  }
  return solution;
}

}  // namespace

SheetSolution solve(const SheetFlow& flow) {
  SolverCase run;
  write_case(run, flow);
  run.run({"blockMesh"});
  if (!flow.cores.empty()) {
    run.run({"topoSet"});
  }
  run.run({"rhoSimpleFoam"});
  run.run({"postProcess", "-func", "writeCellVolumes", "-latestTime"});
  run.run({"postProcess", "-func", "writeCellCentres", "-latestTime"});
  return read_solution(run, flow);
}

}  // namespace cowlwright::testing_support
