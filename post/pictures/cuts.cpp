// SPDX-License-Identifier: GPL-3.0-or-later
//
// Plane cuts and streamlines with VTK's filters.
#include "post/pictures/cuts.h"

#include <vtk3DLinearGridPlaneCutter.h>
#include <vtkAppendPolyData.h>
#include <vtkCellArray.h>
#include <vtkClipPolyData.h>
#include <vtkCutter.h>
#include <vtkDataSetSurfaceFilter.h>
#include <vtkIdList.h>
#include <vtkNew.h>
#include <vtkPlane.h>
#include <vtkPointData.h>
#include <vtkPoints.h>
#include <vtkStreamTracer.h>

#include <array>
#include <cmath>
#include <numbers>

namespace cowlwright::post {

namespace {

vtkSmartPointer<vtkPlane> plane_at(const base::Vec3& origin, const base::Vec3& normal) {
  auto plane = vtkSmartPointer<vtkPlane>::New();
  plane->SetOrigin(origin.x, origin.y, origin.z);
  plane->SetNormal(normal.x, normal.y, normal.z);
  return plane;
}

/// What lies where the plane's normal points.
PolyData kept_side(vtkPolyData& data, const base::Vec3& origin, const base::Vec3& normal) {
  vtkNew<vtkClipPolyData> clip;
  clip->SetInputData(&data);
  clip->SetClipFunction(plane_at(origin, normal));
  clip->Update();
  return clip->GetOutput();
}

PolyData on_side(vtkPolyData& data, base::Side side) {
  if (side == base::Side::Centre) {
    return &data;
  }
  return kept_side(data, {}, {0.0, side == base::Side::Left ? -1.0 : 1.0, 0.0});
}

template <typename CutOne>
PolyData cut_all(std::span<const Cut> cuts, CutOne cut_one) {
  vtkNew<vtkAppendPolyData> all;
  for (const Cut& cut : cuts) {
    all->AddInputData(on_side(*cut_one(*plane_at(cut.origin, cut.normal)), cut.keep_side));
  }
  all->Update();
  return all->GetOutput();
}

/// Points spread evenly over the disc of the plane's area, by the golden angle; `sense` mirrors them.
void add_seeds(vtkPoints& points, const base::PlaneRecord& inlet, int n_seeds, double sense) {
  const double golden_angle = std::numbers::pi * (3.0 - std::sqrt(5.0));
  const double radius = 0.95 * std::sqrt(inlet.area / std::numbers::pi);
  for (int i = 0; i < n_seeds; ++i) {
    const double distance = radius * std::sqrt((i + 0.5) / n_seeds);
    const double angle = golden_angle * i;
    points.InsertNextPoint(inlet.origin.x,
                           inlet.origin.y + sense * distance * std::cos(angle),
                           inlet.origin.z + distance * std::sin(angle));
  }
}

}  // namespace

PolyData clipped(vtkPolyData& data, const Box& box) {
  PolyData rest = &data;
  rest = kept_side(*rest, box.low, {1.0, 0.0, 0.0});
  rest = kept_side(*rest, box.low, {0.0, 1.0, 0.0});
  rest = kept_side(*rest, box.low, {0.0, 0.0, 1.0});
  rest = kept_side(*rest, box.high, {-1.0, 0.0, 0.0});
  rest = kept_side(*rest, box.high, {0.0, -1.0, 0.0});
  return kept_side(*rest, box.high, {0.0, 0.0, -1.0});
}

PolyData lines_within(vtkPolyData& lines, const Box& box) {
  vtkNew<vtkCellArray> kept;
  vtkNew<vtkIdList> run;
  const auto end_run = [&] {
    if (run->GetNumberOfIds() > 1) {
      kept->InsertNextCell(run);
    }
    run->Reset();
  };
  vtkIdType n_ids = 0;
  const vtkIdType* ids = nullptr;
  for (lines.GetLines()->InitTraversal(); lines.GetLines()->GetNextCell(n_ids, ids) != 0;) {
    for (vtkIdType i = 0; i < n_ids; ++i) {
      if (is_inside(box, point_position(lines, ids[i]))) {
        run->InsertNextId(ids[i]);
      } else {
        end_run();
      }
    }
    end_run();
  }
  auto within = PolyData::New();
  within->SetPoints(lines.GetPoints());
  within->SetLines(kept);
  within->GetPointData()->ShallowCopy(lines.GetPointData());
  return within;
}

PolyData cut_air(vtkUnstructuredGrid& air, std::span<const Cut> cuts) {
  return cut_all(cuts, [&air](vtkPlane& plane) -> PolyData {
    vtkNew<vtk3DLinearGridPlaneCutter> cutter;
    cutter->SetInputData(&air);
    cutter->SetPlane(&plane);
    cutter->SetMergePoints(true);
    cutter->SetComputeNormals(false);
    cutter->SetInterpolateAttributes(true);
    cutter->Update();
    return vtkPolyData::SafeDownCast(cutter->GetOutputDataObject(0));
  });
}

PolyData cut_surface(vtkPolyData& surface, std::span<const Cut> cuts) {
  return cut_all(cuts, [&surface](vtkPlane& plane) -> PolyData {
    vtkNew<vtkCutter> cutter;
    cutter->SetInputData(&surface);
    cutter->SetCutFunction(&plane);
    cutter->Update();
    return cutter->GetOutput();
  });
}

PolyData zone_surface(vtkUnstructuredGrid& zone) {
  vtkNew<vtkDataSetSurfaceFilter> surface;
  surface->SetInputData(&zone);
  surface->Update();
  return surface->GetOutput();
}

PolyData streamlines(vtkUnstructuredGrid& air, const base::Manifest& manifest, int n_seeds, double longest) {
  vtkNew<vtkPoints> points;
  for (const base::PlaneRecord& plane : manifest.planes) {
    if (plane.role == base::PlaneRole::Inlet) {
      add_seeds(*points, plane, n_seeds, plane.side == base::Side::Left ? -1.0 : 1.0);
    }
  }
  vtkNew<vtkPolyData> seeds;
  seeds->SetPoints(points);
  air.GetPointData()->SetActiveVectors("U");
  vtkNew<vtkStreamTracer> tracer;
  tracer->SetInputData(&air);
  tracer->SetSourceData(seeds);
  tracer->SetInterpolatorTypeToCellLocator();
  tracer->SetIntegratorTypeToRungeKutta4();
  tracer->SetIntegrationDirectionToBoth();
  tracer->SetIntegrationStepUnit(vtkStreamTracer::CELL_LENGTH_UNIT);
  tracer->SetInitialIntegrationStep(0.3);
  tracer->SetMaximumPropagation(longest);
  tracer->SetMaximumNumberOfSteps(4000);
  tracer->SetComputeVorticity(false);
  tracer->Update();
  return tracer->GetOutput();
}

}  // namespace cowlwright::post
