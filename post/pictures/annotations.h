// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/pictures, VTK types: the words, the colour bar and the axes of a picture, in pixels from
// its lower left corner.
#pragma once

#include "post/pictures/scales.h"
#include "post/pictures/view.h"

#include <vtkRenderer.h>

#include <string>
#include <vector>

namespace cowlwright::post {

/// Values at which the colour bar is labelled: four to ten round numbers from low to high.
std::vector<double> bar_ticks(const FieldScale& scale);

/// Title on the left, the variant's label on the right of the head strip.
void add_head(vtkRenderer& renderer, const std::string& title, const std::string& label);

/// Colour bar with ends for what is clipped, title and unit, in the foot strip.
void add_colour_bar(vtkRenderer& renderer, const FieldScale& scale);

/// Arrows "aft", "right", "up" as the camera sees them, at the right of the foot strip.
void add_axes(vtkRenderer& renderer, const Camera& camera);

}  // namespace cowlwright::post
