// SPDX-License-Identifier: GPL-3.0-or-later
//
// Which open edge of a user's skin is which opening. Internal to the own cowl's unit.
#pragma once

#include "geometry/shape/own_cowl.h"

#include <cstdint>
#include <string>
#include <vector>

namespace cowlwright::shape {

using Loop = std::vector<std::uint32_t>;

struct NamedLoops {
  Loop inlet_left;
  Loop inlet_right;
  Loop rear;
  std::vector<Loop> shaft;  ///< round the shaft line, not named: for the spinner
};

/// Cuts off what an opening with a cut station wants cut off. Points and triangles are added and dropped.
void cut_behind(Surface& surface, const NamedOpening& opening, const std::string& name);

/// @throws InputError  as said at fit_own_cowl().
NamedLoops name_loops(const Surface& surface, const OwnSkin& skin);

/// "FS 300.0 BL -280.0 WL 20.0 mm".
std::string shown_place(const base::Vec3& p);

}  // namespace cowlwright::shape
