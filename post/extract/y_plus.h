// SPDX-License-Identifier: GPL-3.0-or-later
//
// Wall distances in wall units, from the solver's own table of them.
#pragma once

#include "geometry/base/manifest.h"
#include "post/extract/case_layout.h"

#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::post {

/// y+ of the cells at one wall patch: distance of the cell centre from the wall, times friction speed, over
/// kinematic viscosity.
struct PatchYPlus {
  std::string patch;
  double smallest = 0.0;
  double largest = 0.0;
  double mean = 0.0;  ///< over the patch's faces, large and small alike
};

/// Rows "iteration patch smallest largest mean" of one iteration; when an iteration was written twice the
/// later rows hold. Lines of another form and a last line without line end are passed over.
std::vector<PatchYPlus> parse_y_plus(std::string_view text, double iteration);

/// The solver's y+ at the layout's iteration, of every patch in its table. Empty when the case has no such
/// monitor, or it wrote nothing at that iteration.
std::vector<PatchYPlus> read_y_plus(const CaseLayout& layout, const base::Manifest& manifest);

}  // namespace cowlwright::post
