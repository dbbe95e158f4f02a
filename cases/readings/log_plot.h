// SPDX-License-Identifier: GPL-3.0-or-later
//
// A drawing of a log over time with its steady segments shaded.
#pragma once

#include "cases/readings/segments.h"

#include <string>

namespace cowlwright::readings {

/// SVG, a panel for each group of columns in the unit of its first column; where there is no value there is
/// no line.
std::string log_svg(const LogMap& map, const FlightLog& log, const Segments& segments);

}  // namespace cowlwright::readings
