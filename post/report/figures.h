// SPDX-License-Identifier: GPL-3.0-or-later
//
// Pictures and 3-D scenes of the variants, drawn by the program cowlpicture in processes of its own: one for
// each variant, as many at a time as there are cores.
#pragma once

#include "post/tables/comparison.h"

#include <filesystem>
#include <string>
#include <vector>

namespace cowlwright::post {

/// What the page gets of one variant.
struct VariantFigures {
  std::filesystem::path folder;  ///< holds pictures.json and what it names; empty: nothing was drawn
  std::string trouble;           ///< why nothing was drawn; empty: something was
};

struct FigureOptions {
  bool draw = true;          ///< false: the user wants no pictures
  bool other_files = false;  ///< also surfaces.vtp and volume.vtu
};

/// Draws what cowlpost shows of each variant into `folder`/<case folder>. Without an X display it starts a
/// virtual one.
/// @return  (n_variants)
std::vector<VariantFigures> draw_figures(const Comparison& comparison,
                                         const std::filesystem::path& folder,
                                         const FigureOptions& options);

}  // namespace cowlwright::post
