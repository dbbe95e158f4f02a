// SPDX-License-Identifier: GPL-3.0-or-later
//
// Whether two installations are alike in one part of the air's way: only then what one was solved for says
// something about the other. Internal to the folder.
#pragma once

#include "cases/study.h"

namespace cowlwright::network {

/// Alike to rounding in all that shapes the air ahead of one inlet and behind it: the inlet, the cowl's nose,
/// spinner and propeller, and the upper deck with what stands in it.
bool same_inlet(const VariantSpec& a, const VariantSpec& b, base::Side side);

/// Alike in the upper deck, the cylinders' blocks and this cylinder's law. @param cylinder  "l1".
bool same_core(const VariantSpec& a, const VariantSpec& b, const std::string& cylinder);

/// Alike in upper deck, place, size and law of the oil cooler; both must have one.
bool same_cooler(const VariantSpec& a, const VariantSpec& b);

/// Alike in upper deck and effective area of a leak. @param name  "leak_rear_baffle_left".
bool same_leak(const VariantSpec& a, const VariantSpec& b, const std::string& name);

/// Alike in exit, lower cowl, belly and sump but for the lip's angle.
bool same_exit_but_lip_angle(const VariantSpec& a, const VariantSpec& b);

}  // namespace cowlwright::network
