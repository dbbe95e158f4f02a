// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a solved case says about the parts of the air's way, for the quick estimate.
#pragma once

#include "post/quantities/variant_result.h"

namespace cowlwright::post {

/// The parts of an open case: flows and deck pressures as published (means over the window), planes and
/// survey discs of the last fields. Bands, status and flags stay empty: complete_case() fills them in.
SolvedParts solved_parts(const VariantResult& result, const RawResults& raw);

/// The same with names, status, flags and published bands of the row as it stands, grids compared.
/// @param result  with parts.
base::SolvedCase complete_case(const VariantResult& result);

}  // namespace cowlwright::post
