// SPDX-License-Identifier: GPL-3.0-or-later
//
// A state of the lumped network in the words, units and definitions of the summary.
#pragma once

#include "cases/network/bands.h"
#include "cases/network/model.h"
#include "cases/study.h"
#include "geometry/base/manifest.h"
#include "post/quantities/variant_result.h"

#include <string>
#include <vector>

namespace cowlwright::verbs {

/// One value of the vocabulary.
struct EstimatedValue {
  std::string id;
  std::string part;       ///< of an entry of one part, else empty
  double value = 0.0;     ///< in the vocabulary's unit; not finite: cannot be formed
  bool is_input = false;  ///< does not depend on the flow
};

/// All that an estimate knows, the same list for every state of one variant.
/// @param manifest  estimate_manifest() of the variant.
std::vector<EstimatedValue> estimated_values(const VariantSpec& spec,
                                             const base::Manifest& manifest,
                                             const network::Coefficients& coefficients,
                                             const network::State& state);

/// What the tables ask of a case, as far as an estimate has it.
base::Manifest estimate_manifest(const Study& study, std::size_t index, const network::State& state);

/// A variant as the tables print it: values with bands, closures, coefficients, cautions of its own.
post::VariantResult estimate_result(const Study& study,
                                    std::size_t index,
                                    const network::Model& model,
                                    const network::Estimate& estimate);

}  // namespace cowlwright::verbs
