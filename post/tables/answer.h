// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a comparison says about the study's question, in sentences made from the numbers by rule. A sentence
// claims a difference only when it is larger than its band, and never about a variant that has not settled,
// is flagged or has failed.
#pragma once

#include "post/tables/comparison.h"

#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::post {

/// Stands: every variant is sound and the bands hold iterations and grids. WithReservations: something is
/// claimed or ruled out, but not all of that is so. None: there is nothing sound to say something about.
enum class Standing { Stands, WithReservations, None };

struct Answer {
  Standing standing = Standing::None;
  std::vector<std::string> sentences;   ///< at least one, the most important first
  std::vector<std::string> reasons;     ///< why it does not simply stand
  std::vector<std::string> quantities;  ///< ids of the rows that support it, those that some variant has
};

/// "stands", "with_reservations", "none".
std::string_view standing_name(Standing standing);

/// The same as a sentence for a reader.
std::string_view standing_text(Standing standing);

/// Whether statements may be made about a variant: settled, oscillating or an estimate, and not flagged.
bool is_sound(const VariantResult& variant);

Answer answer_of(const Comparison& comparison);

}  // namespace cowlwright::post
