// SPDX-License-Identifier: GPL-3.0-or-later
//
// Faults as rows for people and for JSON: how many, how large, where the first ones are, what repair does
// about them.
#pragma once

#include "geometry/imported/faults.h"

#include <string>
#include <vector>

namespace cowlwright::imported {

struct FaultPlace {
  base::Vec3 at{};     ///< [m]
  std::string detail;  ///< "180.2 mm round, 60.1 mm across"; empty: nothing beyond the place
};

struct FaultRow {
  std::string key;   ///< "open_edges", as in the VTP file and in JSON
  std::string name;  ///< "open edges (holes, rims)"
  std::size_t count = 0;
  bool is_at_least = false;          ///< the search ended at a limit
  std::string rule;                  ///< what counts as one, with its limit
  std::string remedy;                ///< what `cowlwright repair` does about it
  std::vector<FaultPlace> places{};  ///< the first ones
};

/// One row per kind, in the order in which they are best mended; rows of count 0 are there too.
///
/// @param most_places  per row.
std::vector<FaultRow> fault_table(const shape::Surface& surface,
                                  const Faults& faults,
                                  const FaultLimits& limits,
                                  std::size_t most_places);

}  // namespace cowlwright::imported
