// SPDX-License-Identifier: GPL-3.0-or-later
//
// VTK XML files with names another program's user understands.
#include "post/pictures/field_files.h"

#include "geometry/base/error.h"
#include "post/extract/cell_fields.h"
#include "post/pictures/air_mesh.h"

#include <fmt/format.h>
#include <vtkCellData.h>
#include <vtkDataArray.h>
#include <vtkFieldData.h>
#include <vtkFloatArray.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkStringArray.h>
#include <vtkXMLPolyDataWriter.h>
#include <vtkXMLUnstructuredGridWriter.h>

namespace cowlwright::post {

namespace {

template <typename Writer, typename Data>
void write_compressed(Data& data, const std::filesystem::path& file) {
  vtkNew<Writer> writer;
  writer->SetInputData(&data);
  writer->SetFileName(file.c_str());
  writer->SetCompressorTypeToZLib();
  writer->SetDataModeToAppended();
  writer->EncodeAppendedDataOff();
  if (writer->Write() != 1) {
    throw base::ExternalError(
        fmt::format("{}: cannot be written. Check the folder's rights and the free space.", file.string()));
  }
}

/// A copy of an array as offset + factor * value under another name.
vtkSmartPointer<vtkFloatArray> changed(vtkDataArray& array, const char* name, double factor, double offset) {
  auto copy = vtkSmartPointer<vtkFloatArray>::New();
  copy->SetName(name);
  copy->SetNumberOfValues(array.GetNumberOfTuples());
  for (vtkIdType i = 0; i < array.GetNumberOfTuples(); ++i) {
    copy->SetValue(i, static_cast<float>(offset + factor * array.GetComponent(i, 0)));
  }
  return copy;
}

vtkSmartPointer<vtkFloatArray> empty_array(const char* name, vtkIdType size) {
  auto array = vtkSmartPointer<vtkFloatArray>::New();
  array->SetName(name);
  array->SetNumberOfValues(size);
  return array;
}

}  // namespace

void write_surfaces(vtkPolyData& walls,
                    std::span<const std::string> patches,
                    const Scales& scales,
                    const std::filesystem::path& file) {
  vtkNew<vtkPolyData> copy;
  copy->SetPoints(walls.GetPoints());
  copy->SetPolys(walls.GetPolys());
  vtkPointData* data = walls.GetPointData();
  if (vtkDataArray* cp = data->GetArray("cp"); cp != nullptr) {
    copy->GetPointData()->AddArray(changed(*cp, "Cp", 1.0, 0.0));
    copy->GetPointData()->AddArray(changed(*cp, "p_gauge", scales.reference_pressure, 0.0));
  }
  if (vtkDataArray* rise = data->GetArray("rise"); rise != nullptr) {
    copy->GetPointData()->AddArray(changed(*rise, "T", 1.0, scales.temperature));
  }
  copy->GetCellData()->AddArray(walls.GetCellData()->GetArray("patch"));
  vtkNew<vtkStringArray> names;
  names->SetName("patch_names");
  for (const std::string& name : patches) {
    names->InsertNextValue(name);
  }
  copy->GetFieldData()->AddArray(names);
  write_compressed<vtkXMLPolyDataWriter>(*copy, file);
}

void write_volume(vtkUnstructuredGrid& mesh,
                  const base::Manifest& manifest,
                  const Scales& scales,
                  const std::filesystem::path& file) {
  const CellFields fields(*mesh.GetCellData(), free_stream(manifest.flight));
  const vtkIdType n = mesh.GetNumberOfCells();
  const auto pressure = empty_array("p_gauge", n);
  const auto temperature = empty_array("T", n);
  const auto density = empty_array("rho", n);
  const auto cp = empty_array("Cp", n);
  const auto cpt = empty_array("Cp_total", n);
  for (vtkIdType cell = 0; cell < n; ++cell) {
    const CellState state = fields.at(cell);
    const FieldValues values = field_values(state, scales);
    pressure->SetValue(cell, static_cast<float>(state.pressure - scales.pressure));
    temperature->SetValue(cell, static_cast<float>(state.temperature));
    density->SetValue(cell, static_cast<float>(state.density));
    cp->SetValue(cell, static_cast<float>(values[0]));
    cpt->SetValue(cell, static_cast<float>(values[1]));
  }
  vtkNew<vtkUnstructuredGrid> copy;
  copy->CopyStructure(&mesh);
  for (vtkFloatArray* array : {pressure.Get(), density.Get(), cp.Get(), cpt.Get()}) {
    copy->GetCellData()->AddArray(array);
  }
  if (fields.has_temperature()) {
    copy->GetCellData()->AddArray(temperature);
  }
  copy->GetCellData()->AddArray(mesh.GetCellData()->GetArray("U"));
  write_compressed<vtkXMLUnstructuredGridWriter>(*copy, file);
}

}  // namespace cowlwright::post
