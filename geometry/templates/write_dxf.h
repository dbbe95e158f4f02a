// SPDX-License-Identifier: GPL-3.0-or-later
//
// Drawings as DXF (release 2000, ASCII), unit mm, at full size in aircraft coordinates.
#pragma once

#include "geometry/templates/drawing.h"

#include <filesystem>
#include <string>

namespace cowlwright::templates {

/// Layers as in the drawing; outlines as LWPOLYLINE, words as TEXT, title and notes on layer NOTES
/// below the drawing; $INSUNITS says mm. Bend lines are dashed
/// and red, marks grey chain lines.
std::string dxf_text(const Drawing& drawing);

/// dxf_text() into a file. @throws ExternalError  when it cannot be written.
void write_dxf(const Drawing& drawing, const std::filesystem::path& path);

}  // namespace cowlwright::templates
