// SPDX-License-Identifier: GPL-3.0-or-later
//
// One picture: a view between two white strips with words.
#include "post/pictures/painter.h"

#include "geometry/base/text_file.h"
#include "post/pictures/annotations.h"
#include "post/pictures/png.h"

#include <vtkActor.h>
#include <vtkCamera.h>
#include <vtkDataArray.h>
#include <vtkLookupTable.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkPolyDataMapper.h>
#include <vtkProperty.h>
#include <vtkRenderWindow.h>
#include <vtkRenderer.h>
#include <vtkTubeFilter.h>
#include <vtkUnsignedCharArray.h>

namespace cowlwright::post {

namespace {

vtkSmartPointer<vtkLookupTable> lookup_table(const FieldScale& scale) {
  const std::vector<Colour> colours = band_colours(scale);
  auto table = vtkSmartPointer<vtkLookupTable>::New();
  table->SetNumberOfTableValues(static_cast<vtkIdType>(colours.size()));
  table->SetTableRange(scale.low, scale.high);
  for (std::size_t i = 0; i < colours.size(); ++i) {
    table->SetTableValue(static_cast<vtkIdType>(i), colours[i][0], colours[i][1], colours[i][2], 1.0);
  }
  return table;
}

vtkSmartPointer<vtkActor> coloured_actor(vtkPolyData& data, const FieldScale& scale) {
  vtkNew<vtkPolyDataMapper> mapper;
  mapper->SetInputData(&data);
  mapper->SetScalarModeToUsePointFieldData();
  mapper->SelectColorArray(scale.id.c_str());
  mapper->SetLookupTable(lookup_table(scale));
  mapper->UseLookupTableScalarRangeOn();
  mapper->InterpolateScalarsBeforeMappingOn();
  auto actor = vtkSmartPointer<vtkActor>::New();
  actor->SetMapper(mapper);
  return actor;
}

vtkSmartPointer<vtkActor> plain_actor(vtkPolyData& data, double grey) {
  vtkNew<vtkPolyDataMapper> mapper;
  mapper->SetInputData(&data);
  mapper->ScalarVisibilityOff();
  auto actor = vtkSmartPointer<vtkActor>::New();
  actor->SetMapper(mapper);
  actor->GetProperty()->SetColor(grey, grey, grey);
  return actor;
}

void add_lines(vtkRenderer& renderer, vtkPolyData* lines, double grey, float width) {
  if (lines == nullptr) {
    return;
  }
  const vtkSmartPointer<vtkActor> actor = plain_actor(*lines, grey);
  actor->GetProperty()->SetLineWidth(width);
  actor->GetProperty()->LightingOff();
  renderer.AddActor(actor);
}

void add_surface(vtkRenderer& renderer, const Painting& painting, const FieldScale& scale) {
  const vtkSmartPointer<vtkActor> actor = coloured_actor(*painting.coloured, scale);
  actor->GetProperty()->SetAmbient(0.65);
  actor->GetProperty()->SetDiffuse(0.38);
  actor->GetProperty()->SetSpecular(0.0);
  renderer.AddActor(actor);
  add_lines(renderer, painting.outline, 0.25, 1.5F);
}

/// Solids stand out in grey between the air's colours.
void add_slice(vtkRenderer& renderer, const Painting& painting, const FieldScale& scale) {
  const vtkSmartPointer<vtkActor> actor = coloured_actor(*painting.coloured, scale);
  actor->GetProperty()->LightingOff();
  renderer.AddActor(actor);
  add_lines(renderer, painting.zone_outline, 0.25, 1.5F);
  add_lines(renderer, painting.outline, 0.1, 2.5F);
}

void add_streamlines(vtkRenderer& renderer, const Painting& painting, const FieldScale& scale) {
  vtkNew<vtkTubeFilter> tubes;
  tubes->SetInputData(painting.coloured);
  tubes->SetRadius(0.0022);
  tubes->SetNumberOfSides(6);
  tubes->Update();
  const vtkSmartPointer<vtkActor> actor = coloured_actor(*tubes->GetOutput(), scale);
  actor->GetProperty()->LightingOff();
  renderer.AddActor(actor);
  if (painting.outline != nullptr) {
    const vtkSmartPointer<vtkActor> walls = plain_actor(*painting.outline, 0.45);
    walls->GetProperty()->SetOpacity(0.11);
    renderer.AddActor(walls);
  }
  if (painting.zone_outline != nullptr) {
    const vtkSmartPointer<vtkActor> cores = plain_actor(*painting.zone_outline, 0.3);
    cores->GetProperty()->SetOpacity(0.16);
    renderer.AddActor(cores);
  }
}

void set_camera(vtkRenderer& renderer, const Camera& camera) {
  vtkCamera* seen = renderer.GetActiveCamera();
  seen->SetPosition(camera.position.x, camera.position.y, camera.position.z);
  seen->SetFocalPoint(camera.focus.x, camera.focus.y, camera.focus.z);
  seen->SetViewUp(camera.up.x, camera.up.y, camera.up.z);
  if (camera.half_height > 0.0) {
    seen->ParallelProjectionOn();
    seen->SetParallelScale(camera.half_height);
  } else {
    seen->SetViewAngle(perspective_angle);
  }
  renderer.ResetCameraClippingRange();
}

/// What the window shows; its rows come from the bottom up.
Image image_of(vtkRenderWindow& window) {
  vtkNew<vtkUnsignedCharArray> pixels;
  window.GetPixelData(0, 0, picture_width - 1, picture_height - 1, 0, pixels);
  Image image{picture_width, picture_height, {}};
  image.pixels.reserve(image.width * image.height);
  for (int row = picture_height - 1; row >= 0; --row) {
    for (int column = 0; column < picture_width; ++column) {
      const vtkIdType first = 3 * (static_cast<vtkIdType>(row) * picture_width + column);
      image.pixels.push_back(
          {pixels->GetValue(first), pixels->GetValue(first + 1), pixels->GetValue(first + 2)});
    }
  }
  return image;
}

}  // namespace

Studio::Studio() : window_(vtkSmartPointer<vtkRenderWindow>::New()) {
  window_->SetOffScreenRendering(1);
  window_->SetMultiSamples(4);
  window_->SetSize(picture_width, picture_height);
}

Studio::~Studio() = default;

void Studio::paint(const View& view,
                   const FieldScale& scale,
                   const Painting& painting,
                   const PictureWords& words,
                   const std::filesystem::path& file) {
  vtkNew<vtkRenderer> scene;
  const double low = static_cast<double>(foot_height) / picture_height;
  const double high = 1.0 - static_cast<double>(head_height) / picture_height;
  scene->SetViewport(0.0, low, 1.0, high);
  const double grey = view.kind == ViewKind::Slice ? 0.78 : 1.0;
  scene->SetBackground(grey, grey, grey);
  switch (view.kind) {
    case ViewKind::Surface:
      add_surface(*scene, painting, scale);
      break;
    case ViewKind::Slice:
      add_slice(*scene, painting, scale);
      break;
    case ViewKind::Streamlines:
      add_streamlines(*scene, painting, scale);
      break;
  }
  set_camera(*scene, view.camera);
  vtkNew<vtkRenderer> frame;
  frame->SetBackground(1.0, 1.0, 1.0);
  add_head(*frame, view.title, words.label);
  add_colour_bar(*frame, scale);
  add_axes(*frame, view.camera);
  window_->AddRenderer(frame);
  window_->AddRenderer(scene);
  window_->Render();
  const Image image = image_of(*window_);
  window_->RemoveRenderer(frame);
  window_->RemoveRenderer(scene);
  base::write_text(file, view.kind == ViewKind::Surface ? full_colour_png(image) : indexed_png(image));
}

}  // namespace cowlwright::post
