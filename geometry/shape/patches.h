// SPDX-License-Identifier: GPL-3.0-or-later
//
// Patch numbers used while parts are put together.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

namespace cowlwright::shape {

enum class Patch : std::uint16_t {
  Spinner,
  Cowl,
  Fuselage,
  InletLeft,
  InletRight,
  RingLeft,
  RingRight,
  UpperDeck,
  Baffle,
  CoreWall,
  OilCoolerWall,
  LeakWall,
  Crankcase,
  CentreWall,
  LowerDeck,
  Firewall,
  ExitWall,
  ExitLip,
  Alternator,
  SidePlate,
  Strut,
  Exhaust
};

/// Names in the order of the numbers.
const std::vector<std::string>& patch_names();

}  // namespace cowlwright::shape
