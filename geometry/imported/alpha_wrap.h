// SPDX-License-Identifier: GPL-3.0-or-later
//
// The bare wrap, without any judgement of what it did. Use wrap.h.
#pragma once

#include "geometry/shape/surface.h"

namespace cowlwright::imported {

/// Closed surface round everything, at `offset` from it, as a ball of radius `alpha` rolls over the outside.
/// Whatever opening lets the ball through is entered in silence. One patch, "wrap".
///
/// @param alpha, offset  [m], > 0.
/// Source: Portaneri et al., Alpha wrapping with an offset, ACM Transactions on Graphics 41 (2022) 127.
shape::Surface alpha_wrap(const shape::Surface& surface, double alpha, double offset);

}  // namespace cowlwright::imported
