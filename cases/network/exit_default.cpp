// SPDX-License-Identifier: GPL-3.0-or-later
//
// A table of the exit against the lip's angle.
#include "cases/network/exit_default.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace cowlwright::network {
namespace {

struct Row {
  double lip_angle;  ///< [deg]
  double discharge;
  double pressure;
};

constexpr std::array<Row, 4> rows{
    {{-15.0, 0.80, 0.05}, {0.0, 0.80, -0.10}, {30.0, 0.80, -0.35}, {60.0, 0.80, -0.40}}};
constexpr double discharge_half_band = 0.15;
constexpr double pressure_half_band = 0.15;
constexpr const char* source = "chosen, no source";

}  // namespace

ExitCoefficients exit_coefficients_default(double lip_angle, double lip_length_over_gap) {
  const double share = std::clamp(2.0 * lip_length_over_gap, 0.0, 1.0);
  const double angle =
      std::clamp(share * lip_angle * 180.0 / std::numbers::pi, rows.front().lip_angle, rows.back().lip_angle);
  std::size_t above = 1;
  while (above + 1 < rows.size() && rows[above].lip_angle < angle) ++above;
  const Row& low = rows[above - 1];
  const Row& high = rows[above];
  const double weight = (angle - low.lip_angle) / (high.lip_angle - low.lip_angle);
  ExitCoefficients exit;
  exit.discharge = {std::lerp(low.discharge, high.discharge, weight), discharge_half_band, source};
  exit.pressure = {std::lerp(low.pressure, high.pressure, weight), pressure_half_band, source};
  return exit;
}

}  // namespace cowlwright::network
