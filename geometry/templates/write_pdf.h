// SPDX-License-Identifier: GPL-3.0-or-later
//
// Drawings as PDF at full size on sheets of paper that are laid together.
#pragma once

#include "geometry/templates/drawing.h"
#include "geometry/templates/paper.h"

#include <filesystem>

namespace cowlwright::templates {

/// First a sheet with the title, the notes, what to do, and a map of all sheets; then one sheet per tile that
/// is not blank. Every sheet has bars of 100 mm and 4 in to check the printer by, its number and its
/// neighbours' numbers; neighbours share a strip with crosses that must coincide.
///
/// @throws ExternalError  when the file cannot be written.
void write_pdf(const Drawing& drawing, const Tiling& tiling, const std::filesystem::path& path);

}  // namespace cowlwright::templates
