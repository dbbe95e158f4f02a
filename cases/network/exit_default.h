// SPDX-License-Identifier: GPL-3.0-or-later
//
// The exit where no solved case speaks of it.
#pragma once

#include "cases/network/coefficients.h"

namespace cowlwright::network {

/// Discharge and pressure coefficient against the lip's angle to the skin [rad], positive bent down, and its
/// length over the gap's height; an angle counts in proportion up to a lip as long as half of the gap. The
/// area is left at 0.
ExitCoefficients exit_coefficients_default(double lip_angle, double lip_length_over_gap);

}  // namespace cowlwright::network
