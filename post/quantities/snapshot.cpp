// SPDX-License-Identifier: GPL-3.0-or-later
//
// Brings fields and monitors into one form.
#include "post/quantities/snapshot.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>
#include <optional>

namespace cowlwright::post {

namespace {

constexpr double unknown = std::numeric_limits<double>::quiet_NaN();
constexpr double six_digits = 1e-6;
constexpr double cancelling_share =
    1e-3;  // a net flow below this share of what passes is a difference of sums

/// Position of a named record, or nothing.
template <typename Records>
std::optional<std::size_t> position(const Records& records, const std::string& name) {
  for (std::size_t i = 0; i < records.size(); ++i) {
    if (records[i].name == name) {
      return i;
    }
  }
  return std::nullopt;
}

bool is_deck(const base::ZoneRecord& zone) {
  return zone.role == base::ZoneRole::UpperDeck || zone.role == base::ZoneRole::LowerDeck;
}

/// Value at the iteration nearest to `iteration`, of a history that is not empty.
double nearest_value(const base::History& history, double iteration) {
  std::size_t best = 0;
  for (std::size_t i = 0; i < history.time.size(); ++i) {
    if (std::abs(history.time[i] - iteration) <= std::abs(history.time[best] - iteration)) {
      best = i;
    }
  }
  return history.value[best];
}

std::optional<double> value_at(const base::History& history, double iteration) {
  const auto found = std::find(history.time.begin(), history.time.end(), iteration);
  return found == history.time.end()
             ? std::nullopt
             : std::optional(history.value[static_cast<std::size_t>(found - history.time.begin())]);
}

/// +1 or -1: turns the monitor, which follows the zone's orientation, along the plane's normal.
double monitor_sign(const base::History& history, const PlaneFlux& flux, double iteration) {
  const double monitor = nearest_value(history, iteration);
  return std::abs(monitor - flux.mass_flow) <= std::abs(monitor + flux.mass_flow) ? 1.0 : -1.0;
}

/// Last iteration of the monitor that has come furthest.
double newest_iteration(std::span<const MonitorHistory> monitors) {
  double newest = 0.0;
  for (const MonitorHistory& monitor : monitors) {
    if (!monitor.history.is_empty()) {
      newest = std::max(newest, monitor.history.time.back());
    }
  }
  return newest;
}

/// A monitor's place in a snapshot.
struct Column {
  const base::History* history = nullptr;
  std::vector<double> Snapshot::*list = nullptr;
  std::size_t place = 0;
  double sign = 1.0;
};

std::vector<Column> find_columns(const base::Manifest& manifest,
                                 std::span<const MonitorHistory> monitors,
                                 std::span<const PlaneFlux> fluxes,
                                 double field_iteration) {
  std::vector<Column> columns;
  const double newest = newest_iteration(monitors);
  std::size_t n_forces = 0;
  for (const MonitorHistory& monitor : monitors) {
    const std::size_t force = is_force(monitor.record) ? n_forces++ : 0;
    if (base::ends_early(monitor.history, newest)) {
      continue;
    }
    const base::History& history = monitor.history;
    if (monitor.record.quantity == "mass_flow") {
      if (const auto plane = position(manifest.planes, monitor.record.subject)) {
        columns.push_back(
            {&history, &Snapshot::flow, *plane, monitor_sign(history, fluxes[*plane], field_iteration)});
      }
    } else if (is_force(monitor.record)) {
      columns.push_back({&history, &Snapshot::force, force, 1.0});
    } else if (monitor.record.quantity == "mean_pressure") {
      if (const auto zone = position(manifest.zones, monitor.record.subject)) {
        columns.push_back({&history, &Snapshot::pressure, *zone, 1.0});
      }
    }
  }
  return columns;
}

std::vector<std::string> missing_subjects(const base::Manifest& manifest,
                                          const std::vector<Column>& columns) {
  const auto has = [&columns](std::vector<double> Snapshot::*list, std::size_t place) {
    return std::any_of(columns.begin(), columns.end(), [&](const Column& column) {
      return column.list == list && column.place == place;
    });
  };
  std::vector<std::string> missing;
  for (std::size_t i = 0; i < manifest.planes.size(); ++i) {
    if (!has(&Snapshot::flow, i)) {
      missing.push_back(manifest.planes[i].name);
    }
  }
  for (std::size_t i = 0; i < manifest.zones.size(); ++i) {
    if (is_deck(manifest.zones[i]) && !has(&Snapshot::pressure, i)) {
      missing.push_back(manifest.zones[i].name);
    }
  }
  return missing;
}

std::vector<std::string> broken_off_monitors(std::span<const MonitorHistory> monitors, double newest) {
  std::vector<std::string> broken_off;
  for (const MonitorHistory& monitor : monitors) {
    if (!monitor.history.is_empty() && base::ends_early(monitor.history, newest)) {
      broken_off.push_back(fmt::format("monitor {} ends at iteration {}, others at {}",
                                       monitor.record.function_object,
                                       monitor.history.time.back(),
                                       newest));
    }
  }
  return broken_off;
}

}  // namespace

std::vector<base::MonitorRecord> force_monitors(const base::Manifest& manifest) {
  std::vector<base::MonitorRecord> forces;
  std::copy_if(
      manifest.monitors.begin(), manifest.monitors.end(), std::back_inserter(forces), base::is_force);
  return forces;
}

Snapshot field_snapshot(std::span<const PlaneFlux> fluxes, std::span<const ZoneMean> zones) {
  Snapshot snapshot;
  for (const PlaneFlux& flux : fluxes) {
    snapshot.flow.push_back(flux.mass_flow);
  }
  for (const ZoneMean& zone : zones) {
    snapshot.pressure.push_back(zone.static_pressure);
  }
  return snapshot;
}

MonitorTable monitor_table(const base::Manifest& manifest,
                           std::span<const MonitorHistory> monitors,
                           std::span<const PlaneFlux> fluxes,
                           double field_iteration) {
  const std::vector<Column> columns = find_columns(manifest, monitors, fluxes, field_iteration);
  MonitorTable table;
  table.missing = missing_subjects(manifest, columns);
  table.broken_off = broken_off_monitors(monitors, newest_iteration(monitors));
  std::vector<const base::History*> histories;
  for (const Column& column : columns) {
    histories.push_back(column.history);
  }
  base::AlignedHistories aligned = base::align(histories);
  table.iteration = std::move(aligned.iteration);
  const Snapshot blank{std::vector<double>(manifest.planes.size(), unknown),
                       std::vector<double>(manifest.zones.size(), unknown),
                       std::vector<double>(force_monitors(manifest).size(), unknown)};
  table.snapshots.assign(table.iteration.size(), blank);
  for (std::size_t c = 0; c < columns.size(); ++c) {
    const Column& column = columns[c];
    for (std::size_t i = 0; i < table.iteration.size(); ++i) {
      Snapshot& snapshot = table.snapshots[i];
      (snapshot.*column.list)[column.place] = column.sign * aligned.values[c][i];
    }
  }
  return table;
}

std::vector<MonitorAgreement> monitor_agreement(const base::Manifest& manifest,
                                                std::span<const MonitorHistory> monitors,
                                                std::span<const PlaneFlux> fluxes,
                                                double field_iteration) {
  std::vector<MonitorAgreement> agreement;
  for (const MonitorHistory& monitor : monitors) {
    const auto plane = position(manifest.planes, monitor.record.subject);
    const std::optional<double> value = value_at(monitor.history, field_iteration);
    if (monitor.record.quantity != "mass_flow" || !plane || !value) {
      continue;
    }
    const PlaneFlux& flux = fluxes[*plane];
    const double own = std::abs(flux.flip_map_flow);
    const double scale = std::max(own, cancelling_share * flux.absolute_flow);
    const double deviation = std::abs(std::abs(*value) - own);
    const double printed = 0.5 * std::pow(10.0, 1 - monitor.history.digits);
    agreement.push_back({.plane = monitor.record.subject,
                         .difference = deviation == 0.0 ? 0.0 : deviation / scale,
                         .tolerance = std::max(six_digits, printed)});
  }
  return agreement;
}

}  // namespace cowlwright::post
