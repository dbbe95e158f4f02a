// SPDX-License-Identifier: GPL-3.0-or-later
//
// The status of a study for people, and for programs.
#pragma once

#include "cases/watch/sweep_status.h"

#include <cstddef>
#include <string>

namespace cowlwright::watch {

/// A heading, a line per case in aligned columns, a summary; each line ends with a line end. Pressures in Pa
/// and inH2O.
std::string status_text(const SweepStatus& status);

/// The same for a terminal: no line wider than `columns`, no more than `rows` lines. When there are more
/// cases than fit, those at work, silent, failed and stopped come first and how many others there are is
/// told.
std::string status_screen(const SweepStatus& status, std::size_t columns, std::size_t rows);

/// One JSON object, SI units; what is not known is null.
std::string status_json(const SweepStatus& status);

}  // namespace cowlwright::watch
