// SPDX-License-Identifier: GPL-3.0-or-later
//
// One variant on several grids: which values are published, and what the grids together say about their
// discretisation error.
#pragma once

#include "post/quantities/variant_result.h"

#include <vector>

namespace cowlwright::post {

/// Puts cases of one study, variant and settings on different grid levels together. A family has the values
/// of its finest grid that counts (settled or oscillating, with a closed mass balance), each with the verdict
/// of the grids; when none counts, those of the finest that has values. Cases of one name, level or cell size
/// given twice stay apart, with a note. The order of the first members is kept.
std::vector<VariantResult> group_grids(std::vector<VariantResult> results);

}  // namespace cowlwright::post
