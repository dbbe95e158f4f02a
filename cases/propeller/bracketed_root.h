// SPDX-License-Identifier: GPL-3.0-or-later
//
// Root of a function of an angle between two ends of unlike sign. Internal to the folder.
#pragma once

#include <boost/math/tools/toms748_solve.hpp>

#include <cassert>
#include <cmath>
#include <cstdint>

namespace cowlwright::propeller {

/// @param low, high  [rad], low < high; the function's signs differ there, or one of its values is 0.
/// @return           the root to 1e-11 rad.
template <class Function>
double bracketed_root(const Function& function, double low, double high) {
  const double at_low = function(low);
  const double at_high = function(high);
  if (at_low == 0.0) {
    return low;
  }
  if (at_high == 0.0) {
    return high;
  }
  assert(at_low * at_high < 0.0);
  std::uintmax_t iterations = 200;
  const auto close = [](double a, double b) { return std::abs(a - b) < 1e-11; };
  const auto [a, b] =
      boost::math::tools::toms748_solve(function, low, high, at_low, at_high, close, iterations);
  return 0.5 * (a + b);
}

}  // namespace cowlwright::propeller
