// SPDX-License-Identifier: GPL-3.0-or-later
//
// Which faces must be turned so that neighbours agree. Internal to this folder.
#pragma once

#include "geometry/shape/connectivity.h"

#include <cstdint>
#include <span>
#include <vector>

namespace cowlwright::imported {

struct SheetSides {
  std::size_t n_disagreeing_edges = 0;     ///< two faces that traverse them in one sense
  std::vector<std::uint32_t> to_turn{};    ///< of each sheet, the side with fewer faces
  std::vector<std::uint32_t> one_sided{};  ///< a face of each sheet that cannot be made to agree
};

/// A sheet is what hangs together through edges of exactly two faces.
SheetSides sheet_sides(const shape::Surface& surface,
                       std::span<const shape::EdgeUse> edges,
                       std::span<const std::uint8_t> left_out);

}  // namespace cowlwright::imported
