// SPDX-License-Identifier: GPL-3.0-or-later
//
// Face fluxes on face zones, over all parts of a case.
#include "post/extract/plane_flux.h"

#include "geometry/base/error.h"
#include "geometry/base/foam_reader.h"
#include "geometry/base/mesh_faces.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

namespace cowlwright::post {

namespace {

constexpr double steep_cosine = 0.25;        // about 75.5° between a face's normal and the plane's
constexpr double flip_map_agreement = 0.98;  // share of not steep area the flip map must orient alike

constexpr double not_read = std::numeric_limits<double>::quiet_NaN();

double cosine(const FluxSample& sample, const base::PlaneRecord& plane) {
  const double size = base::norm(sample.area);
  return size > 0.0 ? base::dot(sample.area, plane.normal) / size : 0.0;
}

double flip_sign(const FluxSample& sample) {
  return sample.flipped ? -1.0 : 1.0;
}

/// +1 when the flip map looks along the plane's normal, -1 against it, 0 when it cannot be trusted.
double flip_map_direction(const base::PlaneRecord& plane, std::span<const FluxSample> samples) {
  double along = 0.0;
  double total = 0.0;
  for (const FluxSample& sample : samples) {
    if (std::abs(cosine(sample, plane)) >= steep_cosine) {
      const double projected = sample.weight * base::dot(sample.area, plane.normal);
      along += flip_sign(sample) * projected;
      total += std::abs(projected);
    }
  }
  if (!(std::abs(along) > flip_map_agreement * total)) {
    return 0.0;
  }
  return along > 0.0 ? 1.0 : -1.0;
}

/// `uniform 0` or `nonuniform List<scalar> ...`, with its ";", put behind `start`.
void read_values(base::FoamReader& reader, std::size_t start, std::size_t size, std::vector<double>& flux) {
  const std::string kind(reader.next());
  std::vector<double> values;
  if (kind == "uniform") {
    values.assign(size, reader.number());
  } else if (kind == "nonuniform") {
    values = reader.scalars();
  } else {
    reader.fail(fmt::format("expected 'uniform' or 'nonuniform', found '{}'", kind));
  }
  if (values.size() != size) {
    reader.fail(
        fmt::format("{} values for {} faces. Field and mesh do not belong together; reconstruct again",
                    values.size(),
                    size));
  }
  reader.expect(";");
  std::copy(values.begin(), values.end(), flux.begin() + static_cast<std::ptrdiff_t>(start));
}

void read_patch_values(base::FoamReader& reader, const base::MeshFaces& mesh, std::vector<double>& flux) {
  const std::string name(reader.next());
  const auto patch = std::find_if(mesh.patches.begin(),
                                  mesh.patches.end(),
                                  [&name](const base::BoundaryPatch& p) { return p.name == name; });
  if (patch == mesh.patches.end()) {
    reader.fail(fmt::format("boundary field of patch '{}', which the mesh does not have", name));
  }
  reader.expect("{");
  while (reader.peek() != "}") {
    const std::string key(reader.next());
    if (key == "value") {
      read_values(reader,
                  static_cast<std::size_t>(patch->start_face),
                  static_cast<std::size_t>(patch->n_faces),
                  flux);
    } else {
      reader.skip_entry();
    }
  }
  reader.expect("}");
}

void read_boundary_values(base::FoamReader& reader, const base::MeshFaces& mesh, std::vector<double>& flux) {
  reader.expect("{");
  while (reader.peek() != "}") {
    read_patch_values(reader, mesh, flux);
  }
  reader.expect("}");
}

void check_dimensions(base::FoamReader& reader) {
  std::string dimensions;
  for (std::string token(reader.next()); token != ";" && !token.empty(); token = reader.next()) {
    dimensions += dimensions.size() > 1 && token != "]" ? " " + token : token;
  }
  if (dimensions != "[1 0 -1 0 0 0 0]" && dimensions != "[1 0 -1 0 0]") {
    reader.fail(
        fmt::format("phi has dimensions {}: must be [1 0 -1 0 0 0 0], a mass flux. Solve the case with "
                    "a compressible solver",
                    dimensions));
  }
}

/// Values on all faces; NaN where a patch has none (type empty).
std::vector<double> read_face_flux(const std::filesystem::path& path, const base::MeshFaces& mesh) {
  base::FoamReader reader = base::FoamReader::open(path);
  std::vector<double> flux(mesh.n_faces(), not_read);
  bool has_internal = false;
  bool has_boundary = false;
  while (!reader.peek().empty()) {
    const std::string key(reader.next());
    if (key == "dimensions") {
      check_dimensions(reader);
    } else if (key == "internalField") {
      read_values(reader, 0, mesh.n_internal_faces(), flux);
      has_internal = true;
    } else if (key == "boundaryField") {
      read_boundary_values(reader, mesh, flux);
      has_boundary = true;
    } else {
      reader.skip_entry();
    }
  }
  if (!has_internal || !has_boundary) {
    reader.fail("no internalField or no boundaryField: the file is cut short");
  }
  return flux;
}

bool is_rank_border(const base::MeshFaces& mesh, base::Label face) {
  return std::any_of(mesh.patches.begin(), mesh.patches.end(), [face](const base::BoundaryPatch& patch) {
    return face >= patch.start_face && face < patch.start_face + patch.n_faces &&
           patch.type.rfind("processor", 0) == 0;
  });
}

void append_samples(const base::MeshFaces& mesh,
                    const base::FaceZone& zone,
                    std::span<const double> flux,
                    std::vector<FluxSample>& samples) {
  const auto n_internal = static_cast<base::Label>(mesh.n_internal_faces());
  for (std::size_t i = 0; i < zone.faces.size(); ++i) {
    const base::Label face = zone.faces[i];
    samples.push_back({.area = base::face_area_vector(mesh, face),
                       .flux = flux[static_cast<std::size_t>(face)],
                       .flipped = !zone.flips.empty() && zone.flips[i],
                       .weight = face >= n_internal && is_rank_border(mesh, face) ? 0.5 : 1.0});
  }
}

void check_zones(const CaseLayout& layout,
                 std::span<const base::PlaneRecord> planes,
                 const std::set<std::string>& zones,
                 std::span<const std::vector<FluxSample>> samples) {
  std::string complaint;
  for (std::size_t i = 0; i < planes.size(); ++i) {
    if (!samples[i].empty()) {
      continue;
    }
    complaint += zones.count(planes[i].name) != 0
                     ? fmt::format(
                           "\n  plane {}: its faceZone is empty: the mesh is too coarse there or the plane "
                           "lies outside the passage.",
                           planes[i].name)
                     : fmt::format("\n  plane {}: the mesh has no faceZone of this name.", planes[i].name);
  }
  if (!complaint.empty()) {
    throw base::ResultError(
        fmt::format("{}: flows cannot be read:{}\nFace zones there: {}. Mesh the case again.",
                    layout.case_dir.string(),
                    complaint,
                    zones.empty() ? "none" : fmt::format("{}", fmt::join(zones, ", "))));
  }
}

}  // namespace

PlaneFlux sum_plane(const base::PlaneRecord& plane, std::span<const FluxSample> samples) {
  if (samples.empty()) {
    throw base::ResultError(fmt::format("plane {}: no faces.", plane.name));
  }
  const auto n_bad = std::count_if(
      samples.begin(), samples.end(), [](const FluxSample& s) { return !std::isfinite(s.flux); });
  if (n_bad > 0) {
    throw base::ResultError(
        fmt::format("plane {}: {} of {} face fluxes are not finite: the solver diverged. Look at its log.",
                    plane.name,
                    n_bad,
                    samples.size()));
  }
  const double direction = flip_map_direction(plane, samples);
  PlaneFlux sum;
  sum.plane = plane.name;
  double n_faces = 0.0;
  double total_area = 0.0;
  double steep_area = 0.0;
  double flat_projection = 0.0;  // of the faces that are not steep
  double reverse_area = 0.0;
  for (const FluxSample& sample : samples) {
    const double aligned = cosine(sample, plane);
    const bool is_steep = std::abs(aligned) < steep_cosine;
    const bool use_flip_map = is_steep && direction != 0.0;
    const double sign = use_flip_map ? direction * flip_sign(sample) : (aligned < 0.0 ? -1.0 : 1.0);
    const double flux = sample.weight * sign * sample.flux;
    const double face_area = sample.weight * base::norm(sample.area);
    n_faces += sample.weight;
    total_area += face_area;
    sum.mass_flow += flux;
    sum.absolute_flow += std::abs(flux);
    sum.flip_map_flow += sample.weight * flip_sign(sample) * sample.flux;
    sum.area += sign * aligned * face_area;
    if (is_steep) {
      steep_area += face_area;
      continue;
    }
    const double projected = face_area * std::abs(aligned);
    flat_projection += projected;
    reverse_area += flux < 0.0 ? projected : 0.0;
    (flux < 0.0 ? sum.reverse_flow : sum.forward_flow) += std::abs(flux);
  }
  sum.n_faces = static_cast<std::size_t>(std::lround(n_faces));
  sum.steep_share = total_area > 0.0 ? steep_area / total_area : 0.0;
  sum.reverse_area_share = flat_projection > 0.0 ? reverse_area / flat_projection : 0.0;
  return sum;
}

std::vector<PlaneFlux> read_plane_fluxes(const CaseLayout& layout,
                                         std::span<const base::PlaneRecord> planes) {
  std::vector<std::vector<FluxSample>> samples(planes.size());
  std::set<std::string> zones;
  for (const CasePart& part : layout.parts) {
    const base::MeshFaces mesh = base::read_mesh_faces(part.mesh_dir);
    const std::vector<double> flux = read_face_flux(part.time_dir / "phi", mesh);
    for (const auto& [name, zone] : mesh.zones) {
      zones.insert(name);
    }
    for (std::size_t i = 0; i < planes.size(); ++i) {
      const auto zone = mesh.zones.find(planes[i].name);
      if (zone != mesh.zones.end()) {
        append_samples(mesh, zone->second, flux, samples[i]);
      }
    }
  }
  check_zones(layout, planes, zones, samples);
  std::vector<PlaneFlux> sums;
  for (std::size_t i = 0; i < planes.size(); ++i) {
    sums.push_back(sum_plane(planes[i], samples[i]));
  }
  return sums;
}

}  // namespace cowlwright::post
