// SPDX-License-Identifier: GPL-3.0-or-later
//
// Pictures of a mold check for people: four views each of drafts and undercuts, of halves and edges, and of
// radii, with the places numbered as in the list.
#pragma once

#include "geometry/mold/report.h"

#include <filesystem>

namespace cowlwright::mold {

/// Writes draft.png/.svg, halves.png/.svg and radii.png/.svg into a folder that exists.
/// @param title  of the subject, for the head of each sheet.
/// @return the files written. @throws ExternalError  when one cannot be written.
std::vector<std::filesystem::path> write_views(const Sheet& sheet,
                                               const MoldReport& report,
                                               const Options& options,
                                               const std::string& title,
                                               const std::filesystem::path& folder);

}  // namespace cowlwright::mold
