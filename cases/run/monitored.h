// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a running case is watched and stopped by, as sums of what its monitors write.
#pragma once

#include "geometry/base/manifest.h"

#include <string>
#include <vector>

namespace cowlwright::run {

/// One monitor's part in a quantity.
struct MonitorTerm {
  std::string quantity;  ///< of the monitor
  std::string subject;
  double weight = 1.0;
};

/// A weighted sum of monitors; without terms when the case has no zone or plane for it.
struct MonitoredQuantity {
  std::string name;
  std::vector<MonitorTerm> terms{};
};

/// Volume-weighted mean of the upper decks less that of the lower decks [Pa].
MonitoredQuantity deck_pressure_difference(const base::Manifest& manifest);

/// Sum over all planes of a role [kg/s].
MonitoredQuantity total_flow(const base::Manifest& manifest, base::PlaneRole role, const std::string& name);

/// Pressure, friction and resistance inside, along the wind [N]; without terms when the case has no monitors
/// of them.
MonitoredQuantity drag(const base::Manifest& manifest);

/// Null when the case has no such monitor.
const base::MonitorRecord* find_monitor(const base::Manifest& manifest, const MonitorTerm& term);

}  // namespace cowlwright::run
