// SPDX-License-Identifier: GPL-3.0-or-later
//
// Drawings as SVG at full size: one user unit is one mm, and the page has its size in mm.
#pragma once

#include "geometry/templates/drawing.h"

#include <filesystem>
#include <string>

namespace cowlwright::templates {

/// One group per layer with the layer's name as its id; title, notes and bars of 100 mm and 4 in below the
/// drawing. Outlines are 0.25 mm wide; the cut goes along their middle.
std::string svg_text(const Drawing& drawing);

/// svg_text() into a file. @throws ExternalError  when it cannot be written.
void write_svg(const Drawing& drawing, const std::filesystem::path& path);

}  // namespace cowlwright::templates
