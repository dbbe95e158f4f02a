// SPDX-License-Identifier: GPL-3.0-or-later
//
// Means on face zones. The two cells at each face are found by the positions of its corners, which rank
// borders do not change, so that decomposed and whole cases are treated alike.
#include "post/extract/plane_means.h"

#include "geometry/base/error.h"

#include <fmt/format.h>
#include <vtkCellData.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <map>
#include <unordered_map>

namespace cowlwright::post {

namespace {

constexpr double steep_cosine = 0.25;  // see PlaneFlux

/// VTK's reader stores positions in single precision; equal points are equal bit by bit.
using PointKey = std::array<std::uint32_t, 3>;

struct PointKeyHash {
  std::size_t operator()(const PointKey& key) const {
    std::size_t hash = 1469598103934665603ULL;  // FNV-1a over the three words
    for (const std::uint32_t word : key) {
      hash = (hash ^ word) * 1099511628211ULL;
    }
    return hash;
  }
};

PointKey point_key(const base::Vec3& position) {
  const auto word = [](double value) {
    return std::bit_cast<std::uint32_t>(static_cast<float>(value) + 0.0F);
  };
  return {word(position.x), word(position.y), word(position.z)};
}

/// One face of a zone with the cells at it.
struct ZoneFace {
  PolygonShape shape;
  std::vector<vtkIdType> cells;  ///< one at the domain's boundary, else two
};

struct ZoneFaces {
  std::vector<ZoneFace> faces;
  std::vector<std::vector<std::size_t>> of_plane;  ///< indices into `faces`
};

using CornerIds = std::vector<int>;  ///< sorted

/// Collects the faces of all planes and then finds their cells.
class FaceFinder {
 public:
  std::size_t add(std::span<const base::Vec3> corners) {
    CornerIds ids;
    for (const base::Vec3& corner : corners) {
      const auto next = static_cast<int>(point_ids_.size());
      ids.push_back(point_ids_.try_emplace(point_key(corner), next).first->second);
    }
    std::sort(ids.begin(), ids.end());
    const auto [place, is_new] = face_ids_.try_emplace(ids, faces_.size());
    if (is_new) {
      faces_.push_back({polygon_shape(corners), {}});
    }
    return place->second;
  }

  std::vector<ZoneFace> find_cells(vtkUnstructuredGrid& mesh) && {
    std::vector<int> id_of_point(static_cast<std::size_t>(mesh.GetNumberOfPoints()), -1);
    for (vtkIdType point = 0; point < mesh.GetNumberOfPoints(); ++point) {
      const auto found = point_ids_.find(point_key(point_position(mesh, point)));
      if (found != point_ids_.end()) {
        id_of_point[static_cast<std::size_t>(point)] = found->second;
      }
    }
    for (vtkIdType cell = 0; cell < mesh.GetNumberOfCells(); ++cell) {
      vtkIdType n_points = 0;
      const vtkIdType* points = nullptr;
      mesh.GetCells()->GetCellAtId(cell, n_points, points);
      const auto n_known = std::count_if(points, points + n_points, [&](vtkIdType point) {
        return id_of_point[static_cast<std::size_t>(point)] >= 0;
      });
      if (n_known >= 3) {
        for_each_face(mesh, cell, [&](std::span<const vtkIdType> face) { match(face, id_of_point, cell); });
      }
    }
    return std::move(faces_);
  }

 private:
  void match(std::span<const vtkIdType> face, const std::vector<int>& id_of_point, vtkIdType cell) {
    CornerIds ids;
    for (const vtkIdType point : face) {
      ids.push_back(id_of_point[static_cast<std::size_t>(point)]);
    }
    std::sort(ids.begin(), ids.end());
    const auto found = face_ids_.find(ids);
    if (found != face_ids_.end()) {
      faces_[found->second].cells.push_back(cell);
    }
  }

  std::unordered_map<PointKey, int, PointKeyHash> point_ids_;
  std::map<CornerIds, std::size_t> face_ids_;
  std::vector<ZoneFace> faces_;
};

std::vector<base::Vec3> polygon_corners(vtkPolyData& polygons, vtkIdType polygon) {
  vtkIdType n_points = 0;
  const vtkIdType* points = nullptr;
  polygons.GetPolys()->GetCellAtId(polygon, n_points, points);
  std::vector<base::Vec3> corners;
  for (vtkIdType i = 0; i < n_points; ++i) {
    corners.push_back(point_position(polygons, points[i]));
  }
  return corners;
}

ZoneFaces collect_faces(const VtkCase& vtk_case, std::span<const base::PlaneRecord> planes) {
  ZoneFaces zones;
  FaceFinder finder;
  for (const base::PlaneRecord& plane : planes) {
    vtkPolyData* polygons = vtk_case.face_zone(plane.name);
    if (polygons == nullptr) {
      throw base::ResultError(
          fmt::format("plane {}: VTK finds no faces in its faceZone. Mesh the case again.", plane.name));
    }
    std::vector<std::size_t>& own = zones.of_plane.emplace_back();
    for (vtkIdType i = 0; i < polygons->GetPolys()->GetNumberOfCells(); ++i) {
      own.push_back(finder.add(polygon_corners(*polygons, i)));
    }
    std::sort(own.begin(), own.end());
    own.erase(std::unique(own.begin(), own.end()), own.end());
  }
  zones.faces = std::move(finder).find_cells(*vtk_case.internal_mesh());
  return zones;
}

CellState mix(const CellState& a, const CellState& b, double share_of_b) {
  const double share_of_a = 1.0 - share_of_b;
  return {.pressure = share_of_a * a.pressure + share_of_b * b.pressure,
          .density = share_of_a * a.density + share_of_b * b.density,
          .temperature = share_of_a * a.temperature + share_of_b * b.temperature,
          .velocity = share_of_a * a.velocity + share_of_b * b.velocity};
}

/// Linear between the cell centres, by their distances from the face.
CellState face_state(vtkUnstructuredGrid& mesh, const CellFields& fields, const ZoneFace& face) {
  const CellState first = fields.at(face.cells.front());
  if (face.cells.size() == 1) {
    return first;
  }
  const auto distance = [&](vtkIdType cell) {
    return std::abs(base::dot(cell_shape(mesh, cell).centre - face.shape.centre, face.shape.area));
  };
  const double to_first = distance(face.cells[0]);
  const double to_second = distance(face.cells[1]);
  return mix(first, fields.at(face.cells[1]), to_first / (to_first + to_second));
}

/// The cell that the air comes from when it passes the face along its area vector, or against it.
CellState upwind_state(vtkUnstructuredGrid& mesh,
                       const CellFields& fields,
                       const ZoneFace& face,
                       bool along) {
  const base::Vec3 to_first = cell_shape(mesh, face.cells.front()).centre - face.shape.centre;
  const bool first_is_upwind = (base::dot(to_first, face.shape.area) < 0.0) == along;
  return fields.at(first_is_upwind ? face.cells.front() : face.cells.back());
}

/// Which side of the plane a cell is on, from the faces that lie nearly in the plane: +1 behind it along the
/// normal, -1 ahead of it. Orients the steep faces between them.
std::map<vtkIdType, double> cell_sides(vtkUnstructuredGrid& mesh,
                                       const ZoneFaces& zones,
                                       const std::vector<std::size_t>& own,
                                       const base::Vec3& normal) {
  std::map<vtkIdType, double> sides;
  for (const std::size_t index : own) {
    const ZoneFace& face = zones.faces[index];
    if (std::abs(base::dot(face.shape.area, normal)) < steep_cosine * base::norm(face.shape.area)) {
      continue;
    }
    for (const vtkIdType cell : face.cells) {
      const base::Vec3 to_cell = cell_shape(mesh, cell).centre - face.shape.centre;
      sides[cell] = base::dot(to_cell, normal) > 0.0 ? 1.0 : -1.0;
    }
  }
  return sides;
}

/// +1 or -1: whether the face's area vector points to the downstream side; 0 when that cannot be told.
double face_direction(vtkUnstructuredGrid& mesh,
                      const ZoneFace& face,
                      const base::Vec3& normal,
                      const std::map<vtkIdType, double>& sides) {
  const double along = base::dot(face.shape.area, normal);
  if (std::abs(along) >= steep_cosine * base::norm(face.shape.area)) {
    return along > 0.0 ? 1.0 : -1.0;
  }
  for (const vtkIdType cell : face.cells) {
    const auto side = sides.find(cell);
    if (side != sides.end()) {
      const base::Vec3 to_cell = cell_shape(mesh, cell).centre - face.shape.centre;
      return side->second * (base::dot(to_cell, face.shape.area) > 0.0 ? 1.0 : -1.0);
    }
  }
  return 0.0;
}

PlaneMean plane_mean(const VtkCase& vtk_case,
                     const CellFields& fields,
                     const ZoneFaces& zones,
                     const std::vector<std::size_t>& own,
                     const base::PlaneRecord& plane,
                     const FreeStream& free_stream) {
  vtkUnstructuredGrid& mesh = *vtk_case.internal_mesh();
  const std::map<vtkIdType, double> sides = cell_sides(mesh, zones, own, plane.normal);
  PlaneMean mean{.plane = plane.name};
  double excess = 0.0;
  double upwind_excess = 0.0;
  for (const std::size_t index : own) {
    const ZoneFace& face = zones.faces[index];
    if (face.cells.empty() || face.cells.size() > 2) {
      throw base::ResultError(
          fmt::format("plane {}: a face has {} cells in VTK's mesh: must be 1 or 2. Mesh the "
                      "case again.",
                      plane.name,
                      face.cells.size()));
    }
    const CellState state = face_state(mesh, fields, face);
    const double direction = face_direction(mesh, face, plane.normal, sides);
    const double speed = base::dot(state.velocity, face.shape.area);  // times the face's area
    const double flow = direction * state.density * speed;
    const double projected = direction * base::dot(face.shape.area, plane.normal);
    mean.mass_flow += flow;
    mean.momentum_flow = mean.momentum_flow + flow * state.velocity;
    mean.area += projected;
    mean.static_pressure += projected * state.pressure;
    mean.density += projected * state.density;
    excess += flow * (state.total_temperature() - free_stream.total_temperature);
    const CellState upwind = upwind_state(mesh, fields, face, speed > 0.0);
    upwind_excess += flow * (upwind.total_temperature() - free_stream.total_temperature);
  }
  mean.static_pressure /= mean.area;
  mean.density /= mean.area;
  if (!std::isfinite(mean.static_pressure + mean.density + mean.mass_flow)) {
    throw base::ResultError(fmt::format(
        "plane {}: the mean of a field is not finite: the solver diverged. Look at its log.", plane.name));
  }
  if (fields.has_temperature()) {
    mean.temperature_excess_flow = excess;
    mean.upwind_excess_flow = upwind_excess;
  }
  return mean;
}

}  // namespace

std::vector<PlaneMean> plane_means(const VtkCase& vtk_case,
                                   std::span<const base::PlaneRecord> planes,
                                   const FreeStream& free_stream) {
  const ZoneFaces zones = collect_faces(vtk_case, planes);
  const CellFields fields(*vtk_case.internal_mesh()->GetCellData(), free_stream);
  std::vector<PlaneMean> means;
  for (std::size_t i = 0; i < planes.size(); ++i) {
    means.push_back(plane_mean(vtk_case, fields, zones, zones.of_plane[i], planes[i], free_stream));
  }
  return means;
}

}  // namespace cowlwright::post
