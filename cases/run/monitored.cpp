// SPDX-License-Identifier: GPL-3.0-or-later
//
// Sums of monitors.
#include "cases/run/monitored.h"

#include <algorithm>

namespace cowlwright::run {

MonitoredQuantity deck_pressure_difference(const base::Manifest& manifest) {
  double upper_volume = 0.0;
  double lower_volume = 0.0;
  for (const base::ZoneRecord& zone : manifest.zones) {
    if (zone.role == base::ZoneRole::UpperDeck) upper_volume += zone.volume;
    if (zone.role == base::ZoneRole::LowerDeck) lower_volume += zone.volume;
  }
  MonitoredQuantity difference{.name = "deck pressure difference"};
  if (!(upper_volume > 0.0 && lower_volume > 0.0)) return difference;
  for (const base::ZoneRecord& zone : manifest.zones) {
    if (zone.role == base::ZoneRole::UpperDeck)
      difference.terms.push_back({"mean_pressure", zone.name, zone.volume / upper_volume});
    if (zone.role == base::ZoneRole::LowerDeck)
      difference.terms.push_back({"mean_pressure", zone.name, -zone.volume / lower_volume});
  }
  return difference;
}

MonitoredQuantity total_flow(const base::Manifest& manifest, base::PlaneRole role, const std::string& name) {
  MonitoredQuantity flow{.name = name};
  for (const base::PlaneRecord& plane : manifest.planes) {
    if (plane.role == role) flow.terms.push_back({"mass_flow", plane.name});
  }
  return flow;
}

MonitoredQuantity drag(const base::Manifest& manifest) {
  MonitoredQuantity sum{.name = "drag"};
  for (const base::MonitorRecord& monitor : manifest.monitors) {
    if (base::is_force(monitor)) sum.terms.push_back({monitor.quantity, monitor.subject});
  }
  return sum;
}

const base::MonitorRecord* find_monitor(const base::Manifest& manifest, const MonitorTerm& term) {
  const auto found = std::find_if(
      manifest.monitors.begin(), manifest.monitors.end(), [&](const base::MonitorRecord& monitor) {
        return monitor.quantity == term.quantity && monitor.subject == term.subject;
      });
  return found == manifest.monitors.end() ? nullptr : &*found;
}

}  // namespace cowlwright::run
