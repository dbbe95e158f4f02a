// SPDX-License-Identifier: GPL-3.0-or-later
//
// Zone means and the rotor's load; plane means are in plane_means.cpp.
#include "post/extract/field_means.h"

#include "geometry/base/error.h"
#include "geometry/base/foam_reader.h"
#include "post/extract/cell_fields.h"
#include "post/extract/plane_means.h"
#include "post/extract/survey.h"
#include "post/extract/vtk_mesh.h"

#include <fmt/format.h>
#include <vtkCellData.h>
#include <vtkDataArray.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace cowlwright::post {

namespace {

bool everywhere(const CaseLayout& layout, const std::string& field) {
  for (const CasePart& part : layout.parts) {
    if (!base::foam_file_exists(part.time_dir / field)) {
      return false;
    }
  }
  return true;
}

/// Names of the fields to read. @throws ResultError  when p or U is missing, or both rho and T are.
std::vector<std::string> field_names(const CaseLayout& layout, const base::Manifest& manifest) {
  std::vector<std::string> names;
  for (const char* required : {"p", "U"}) {
    if (!everywhere(layout, required)) {
      throw base::ResultError(
          fmt::format("{}, iteration {}: field {} is missing. Reconstruct all fields, or run "
                      "the case again.",
                      layout.case_dir.string(),
                      layout.time_name,
                      required));
    }
    names.emplace_back(required);
  }
  for (const char* optional : {"T", "rho"}) {
    if (everywhere(layout, optional)) {
      names.emplace_back(optional);
    }
  }
  if (names.size() == 2) {
    throw base::ResultError(
        fmt::format("{}, iteration {}: fields rho and T are both missing: one of them must be "
                    "there. Reconstruct all fields, or run the case again.",
                    layout.case_dir.string(),
                    layout.time_name));
  }
  if (manifest.propeller && !manifest.propeller->force_field.empty() &&
      everywhere(layout, manifest.propeller->force_field)) {
    names.push_back(manifest.propeller->force_field);
  }
  return names;
}

void check_finite(double value, const std::string& place, const char* what) {
  if (!std::isfinite(value)) {
    throw base::ResultError(
        fmt::format("{}: mean of {} is not finite: the solver diverged. Look at its log.", place, what));
  }
}

ZoneMean zone_mean(vtkUnstructuredGrid& grid, const std::string& name, const FreeStream& stream) {
  const CellFields fields(*grid.GetCellData(), stream);
  ZoneMean mean{.zone = name, .n_cells = static_cast<std::size_t>(grid.GetNumberOfCells())};
  double temperature = 0.0;
  for (vtkIdType cell = 0; cell < grid.GetNumberOfCells(); ++cell) {
    const double volume = cell_shape(grid, cell).volume;
    const CellState state = fields.at(cell);
    mean.volume += volume;
    mean.static_pressure += volume * state.pressure;
    mean.total_pressure += volume * state.total_pressure();
    temperature += volume * state.temperature;
  }
  mean.static_pressure /= mean.volume;
  mean.total_pressure /= mean.volume;
  check_finite(mean.static_pressure, "cellZone " + name, "p");
  check_finite(mean.total_pressure, "cellZone " + name, "total pressure");
  if (fields.has_temperature()) {
    mean.temperature = temperature / mean.volume;
    check_finite(*mean.temperature, "cellZone " + name, "T");
  }
  return mean;
}

/// True when the field is force per volume [N/m³], false when it is force per cell [N].
bool is_per_volume(const std::filesystem::path& path) {
  base::FoamReader reader = base::FoamReader::open(path);
  while (reader.peek() != "dimensions") {
    if (reader.next().empty()) {
      reader.fail("no dimensions");
    }
  }
  reader.next();
  reader.expect("[");
  const std::array<double, 3> powers{reader.number(), reader.number(), reader.number()};
  if (powers == std::array{1.0, -2.0, -2.0}) {
    return true;
  }
  if (powers != std::array{1.0, 1.0, -2.0}) {
    reader.fail("dimensions are neither force [1 1 -2 0 0 0 0] nor force per volume [1 -2 -2 0 0 0 0]");
  }
  return false;
}

RotorLoad rotor_load(vtkUnstructuredGrid& disk, const std::string& field, bool per_volume) {
  vtkDataArray* force = disk.GetCellData()->GetArray(field.c_str());
  if (force == nullptr || force->GetNumberOfComponents() != 3) {
    throw base::ResultError(fmt::format("field {}: not a vector per cell of the propeller's zone.", field));
  }
  RotorLoad load;
  std::array<double, 6> bounds{};  // low and high x, y, z
  for (vtkIdType cell = 0; cell < disk.GetNumberOfCells(); ++cell) {
    const CellShape shape = cell_shape(disk, cell);
    std::array<double, 3> value{};
    force->GetTuple(cell, value.data());
    const double weight = per_volume ? shape.volume : 1.0;
    const base::Vec3 on_cell = weight * base::Vec3{value[0], value[1], value[2]};
    load.force = load.force + on_cell;
    load.moment = load.moment + base::cross(shape.centre, on_cell);
    disk.GetCellBounds(cell, bounds.data());
    const double right_share = std::clamp(bounds[3] / (bounds[3] - bounds[2]), 0.0, 1.0);
    load.right_force = load.right_force + right_share * on_cell;
  }
  check_finite(base::norm(load.force) + base::norm(load.moment), "propeller", "the blade forces");
  return load;
}

}  // namespace

FieldMeans read_field_means(const CaseLayout& layout, const base::Manifest& manifest) {
  const std::vector<std::string> names = field_names(layout, manifest);
  const VtkCase vtk_case = read_vtk_case(layout, names);
  const FreeStream stream = free_stream(manifest.flight);
  FieldMeans means;
  means.n_cells = static_cast<std::size_t>(vtk_case.internal_mesh()->GetNumberOfCells());
  std::string missing;
  for (const base::ZoneRecord& zone : manifest.zones) {
    vtkUnstructuredGrid* grid = vtk_case.cell_zone(zone.name);
    if (grid == nullptr) {
      missing += " " + zone.name;
      continue;
    }
    means.zones.push_back(zone_mean(*grid, zone.name, stream));
  }
  if (!missing.empty()) {
    throw base::ResultError(fmt::format("{}: cellZones missing or empty in the mesh:{}. Mesh the case again.",
                                        layout.case_dir.string(),
                                        missing));
  }
  means.y_plus = read_y_plus(layout, manifest);
  means.planes = plane_means(vtk_case, manifest.planes, stream);
  means.surveys = survey_means(vtk_case, manifest.surveys, stream);
  if (manifest.propeller && names.back() == manifest.propeller->force_field) {
    vtkUnstructuredGrid* disk = vtk_case.cell_zone(manifest.propeller->zone);
    if (disk != nullptr) {
      const bool per_volume = is_per_volume(layout.parts.front().time_dir / manifest.propeller->force_field);
      means.rotor = rotor_load(*disk, manifest.propeller->force_field, per_volume);
    }
  }
  return means;
}

}  // namespace cowlwright::post
