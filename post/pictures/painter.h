// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/pictures, VTK types: draws one view into a picture file. Needs an X display.
#pragma once

#include "post/pictures/cuts.h"
#include "post/pictures/view.h"

#include <filesystem>
#include <string>

class vtkRenderWindow;

namespace cowlwright::post {

/// What a view is drawn from.
struct Painting {
  PolyData coloured;      ///< walls, cut or streamlines, with the field's point array
  PolyData outline;       ///< lines where walls are cut, or the walls themselves to be drawn translucent
  PolyData zone_outline;  ///< lines where cylinders and cooler are cut; may be null
};

/// Words of one picture besides the view's own.
struct PictureWords {
  std::string label;  ///< of the variant
};

/// One window for all pictures: opening it takes longer than drawing.
class Studio {
 public:
  Studio();
  ~Studio();
  Studio(const Studio&) = delete;
  Studio& operator=(const Studio&) = delete;

  /// Writes a PNG of picture_width x picture_height.
  /// @throws ExternalError  when the file cannot be written.
  void paint(const View& view,
             const FieldScale& scale,
             const Painting& painting,
             const PictureWords& words,
             const std::filesystem::path& file);

 private:
  vtkSmartPointer<vtkRenderWindow> window_;
};

}  // namespace cowlwright::post
