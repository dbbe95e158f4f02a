// SPDX-License-Identifier: GPL-3.0-or-later
//
// What the flux reader needs of a polyMesh folder: points, faces, boundary patches and face zones.
#pragma once

#include "geometry/base/foam_reader.h"
#include "geometry/base/vec3.h"

#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace cowlwright::base {

/// A run of boundary faces, or the border to another rank.
struct BoundaryPatch {
  std::string name;
  std::string type;
  Label start_face = 0;
  Label n_faces = 0;
};

struct FaceZone {
  std::vector<Label> faces;
  std::vector<bool> flips;  ///< true: the zone looks against the face's own normal; empty when not recorded
};

struct MeshFaces {
  std::vector<Vec3> points;            ///< [m]
  CompactList faces;                   ///< point labels
  std::vector<BoundaryPatch> patches;  ///< in face order, behind the internal faces
  std::map<std::string, FaceZone> zones;

  std::size_t n_faces() const { return faces.offsets.empty() ? 0 : faces.offsets.size() - 1; }
  std::size_t n_internal_faces() const;
};

/// @throws ResultError  when a file is missing, cut short, or its labels point outside the mesh.
MeshFaces read_mesh_faces(const std::filesystem::path& mesh_dir);

/// Area vector of a face [m²], by the right-hand rule over its points: triangles about the mean point.
Vec3 face_area_vector(const MeshFaces& mesh, Label face);

}  // namespace cowlwright::base
