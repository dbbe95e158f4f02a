// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/quantities: the vocabulary by groups, one source each, in the order of the tables.
#pragma once

#include "post/quantities/quantity.h"

#include <span>

namespace cowlwright::post {

std::span<const QuantitySpec> deck_entries();
std::span<const QuantitySpec> passage_entries();
std::span<const QuantitySpec> exit_entries();
std::span<const QuantitySpec> temperature_entries();
std::span<const QuantitySpec> propeller_entries();
std::span<const QuantitySpec> drag_entries();
std::span<const QuantitySpec> wall_entries();

}  // namespace cowlwright::post
