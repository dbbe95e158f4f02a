// SPDX-License-Identifier: GPL-3.0-or-later
//
// The way from the good installation to the other one as a picture, step by step.
#pragma once

#include "cases/compare/comparison.h"

#include <string>

namespace cowlwright::compare {

/// Steps of one quantity from good to mine, largest first, with their bands; what comes after the largest ten
/// in one. SVG, readable without colour; steps within their band are pale with a dashed edge.
std::string waterfall_svg(const Comparison& comparison, std::size_t quantity);

}  // namespace cowlwright::compare
