// SPDX-License-Identifier: GPL-3.0-or-later
//
// From the solver's cells to values at points.
#include "post/pictures/air_mesh.h"

#include "geometry/base/error.h"
#include "post/extract/cell_fields.h"
#include "post/extract/vtk_mesh.h"

#include <fmt/format.h>
#include <vtkCellType.h>
#include <vtkDoubleArray.h>
#include <vtkFloatArray.h>
#include <vtkIdList.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkPoints.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <string>
#include <unordered_map>
#include <vector>

namespace cowlwright::post {

namespace {

constexpr std::size_t n_values = 7;  // four fields and the velocity
using Values = std::array<double, n_values>;

struct PlaceHash {
  std::size_t operator()(const std::array<double, 3>& place) const {
    std::size_t hash = 0;
    for (const double part : place) {
      hash = hash * 1000003U + std::hash<double>{}(part);
    }
    return hash;
  }
};

/// Where each point's first twin stands: ranks share points along their border, with the same coordinates.
std::vector<vtkIdType> merged_points(vtkUnstructuredGrid& mesh) {
  std::unordered_map<std::array<double, 3>, vtkIdType, PlaceHash> first;
  first.reserve(static_cast<std::size_t>(mesh.GetNumberOfPoints()));
  std::vector<vtkIdType> map;
  map.reserve(static_cast<std::size_t>(mesh.GetNumberOfPoints()));
  for (vtkIdType point = 0; point < mesh.GetNumberOfPoints(); ++point) {
    std::array<double, 3> place{};
    mesh.GetPoints()->GetPoint(point, place.data());
    map.push_back(first.try_emplace(place, point).first->second);
  }
  return map;
}

/// Sums up the new grid.
class AirMeshBuilder {
 public:
  AirMeshBuilder(vtkUnstructuredGrid& mesh, const CellFields& fields, const Scales& scales)
      : mesh_(mesh),
        fields_(fields),
        scales_(scales),
        twin_(merged_points(mesh)),
        new_id_(twin_.size(), -1),
        grid_(vtkSmartPointer<vtkUnstructuredGrid>::New()) {
    grid_->Allocate(mesh.GetNumberOfCells());
  }

  void add(vtkIdType cell, const base::Vec3& middle) {
    const Values values = values_of(cell);
    vtkIdType n_points = 0;
    const vtkIdType* points = nullptr;
    mesh_.GetCells()->GetCellAtId(cell, n_points, points);
    ids_.clear();
    for (vtkIdType i = 0; i < n_points; ++i) {
      ids_.push_back(share(points[i], middle, values));
    }
    const int type = mesh_.GetCellType(cell);
    if (type == VTK_HEXAHEDRON || type == VTK_WEDGE || type == VTK_PYRAMID || type == VTK_TETRA) {
      grid_->InsertNextCell(type, n_points, ids_.data());
    } else {
      add_parts(cell, add_point(middle, values, 1.0));
    }
  }

  vtkSmartPointer<vtkUnstructuredGrid> finish() {
    grid_->SetPoints(points_);
    for (std::size_t i = 0; i < all_fields.size(); ++i) {
      vtkNew<vtkFloatArray> array;
      array->SetName(field_scale(all_fields[i], scales_).id.c_str());
      array->SetNumberOfValues(points_->GetNumberOfPoints());
      for (std::size_t point = 0; point < weight_.size(); ++point) {
        array->SetValue(static_cast<vtkIdType>(point), static_cast<float>(sum_[point][i] / weight_[point]));
      }
      grid_->GetPointData()->AddArray(array);
    }
    vtkNew<vtkFloatArray> velocity;
    velocity->SetName("U");
    velocity->SetNumberOfComponents(3);
    velocity->SetNumberOfTuples(points_->GetNumberOfPoints());
    for (std::size_t point = 0; point < weight_.size(); ++point) {
      for (int axis = 0; axis < 3; ++axis) {
        const double value = sum_[point][static_cast<std::size_t>(4 + axis)] / weight_[point];
        velocity->SetTypedComponent(static_cast<vtkIdType>(point), axis, static_cast<float>(value));
      }
    }
    grid_->GetPointData()->AddArray(velocity);
    return grid_;
  }

 private:
  Values values_of(vtkIdType cell) const {
    const CellState state = fields_.at(cell);
    const FieldValues fields = field_values(state, scales_);
    const Values values{
        fields[0], fields[1], fields[2], fields[3], state.velocity.x, state.velocity.y, state.velocity.z};
    for (std::size_t i = 0; i < n_values; ++i) {
      if (!std::isfinite(values[i]) && (i != 2 || fields_.has_temperature())) {
        throw base::ResultError(
            fmt::format("cell {}: a value is not finite: the solver diverged. Look at its log.", cell));
      }
    }
    return values;
  }

  vtkIdType add_point(const base::Vec3& place, const Values& values, double weight) {
    sum_.push_back({});
    weight_.push_back(0.0);
    const vtkIdType id = points_->InsertNextPoint(place.x, place.y, place.z);
    add_to(id, values, weight);
    return id;
  }

  void add_to(vtkIdType id, const Values& values, double weight) {
    const auto at = static_cast<std::size_t>(id);
    for (std::size_t i = 0; i < n_values; ++i) {
      sum_[at][i] += weight * values[i];
    }
    weight_[at] += weight;
  }

  /// The new id of a cell's point, which takes its share of the cell's values.
  vtkIdType share(vtkIdType old_point, const base::Vec3& middle, const Values& values) {
    const vtkIdType twin = twin_[static_cast<std::size_t>(old_point)];
    vtkIdType& id = new_id_[static_cast<std::size_t>(twin)];
    const base::Vec3 place = point_position(mesh_, twin);
    const double weight = 1.0 / std::max(base::norm(place - middle), 1e-9);
    if (id < 0) {
      id = add_point(place, values, weight);
    } else {
      add_to(id, values, weight);
    }
    return id;
  }

  /// Pyramids over faces of four corners, tetrahedra over the triangles of the others.
  void add_parts(vtkIdType cell, vtkIdType tip) {
    for_each_face(mesh_, cell, [&](std::span<const vtkIdType> face) {
      ids_.clear();
      for (const vtkIdType point : face) {
        ids_.push_back(new_id_[static_cast<std::size_t>(twin_[static_cast<std::size_t>(point)])]);
      }
      if (ids_.size() == 4) {
        ids_.push_back(tip);
        grid_->InsertNextCell(VTK_PYRAMID, 5, ids_.data());
        return;
      }
      for (std::size_t i = 1; i + 1 < ids_.size(); ++i) {
        const std::array<vtkIdType, 4> corners{ids_[0], ids_[i], ids_[i + 1], tip};
        grid_->InsertNextCell(VTK_TETRA, 4, corners.data());
      }
    });
  }

  vtkUnstructuredGrid& mesh_;
  const CellFields& fields_;
  const Scales& scales_;
  std::vector<vtkIdType> twin_;
  std::vector<vtkIdType> new_id_;
  vtkSmartPointer<vtkUnstructuredGrid> grid_;
  vtkNew<vtkPoints> points_;
  std::vector<Values> sum_;
  std::vector<double> weight_;
  std::vector<vtkIdType> ids_;
};

}  // namespace

FieldValues field_values(const CellState& state, const Scales& scales) {
  return {(state.pressure - scales.pressure) / scales.reference_pressure,
          (state.total_pressure() - scales.pressure) / scales.reference_pressure,
          state.temperature - scales.temperature,
          base::norm(state.velocity) / scales.reference_speed};
}

vtkSmartPointer<vtkUnstructuredGrid> make_air_mesh(vtkUnstructuredGrid& mesh,
                                                   const base::Manifest& manifest,
                                                   const Scales& scales,
                                                   const Box& box) {
  const CellFields fields(*mesh.GetCellData(), free_stream(manifest.flight));
  AirMeshBuilder builder(mesh, fields, scales);
  for (vtkIdType cell = 0; cell < mesh.GetNumberOfCells(); ++cell) {
    const base::Vec3 middle = mean_point(mesh, cell);
    if (is_inside(box, middle)) {
      builder.add(cell, middle);
    }
  }
  return builder.finish();
}

}  // namespace cowlwright::post
