// SPDX-License-Identifier: GPL-3.0-or-later
//
// How far the effects may be off because the coefficients of the estimate may be. Internal to cases/compare.
#pragma once

#include "cases/compare/comparison.h"

namespace cowlwright::compare {

/// Fills in Comparison::band and, in every effect, `band` and `stands_on`.
///
/// Each coefficient is shifted by its half band, alike in all mixtures, and in all places of one mixture,
/// that have one of that kind with the same value from the same source. Of different values of one kind and
/// source half of the variance is shared and half each one's own; different kinds and sources are off each on
/// their own. The band is the root of the sum of squares of what that changes in the effect, taken as the mean of a detail
/// that comes first and one that comes last. Our own reasoning: the halves are chosen, and the estimate is taken as
/// linear over a band.
void add_bands(const VariantSpec& good,
               const VariantSpec& mine,
               const Estimator& estimator,
               Comparison& comparison);

}  // namespace cowlwright::compare
