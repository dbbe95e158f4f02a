// SPDX-License-Identifier: GPL-3.0-or-later
//
// The wall patches as one surface with values at its points.
#include "post/pictures/cuts.h"

#include <vtkAppendPolyData.h>
#include <vtkCellArray.h>
#include <vtkCellData.h>
#include <vtkCleanPolyData.h>
#include <vtkFeatureEdges.h>
#include <vtkFloatArray.h>
#include <vtkIdList.h>
#include <vtkIntArray.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkPolyDataNormals.h>
#include <vtkStaticPointLocator.h>

#include <algorithm>
#include <array>
#include <vector>

namespace cowlwright::post {

namespace {

/// Every patch with its index on every face and nothing but p and T besides.
PolyData appended(const VtkCase& vtk_case, std::span<const std::string> names) {
  vtkNew<vtkAppendPolyData> all;
  for (std::size_t i = 0; i < names.size(); ++i) {
    vtkPolyData* patch = vtk_case.patch(names[i]);
    if (patch == nullptr) {
      continue;
    }
    vtkNew<vtkPolyData> copy;
    copy->SetPoints(patch->GetPoints());
    copy->SetPolys(patch->GetPolys());
    for (const char* field : {"p", "T"}) {
      if (vtkDataArray* array = patch->GetCellData()->GetArray(field); array != nullptr) {
        copy->GetCellData()->AddArray(array);
      }
    }
    vtkNew<vtkIntArray> index;
    index->SetName("patch");
    index->SetNumberOfValues(copy->GetNumberOfCells());
    index->FillValue(static_cast<int>(i));
    copy->GetCellData()->AddArray(index);
    all->AddInputData(copy);
  }
  all->Update();
  return all->GetOutput();
}

/// Points of neighbouring faces made one, then parted again along sharp edges; with point normals.
PolyData joined(vtkPolyData& faces) {
  vtkNew<vtkCleanPolyData> clean;
  clean->SetInputData(&faces);
  clean->SetToleranceIsAbsolute(true);
  clean->SetAbsoluteTolerance(0.0);
  vtkNew<vtkPolyDataNormals> normals;
  normals->SetInputConnection(clean->GetOutputPort());
  normals->SetFeatureAngle(40.0);
  normals->SplittingOn();
  normals->ConsistencyOff();
  normals->Update();
  return normals->GetOutput();
}

/// Adds a point array: (value - offset) / unit of a cell array, meaned over a point's faces by area.
void add_point_mean(
    vtkPolyData& surface, const char* from, const std::string& name, double offset, double unit) {
  vtkDataArray* values = surface.GetCellData()->GetArray(from);
  if (values == nullptr) {
    return;
  }
  const auto n_points = static_cast<std::size_t>(surface.GetNumberOfPoints());
  std::vector<double> sum(n_points, 0.0);
  std::vector<double> weight(n_points, 0.0);
  std::vector<base::Vec3> corners;
  vtkNew<vtkIdList> ids;
  for (vtkIdType cell = 0; cell < surface.GetNumberOfCells(); ++cell) {
    surface.GetCellPoints(cell, ids);
    corners.clear();
    for (vtkIdType i = 0; i < ids->GetNumberOfIds(); ++i) {
      corners.push_back(point_position(surface, ids->GetId(i)));
    }
    const double area = base::norm(polygon_shape(corners).area);
    for (vtkIdType i = 0; i < ids->GetNumberOfIds(); ++i) {
      const auto point = static_cast<std::size_t>(ids->GetId(i));
      sum[point] += area * (values->GetComponent(cell, 0) - offset) / unit;
      weight[point] += area;
    }
  }
  vtkNew<vtkFloatArray> array;
  array->SetName(name.c_str());
  array->SetNumberOfValues(surface.GetNumberOfPoints());
  for (std::size_t point = 0; point < n_points; ++point) {
    array->SetValue(static_cast<vtkIdType>(point),
                    static_cast<float>(weight[point] > 0.0 ? sum[point] / weight[point] : 0.0));
  }
  surface.GetPointData()->AddArray(array);
}

}  // namespace

void slip_along_walls(vtkUnstructuredGrid& air, vtkPolyData& walls) {
  vtkDataArray* normals = walls.GetPointData()->GetNormals();
  vtkDataArray* velocity = air.GetPointData()->GetArray("U");
  if (normals == nullptr || velocity == nullptr) {
    return;
  }
  constexpr double same_place = 1e-6;  // [m]
  vtkNew<vtkStaticPointLocator> locator;
  locator->SetDataSet(&air);
  locator->BuildLocator();
  for (vtkIdType point = 0; point < walls.GetNumberOfPoints(); ++point) {
    double distance2 = 0.0;
    const base::Vec3 place = point_position(walls, point);
    const std::array<double, 3> at{place.x, place.y, place.z};
    const vtkIdType id = locator->FindClosestPointWithinRadius(same_place, at.data(), distance2);
    if (id < 0) {
      continue;
    }
    std::array<double, 3> normal{};
    std::array<double, 3> speed{};
    normals->GetTuple(point, normal.data());
    velocity->GetTuple(id, speed.data());
    const double through = speed[0] * normal[0] + speed[1] * normal[1] + speed[2] * normal[2];
    velocity->SetTuple3(
        id, speed[0] - through * normal[0], speed[1] - through * normal[1], speed[2] - through * normal[2]);
  }
}

PolyData sharp_edges(vtkPolyData& surface) {
  vtkNew<vtkFeatureEdges> edges;
  edges->SetInputData(&surface);
  edges->BoundaryEdgesOn();  // the surface is already parted along its sharp edges
  edges->FeatureEdgesOff();
  edges->ManifoldEdgesOff();
  edges->NonManifoldEdgesOff();
  edges->ColoringOff();
  edges->Update();
  return edges->GetOutput();
}

PolyData wall_surface(const VtkCase& vtk_case, std::span<const std::string> names, const Scales& scales) {
  PolyData faces = appended(vtk_case, names);
  if (faces->GetNumberOfCells() == 0) {
    return faces;
  }
  PolyData surface = joined(*faces);
  add_point_mean(*surface,
                 "p",
                 field_scale(Field::PressureCoefficient, scales).id,
                 scales.pressure,
                 scales.reference_pressure);
  add_point_mean(*surface, "T", field_scale(Field::TemperatureRise, scales).id, scales.temperature, 1.0);
  return surface;
}

PolyData faces_of(vtkPolyData& walls, std::span<const int> patches) {
  auto chosen = PolyData::New();
  vtkDataArray* index = walls.GetCellData()->GetArray("patch");
  vtkNew<vtkCellArray> polygons;
  vtkNew<vtkIdList> ids;
  for (vtkIdType cell = 0; index != nullptr && cell < walls.GetNumberOfCells(); ++cell) {
    if (std::find(patches.begin(), patches.end(), static_cast<int>(index->GetComponent(cell, 0))) !=
        patches.end()) {
      walls.GetCellPoints(cell, ids);
      polygons->InsertNextCell(ids);
    }
  }
  chosen->SetPoints(walls.GetPoints());
  chosen->SetPolys(polygons);
  chosen->GetPointData()->ShallowCopy(walls.GetPointData());
  vtkNew<vtkCleanPolyData> clean;  // drops the points of the others
  clean->SetInputData(chosen);
  clean->PointMergingOff();
  clean->Update();
  return clean->GetOutput();
}

}  // namespace cowlwright::post
