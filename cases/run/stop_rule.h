// SPDX-License-Identifier: GPL-3.0-or-later
//
// When the driver may end the solver: all judged quantities have held by the settling rule of
// geometry/base/settling.h, with the case's stop tolerance.
#pragma once

#include "geometry/base/manifest.h"

#include <filesystem>
#include <optional>
#include <string>

namespace cowlwright::run {

struct HoldVerdict {
  bool has_held = false;
  int iteration = 0;  ///< last one that all judged monitors have; 0 without
  std::optional<double> deck_pressure_difference_band{};  ///< half band over the window [Pa]
  std::string reason;  ///< "widest half band 0.31 % ..., over 150 iterations at iteration 412", or why not
};

/// Judges the deck pressure difference, the flow of each inlet and the exit flow by what the monitors have
/// written so far. Never held while one of them is missing, broken off or damaged.
HoldVerdict judge_hold(const std::filesystem::path& case_dir, const base::Manifest& manifest);

}  // namespace cowlwright::run
