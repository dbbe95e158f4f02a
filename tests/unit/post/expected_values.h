// SPDX-License-Identifier: GPL-3.0-or-later
//
// Comparing reported quantities with values worked out by hand.
#pragma once

#include "post/quantities/variant_result.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>

namespace cowlwright::post::synthetic {

inline constexpr double rounding = 1e-9;  // relative; a few operations on doubles

/// NaN when the quantity is absent.
inline double value(const VariantResult& result, const std::string& id) {
  const Quantity* quantity = result.find(id);
  return quantity == nullptr ? std::numeric_limits<double>::quiet_NaN() : quantity->value;
}

inline void expect_value(const VariantResult& result, const std::string& id, double expected) {
  EXPECT_NEAR(value(result, id), expected, rounding * std::max(1.0, std::abs(expected))) << id;
}

}  // namespace cowlwright::post::synthetic
