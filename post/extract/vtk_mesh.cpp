// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading a case with VTK and the geometry of its cells.
#include "post/extract/vtk_mesh.h"

#include "geometry/base/error.h"

#include <fmt/format.h>
#include <vtkCellType.h>
#include <vtkCompositeDataSet.h>
#include <vtkDummyController.h>
#include <vtkInformation.h>
#include <vtkLogger.h>
#include <vtkNew.h>
#include <vtkObjectFactory.h>
#include <vtkOutputWindow.h>
#include <vtkPOpenFOAMReader.h>
#include <vtkPoints.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace cowlwright::post {

namespace {

/// Keeps VTK's complaints instead of printing them.
class ComplaintWindow : public vtkOutputWindow {
 public:
  static ComplaintWindow* New();

  void DisplayErrorText(const char* text) override { complaints_ += text; }
  void DisplayWarningText(const char*) override {}
  void DisplayGenericWarningText(const char*) override {}
  void DisplayText(const char*) override {}
  void DisplayDebugText(const char*) override {}

  const std::string& complaints() const { return complaints_; }

 private:
  std::string complaints_;
};

ComplaintWindow* ComplaintWindow::New() {
  VTK_STANDARD_NEW_BODY(ComplaintWindow);
}

/// VTK's global output window and process controller for the time of one reading.
class VtkSurroundings {
 public:
  VtkSurroundings()
      : window_before_(vtkOutputWindow::GetInstance()),
        verbosity_before_(vtkLogger::GetCurrentVerbosityCutoff()) {
    vtkLogger::SetStderrVerbosity(vtkLogger::VERBOSITY_OFF);
    vtkOutputWindow::SetInstance(window_);
    vtkMultiProcessController::SetGlobalController(controller_);
  }
  ~VtkSurroundings() {
    vtkLogger::SetStderrVerbosity(verbosity_before_);
    vtkOutputWindow::SetInstance(window_before_);
    vtkMultiProcessController::SetGlobalController(nullptr);
  }
  VtkSurroundings(const VtkSurroundings&) = delete;
  VtkSurroundings& operator=(const VtkSurroundings&) = delete;

  vtkMultiProcessController* controller() { return controller_; }
  const std::string& complaints() const { return window_->complaints(); }

 private:
  vtkSmartPointer<vtkOutputWindow> window_before_;
  vtkLogger::Verbosity verbosity_before_;
  vtkNew<ComplaintWindow> window_;
  vtkNew<vtkDummyController> controller_;
};

vtkDataObject* child(vtkMultiBlockDataSet* blocks, const std::string& name) {
  for (unsigned int i = 0; blocks != nullptr && i < blocks->GetNumberOfBlocks(); ++i) {
    vtkInformation* information = blocks->HasMetaData(i) != 0 ? blocks->GetMetaData(i) : nullptr;
    if (information != nullptr && information->Has(vtkCompositeDataSet::NAME()) != 0 &&
        name == information->Get(vtkCompositeDataSet::NAME())) {
      return blocks->GetBlock(i);
    }
  }
  return nullptr;
}

vtkDataObject* zone(vtkMultiBlockDataSet* blocks, const std::string& kind, const std::string& name) {
  vtkDataObject* zones = child(blocks, "zones");
  vtkDataObject* of_kind = child(vtkMultiBlockDataSet::SafeDownCast(zones), kind);
  return child(vtkMultiBlockDataSet::SafeDownCast(of_kind), name);
}

using FaceTable = std::span<const std::array<int, 4>>;  // -1 fills a triangle up

constexpr std::array<std::array<int, 4>, 6> hexahedron_faces{
    {{0, 4, 7, 3}, {1, 2, 6, 5}, {0, 1, 5, 4}, {3, 7, 6, 2}, {0, 3, 2, 1}, {4, 5, 6, 7}}};
constexpr std::array<std::array<int, 4>, 5> wedge_faces{
    {{0, 1, 2, -1}, {3, 5, 4, -1}, {0, 3, 4, 1}, {1, 4, 5, 2}, {2, 5, 3, 0}}};
constexpr std::array<std::array<int, 4>, 5> pyramid_faces{
    {{0, 3, 2, 1}, {0, 1, 4, -1}, {1, 2, 4, -1}, {2, 3, 4, -1}, {3, 0, 4, -1}}};
constexpr std::array<std::array<int, 4>, 4> tetrahedron_faces{
    {{0, 1, 3, -1}, {1, 2, 3, -1}, {2, 0, 3, -1}, {0, 2, 1, -1}}};

/// Empty for cells that are no tetrahedron, pyramid, wedge or hexahedron.
FaceTable face_table(int cell_type) {
  switch (cell_type) {
    case VTK_HEXAHEDRON:
      return hexahedron_faces;
    case VTK_WEDGE:
      return wedge_faces;
    case VTK_PYRAMID:
      return pyramid_faces;
    case VTK_TETRA:
      return tetrahedron_faces;
    default:
      return {};
  }
}

}  // namespace

vtkUnstructuredGrid* VtkCase::internal_mesh() const {
  return vtkUnstructuredGrid::SafeDownCast(child(blocks, "internalMesh"));
}

vtkUnstructuredGrid* VtkCase::cell_zone(const std::string& name) const {
  auto* grid = vtkUnstructuredGrid::SafeDownCast(zone(blocks, "cellZones", name));
  return grid != nullptr && grid->GetNumberOfCells() > 0 ? grid : nullptr;
}

vtkPolyData* VtkCase::face_zone(const std::string& name) const {
  auto* faces = vtkPolyData::SafeDownCast(zone(blocks, "faceZones", name));
  return faces != nullptr && faces->GetNumberOfCells() > 0 ? faces : nullptr;
}

vtkPolyData* VtkCase::patch(const std::string& name) const {
  auto* boundary = vtkMultiBlockDataSet::SafeDownCast(child(blocks, "boundary"));
  auto* faces = vtkPolyData::SafeDownCast(child(boundary, name));
  return faces != nullptr && faces->GetNumberOfCells() > 0 ? faces : nullptr;
}

VtkCase read_vtk_case(const CaseLayout& layout,
                      std::span<const std::string> fields,
                      std::span<const std::string> patches) {
  VtkSurroundings surroundings;
  vtkNew<vtkPOpenFOAMReader> reader;
  reader->SetController(surroundings.controller());
  reader->SetFileName((layout.case_dir / "system" / "controlDict").c_str());
  reader->SetCaseType(layout.is_decomposed ? 0 : 1);
  reader->SetReadZones(1);
  reader->SetCreateCellToPoint(0);
  reader->SetDecomposePolyhedra(0);
  reader->SetCacheMesh(0);
  reader->UpdateInformation();
  reader->DisableAllPatchArrays();
  reader->SetPatchArrayStatus("internalMesh", 1);
  for (const std::string& patch : patches) {
    reader->SetPatchArrayStatus(("patch/" + patch).c_str(), 1);
  }
  reader->DisableAllCellArrays();
  for (const std::string& field : fields) {
    reader->SetCellArrayStatus(field.c_str(), 1);
  }
  reader->UpdateTimeStep(layout.time);
  VtkCase vtk_case{reader->GetOutput()};
  const std::string& complaints = surroundings.complaints();
  vtkUnstructuredGrid* mesh = vtk_case.internal_mesh();
  if (!complaints.empty() || mesh == nullptr || mesh->GetNumberOfCells() == 0) {
    throw base::ResultError(
        fmt::format("{}, iteration {}: VTK cannot read the fields: {}. Reconstruct or run the case again.",
                    layout.case_dir.string(),
                    layout.time_name,
                    complaints.empty() ? "there is no mesh" : complaints));
  }
  return vtk_case;
}

void for_each_face(vtkUnstructuredGrid& grid,
                   vtkIdType cell,
                   const std::function<void(std::span<const vtkIdType>)>& visit) {
  const FaceTable table = face_table(grid.GetCellType(cell));
  vtkIdType n_points = 0;
  const vtkIdType* points = nullptr;
  if (!table.empty()) {
    grid.GetCells()->GetCellAtId(cell, n_points, points);
    std::array<vtkIdType, 4> corners{};
    for (const std::array<int, 4>& face : table) {
      std::size_t n_corners = 0;
      for (const int corner : face) {
        if (corner >= 0) {
          corners[n_corners++] = points[corner];
        }
      }
      visit(std::span(corners).first(n_corners));
    }
    return;
  }
  vtkIdType n_faces = 0;
  const vtkIdType* stream = nullptr;
  grid.GetFaceStream(cell, n_faces, stream);
  for (vtkIdType face = 0; face < n_faces; ++face) {
    const auto n_corners = static_cast<std::size_t>(*stream);
    visit(std::span(stream + 1, n_corners));
    stream += n_corners + 1;
  }
}

base::Vec3 point_position(vtkPointSet& grid, vtkIdType point) {
  std::array<double, 3> position{};
  grid.GetPoints()->GetPoint(point, position.data());
  return {position[0], position[1], position[2]};
}

base::Vec3 mean_point(vtkUnstructuredGrid& grid, vtkIdType cell) {
  vtkIdType n_points = 0;
  const vtkIdType* points = nullptr;
  grid.GetCells()->GetCellAtId(cell, n_points, points);
  base::Vec3 sum;
  for (vtkIdType i = 0; i < n_points; ++i) {
    sum = sum + point_position(grid, points[i]);
  }
  return (1.0 / static_cast<double>(std::max<vtkIdType>(n_points, 1))) * sum;
}

PolygonShape polygon_shape(std::span<const base::Vec3> corners) {
  base::Vec3 middle;
  for (const base::Vec3& corner : corners) {
    middle = middle + corner;
  }
  middle = (1.0 / static_cast<double>(corners.size())) * middle;
  base::Vec3 area;
  base::Vec3 moment;
  double total = 0.0;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const base::Vec3& a = corners[i];
    const base::Vec3& b = corners[(i + 1) % corners.size()];
    const base::Vec3 triangle = 0.5 * base::cross(a - middle, b - middle);
    const double size = base::norm(triangle);
    area = area + triangle;
    moment = moment + (size / 3.0) * (a + b + middle);
    total += size;
  }
  return {area, total > 0.0 ? (1.0 / total) * moment : middle};
}

CellShape cell_shape(vtkUnstructuredGrid& grid, vtkIdType cell) {
  const base::Vec3 middle = mean_point(grid, cell);
  CellShape shape;
  base::Vec3 moment;
  std::vector<base::Vec3> corners;
  for_each_face(grid, cell, [&](std::span<const vtkIdType> face) {
    corners.clear();
    for (const vtkIdType point : face) {
      corners.push_back(point_position(grid, point));
    }
    const PolygonShape polygon = polygon_shape(corners);
    const double pyramid = std::abs(base::dot(polygon.area, polygon.centre - middle)) / 3.0;
    shape.volume += pyramid;
    moment = moment + pyramid * (0.75 * polygon.centre + 0.25 * middle);
  });
  shape.centre = shape.volume > 0.0 ? (1.0 / shape.volume) * moment : middle;
  return shape;
}

}  // namespace cowlwright::post
