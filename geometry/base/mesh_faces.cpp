// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reads points, faces, boundary and faceZones.
#include "geometry/base/mesh_faces.h"

#include <fmt/format.h>

#include <span>

namespace cowlwright::base {

namespace {

BoundaryPatch read_patch(FoamReader& reader) {
  BoundaryPatch patch;
  patch.name = reader.next();
  reader.expect("{");
  while (reader.peek() != "}") {
    const std::string key(reader.next());
    if (key.empty()) {
      reader.fail("a patch has no end: the file is cut short");
    }
    if (key == "type") {
      patch.type = reader.peek();
    } else if (key == "nFaces") {
      patch.n_faces = static_cast<Label>(reader.integer());
    } else if (key == "startFace") {
      patch.start_face = static_cast<Label>(reader.integer());
    }
    reader.skip_entry();
  }
  reader.expect("}");
  return patch;
}

/// Patches follow one another without gaps and end with the last face.
std::vector<BoundaryPatch> read_patches(const std::filesystem::path& path, std::size_t n_faces) {
  FoamReader reader = FoamReader::open(path);
  std::vector<BoundaryPatch> patches;
  const std::int64_t n_patches = reader.integer();
  reader.expect("(");
  std::int64_t place = 0;
  for (std::int64_t i = 0; i < n_patches; ++i) {
    const BoundaryPatch patch = patches.emplace_back(read_patch(reader));
    if (patch.n_faces < 0 || patch.start_face < 0 || (i > 0 && patch.start_face != place)) {
      reader.fail(
          fmt::format("patch {}: nFaces {}, startFace {} where {} was expected. Mesh files are of "
                      "different meshes; mesh the case again",
                      patch.name,
                      patch.n_faces,
                      patch.start_face,
                      place));
    }
    place = static_cast<std::int64_t>(patch.start_face) + patch.n_faces;
  }
  if (n_patches > 0 && place != static_cast<std::int64_t>(n_faces)) {
    reader.fail(
        fmt::format("patches end at face {}, faces at {}. Mesh files are of different meshes; mesh the "
                    "case again",
                    place,
                    n_faces));
  }
  return patches;
}

FaceZone read_zone(FoamReader& reader) {
  FaceZone zone;
  reader.expect("{");
  while (reader.peek() != "}") {
    const std::string key(reader.next());
    if (key.empty()) {
      reader.fail("a zone has no end: the file is cut short");
    }
    if (key == "faceLabels") {
      zone.faces = reader.labels();
      reader.expect(";");
    } else if (key == "flipMap") {
      zone.flips = reader.flags();
      reader.expect(";");
    } else {
      reader.skip_entry();
    }
  }
  reader.expect("}");
  return zone;
}

std::map<std::string, FaceZone> read_zones(const std::filesystem::path& path, std::size_t n_faces) {
  std::map<std::string, FaceZone> zones;
  if (!foam_file_exists(path)) {
    return zones;
  }
  FoamReader reader = FoamReader::open(path);
  const std::int64_t n_zones = reader.integer();
  if (n_zones == 0) {
    return zones;
  }
  reader.expect("(");
  for (std::int64_t i = 0; i < n_zones; ++i) {
    const std::string name(reader.next());
    FaceZone zone = read_zone(reader);
    if (!zone.flips.empty() && zone.flips.size() != zone.faces.size()) {
      reader.fail(fmt::format(
          "face zone {} has {} faces but {} flip marks", name, zone.faces.size(), zone.flips.size()));
    }
    for (const Label face : zone.faces) {
      if (static_cast<std::size_t>(face) >= n_faces) {
        reader.fail(
            fmt::format("face zone {} names face {}: must be below {}. Mesh files are of different "
                        "meshes; mesh the case again",
                        name,
                        face,
                        n_faces));
      }
    }
    zones.emplace(name, std::move(zone));
  }
  return zones;
}

std::vector<Vec3> read_points(const std::filesystem::path& path) {
  FoamReader reader = FoamReader::open(path);
  const std::vector<std::array<double, 3>> vectors = reader.vectors();
  std::vector<Vec3> points;
  points.reserve(vectors.size());
  for (const std::array<double, 3>& v : vectors) {
    points.push_back({v[0], v[1], v[2]});
  }
  return points;
}

CompactList read_faces(const std::filesystem::path& path, std::size_t n_points) {
  FoamReader reader = FoamReader::open(path);
  CompactList faces = reader.label_lists();
  for (const Label point : faces.values) {
    if (static_cast<std::size_t>(point) >= n_points) {
      reader.fail(fmt::format("a face names point {}: must be below {}", point, n_points));
    }
  }
  return faces;
}

}  // namespace

std::size_t MeshFaces::n_internal_faces() const {
  return patches.empty() ? n_faces() : static_cast<std::size_t>(patches.front().start_face);
}

MeshFaces read_mesh_faces(const std::filesystem::path& mesh_dir) {
  MeshFaces mesh;
  mesh.points = read_points(mesh_dir / "points");
  mesh.faces = read_faces(mesh_dir / "faces", mesh.points.size());
  mesh.patches = read_patches(mesh_dir / "boundary", mesh.n_faces());
  mesh.zones = read_zones(mesh_dir / "faceZones", mesh.n_faces());
  return mesh;
}

Vec3 face_area_vector(const MeshFaces& mesh, Label face) {
  const auto index = static_cast<std::size_t>(face);
  const auto first = static_cast<std::size_t>(mesh.faces.offsets[index]);
  const auto last = static_cast<std::size_t>(mesh.faces.offsets[index + 1]);
  const std::span<const Label> corners = std::span(mesh.faces.values).subspan(first, last - first);
  Vec3 middle;
  for (const Label corner : corners) {
    middle = middle + mesh.points[static_cast<std::size_t>(corner)];
  }
  middle = (1.0 / static_cast<double>(corners.size())) * middle;
  Vec3 area;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Vec3 a = mesh.points[static_cast<std::size_t>(corners[i])] - middle;
    const Vec3 b = mesh.points[static_cast<std::size_t>(corners[(i + 1) % corners.size()])] - middle;
    area = area + 0.5 * cross(a, b);
  }
  return area;
}

}  // namespace cowlwright::base
