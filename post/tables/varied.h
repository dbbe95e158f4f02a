// SPDX-License-Identifier: GPL-3.0-or-later
//
// What differs between the variants of a study, in words and as numbers for an axis.
#pragma once

#include "post/quantities/variant_result.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace cowlwright::post {

/// A study key whose value is not the same in all variants.
struct VariedKey {
  std::string key;                 ///< "exit.lip_angle"
  std::string label;               ///< "exit lip angle"
  std::vector<std::string> texts;  ///< (n_variants) as in the study file; empty: not set there
  std::string unit;                ///< common to all; empty: none
  std::optional<std::vector<double>>
      numbers;  ///< (n_variants) in that unit, when all are numbers of one unit
};

/// In the order of the first variant that sets them.
std::vector<VariedKey> varied_keys(std::span<const VariantResult> variants);

}  // namespace cowlwright::post
