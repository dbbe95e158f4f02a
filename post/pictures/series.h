// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/pictures, VTK types: all pictures, the scene and the files of one case.
#pragma once

#include "post/pictures/painter.h"
#include "post/pictures/record.h"

#include <filesystem>
#include <functional>

namespace cowlwright::post {

struct SeriesRequest {
  std::filesystem::path case_dir;
  std::filesystem::path output;
  std::filesystem::path like;  ///< case whose cameras and ranges are used; empty: the case itself
  bool files = false;          ///< also surfaces.vtp and volume.vtu
};

/// Draws one view into a file; throws when it cannot. Studio::paint(), or none to leave the pictures out.
using Painter = std::function<void(
    const View&, const FieldScale&, const Painting&, const PictureWords&, const std::filesystem::path&)>;

/// Writes scene, files, pictures and pictures.json into the output folder, which is made. A view or the scene
/// that fails is listed with its reason and does not stop the others; the record is written anew before each
/// picture, so that it is right even when drawing ends the process. Without painter every picture is missing
/// for `no_painter_reason`.
/// @throws InputError, ResultError, ExternalError  when the case cannot be read or the folder not be written.
PictureRecord make_series(const SeriesRequest& request,
                          const Painter& painter,
                          const std::string& no_painter_reason);

}  // namespace cowlwright::post
