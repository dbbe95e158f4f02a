// SPDX-License-Identifier: GPL-3.0-or-later
//
// The state of the cooling air at one iteration: flow through every plane and pressure in every deck. It is
// built once from the fields of the last write and once for each line of the monitors, and every quantity
// that both give is computed from it by the same function.
#pragma once

#include "geometry/base/manifest.h"
#include "geometry/base/monitor_history.h"
#include "post/extract/field_means.h"
#include "post/extract/plane_flux.h"

#include <span>
#include <string>
#include <vector>

namespace cowlwright::post {

struct Snapshot {
  std::vector<double> flow;  ///< (n_planes of the manifest) along the planes' normals [kg/s]; NaN: unknown
  std::vector<double> pressure;  ///< (n_zones of the manifest) absolute static [Pa]; NaN: unknown
  std::vector<double>
      force{};  ///< (n of force_monitors) on the solid along the wind [N]; the fields have none
};

/// A monitor with what it has written.
struct MonitorHistory {
  base::MonitorRecord record;
  base::History history;
};

/// The manifest's monitors of forces, in its order.
std::vector<base::MonitorRecord> force_monitors(const base::Manifest& manifest);

Snapshot field_snapshot(std::span<const PlaneFlux> fluxes, std::span<const ZoneMean> zones);

/// The monitors side by side, at the iterations that all of them have.
struct MonitorTable {
  std::vector<double> iteration;    ///< rising
  std::vector<Snapshot> snapshots;  ///< one per iteration, flows turned along the planes' normals
  std::vector<std::string>
      missing;  ///< planes and decks without a monitor, with an empty or a broken-off one
  std::vector<std::string> broken_off;  ///< monitors that end before the others, in words
};

MonitorTable monitor_table(const base::Manifest& manifest,
                           std::span<const MonitorHistory> monitors,
                           std::span<const PlaneFlux> fluxes,
                           double field_iteration);

/// How one flow monitor compares with our own reading at the same iteration.
struct MonitorAgreement {
  std::string plane;
  double difference = 0.0;  ///< | |monitor| - |own sum in the zone's orientation| | / |own|, or over 0.001 of
                            ///< what passes to and fro when that is more
  double tolerance = 0.0;   ///< 1e-6, or half a unit in the last printed digit if that is more
};

/// One entry per flow monitor that has a value at the fields' iteration.
std::vector<MonitorAgreement> monitor_agreement(const base::Manifest& manifest,
                                                std::span<const MonitorHistory> monitors,
                                                std::span<const PlaneFlux> fluxes,
                                                double field_iteration);

}  // namespace cowlwright::post
