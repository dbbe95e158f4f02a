// SPDX-License-Identifier: GPL-3.0-or-later
//
// The vocabulary: wall distances.
#include "post/quantities/vocabulary_parts.h"

#include <array>

namespace cowlwright::post {

namespace {

using enum DifferenceIn;

constexpr std::array table{
    QuantitySpec{"y_plus_mean",
                 "Walls",
                 "y+, mean",
                 "-",
                 1,
                 Unit,
                 "distance of the cell centres at the wall x friction speed / kinematic viscosity, from the "
                 "solver: mean over the patch's faces; over several patches, weighted with their areas"},
    QuantitySpec{"y_plus_smallest", "Walls", "y+, smallest", "-", 1, Unit, "smallest y+ on the patch"},
    QuantitySpec{"y_plus_largest", "Walls", "y+, largest", "-", 1, Unit, "largest y+ on the patch"},
};

}  // namespace

std::span<const QuantitySpec> wall_entries() {
  return table;
}

}  // namespace cowlwright::post
