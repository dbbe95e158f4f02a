// SPDX-License-Identifier: GPL-3.0-or-later
//
// Looks a quantity up; apart from the reading of cases, because tables need it without them.
#include "post/quantities/variant_result.h"

#include <algorithm>

namespace cowlwright::post {

const Quantity* VariantResult::find(std::string_view id) const {
  const auto found = std::find_if(
      quantities.begin(), quantities.end(), [id](const Quantity& quantity) { return quantity.id == id; });
  return found == quantities.end() ? nullptr : &*found;
}

}  // namespace cowlwright::post
