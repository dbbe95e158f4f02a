// SPDX-License-Identifier: GPL-3.0-or-later
//
// Compares a finished mesh with its case: verdict, patches, areas. Faulty faces are placed by the wall
// patches whose faces lie nearest to them.
#include "meshing/quality_gate.h"

#include "geometry/base/error.h"
#include "geometry/base/mesh_faces.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace cowlwright::meshing {

namespace {

namespace fs = std::filesystem;
using base::Label;
using base::MeshFaces;
using base::Vec3;

Vec3 face_middle(const MeshFaces& mesh, Label face) {
  const auto index = static_cast<std::size_t>(face);
  Vec3 sum;
  for (Label i = mesh.faces.offsets[index]; i < mesh.faces.offsets[index + 1]; ++i) {
    sum = sum + mesh.points[static_cast<std::size_t>(mesh.faces.values[static_cast<std::size_t>(i)])];
  }
  return (1.0 / (mesh.faces.offsets[index + 1] - mesh.faces.offsets[index])) * sum;
}

/// Patch whose faces come nearest to a point.
std::string nearest_patch(const MeshFaces& mesh, const Vec3& point) {
  std::string nearest;
  double least = 1e300;
  for (const base::BoundaryPatch& patch : mesh.patches) {
    for (Label face = patch.start_face; face < patch.start_face + patch.n_faces; ++face) {
      const double distance = norm(face_middle(mesh, face) - point);
      if (distance < least) {
        least = distance;
        nearest = patch.name;
      }
    }
  }
  return nearest;
}

/// "exit_lip (12), cowl (1)": the patches nearest to the faces of a set, most faces first.
std::string places_of(const MeshFaces& mesh, const fs::path& set_file) {
  if (!base::foam_file_exists(set_file)) {
    return {};
  }
  base::FoamReader reader = base::FoamReader::open(set_file);
  if (reader.header().foam_class != "faceSet") {
    return {};
  }
  std::map<std::string, int> counts;
  for (const Label face : reader.labels()) {
    ++counts[nearest_patch(mesh, face_middle(mesh, face))];
  }
  std::vector<std::pair<std::string, int>> sorted(counts.begin(), counts.end());
  std::stable_sort(
      sorted.begin(), sorted.end(), [](const auto& a, const auto& b) { return a.second > b.second; });
  std::string text;
  for (const auto& [patch, count] : sorted) {
    text += fmt::format("{}{} ({})", text.empty() ? "" : ", ", patch, count);
  }
  return text;
}

double patch_area(const MeshFaces& mesh, const std::string& name) {
  double area = 0.0;
  for (const base::BoundaryPatch& patch : mesh.patches) {
    if (patch.name == name) {
      for (Label face = patch.start_face; face < patch.start_face + patch.n_faces; ++face) {
        area += norm(face_area_vector(mesh, face));
      }
    }
  }
  return area;
}

void require_verdict(const MeshReport& report, const fs::path& log) {
  if (report.is_ok) {
    return;
  }
  std::string text = fmt::format("{}: mesh failed {} checks:", log.string(), report.faults.size());
  for (const MeshFault& fault : report.faults) {
    text += fmt::format("\n  line {}: {}", fault.line, fault.text);
    text += fault.places.empty() ? std::string{} : fmt::format("; nearest patches: {}", fault.places);
  }
  throw base::ResultError(text +
                          "\nChange the parameter that shapes the named patch, or try a finer grid.level.");
}

/// The passages whose areas decide the result. A ring's border to its throat is smooth, so the two are taken
/// together.
std::vector<PatchArea> decisive_areas(const std::vector<PatchArea>& areas) {
  std::map<std::string, PatchArea> joined;
  for (const PatchArea& area : areas) {
    std::string name;
    if (area.patch == "exit_lip" || area.patch == "core_wall" || area.patch == "exit_wall") {
      name = area.patch;
    } else if (area.patch.ends_with("_left") || area.patch.ends_with("_right")) {
      name = area.patch.substr(area.patch.find('_') + 1) + " inlet with its ring";
    } else {
      continue;
    }
    PatchArea& sum = joined[name];
    sum.patch = name;
    sum.surface += area.surface;
    sum.meshed += area.meshed;
  }
  std::vector<PatchArea> list;
  for (const auto& [name, area] : joined) {
    list.push_back(area);
  }
  return list;
}

void require_tightness(const base::Manifest& manifest, double volume) {
  const double excess = volume - manifest.air_volume;
  if (!(std::abs(excess) <= leak_tolerance * manifest.solid_volume)) {
    throw base::ResultError(fmt::format(
        "mesh: volume = {:.6g} m3, {:+.3g} m3 against the air around the surface, whose solid has {:.3g} "
        "m3: must be within {:.0f} % of the solid. {}.",
        volume,
        excess,
        manifest.solid_volume,
        100.0 * leak_tolerance,
        excess > 0.0 ? "The mesh has leaked into the solid: look for a hole or a gap in the surface"
                     : "The mesh has lost passages: try a finer grid.level"));
  }
}

void require_areas(const std::vector<PatchArea>& areas) {
  for (const PatchArea& area : areas) {
    if (!(area.meshed > 0.0)) {
      throw base::ResultError(
          fmt::format("mesh: patch {} has no faces: its surface has {:.6g} m2. Try a finer grid.level.",
                      area.patch,
                      area.surface));
    }
  }
  for (const PatchArea& area : decisive_areas(areas)) {
    const double change = area.meshed / area.surface - 1.0;
    if (!(std::abs(change) <= area_tolerance)) {
      throw base::ResultError(
          fmt::format("mesh: area of {} = {:.6g} m2, {:+.1f} % off the surface's {:.6g} m2: must be "
                      "within {:.0f} %. Its effect would be lost; try a finer grid.level.",
                      area.patch,
                      area.meshed,
                      100.0 * change,
                      area.surface,
                      100.0 * area_tolerance));
    }
  }
}

}  // namespace

GateResult check_mesh_gate(const base::Manifest& manifest, const fs::path& case_dir, const fs::path& log) {
  const fs::path mesh_dir = case_dir / "constant" / "polyMesh";
  GateResult result;
  result.report = read_check_log(log);
  const MeshFaces mesh = base::read_mesh_faces(mesh_dir);
  for (MeshFault& fault : result.report.faults) {
    fault.places = fault.set.empty() ? std::string{} : places_of(mesh, mesh_dir / "sets" / fault.set);
  }
  require_verdict(result.report, log);
  for (const base::PatchRecord& patch : manifest.patches) {
    result.areas.push_back({patch.name, patch.area, patch_area(mesh, patch.name)});
  }
  require_tightness(manifest, result.report.volume);
  require_areas(result.areas);
  return result;
}

}  // namespace cowlwright::meshing
