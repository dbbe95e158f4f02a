// SPDX-License-Identifier: GPL-3.0-or-later
//
// Temperatures and margins in the words of the summary.
#pragma once

#include "cases/envelope/engine_temperatures.h"
#include "post/quantities/variant_result.h"

namespace cowlwright::verbs {

/// Adds what is known with a value as quantities, what is known as a band only as notes, and why the rest is
/// not shown. A study that says nothing of limits, fuel and readings gets nothing.
/// @param model  of the variant, as `engine` was made from the first variant's.
void add_temperatures(const envelope::EngineTemperatures& engine,
                      const envelope::DisturbedModel& model,
                      post::VariantResult& result);

/// Whether the study's sections ask for temperatures at all.
bool asks_for_temperatures(const VariantSpec& spec);

}  // namespace cowlwright::verbs
