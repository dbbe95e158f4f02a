// SPDX-License-Identifier: GPL-3.0-or-later
//
// Formulas of the quantities that follow from flows and deck pressures, at any iteration. Definitions in
// words are in the vocabulary; here V and p_inf are the free stream's speed and static pressure.
#include "geometry/base/air.h"
#include "geometry/base/units.h"
#include "post/quantities/measures.h"
#include "post/quantities/passages.h"
#include "post/quantities/places.h"

#include <algorithm>
#include <cmath>
#include <string>

namespace cowlwright::post {

namespace {

using base::PlaneRole;
using base::Side;
using base::ZoneRole;

/// Adds measures to a list; one object a case, so that the formulas read without baggage.
class MeasureList {
 public:
  MeasureList(const base::Manifest& manifest, std::span<const PlaneFlux> fluxes, const FieldMeans& fields)
      : manifest_(manifest), fluxes_(fluxes), fields_(fields) {}

  std::vector<Measure> all() && {
    add_deck_pressures();
    add_inlet_flows();
    for (Measure& measure : passage_measures(manifest_, fields_)) {
      measures_.push_back(std::move(measure));
    }
    add_exit_and_balances();
    return std::move(measures_);
  }

 private:
  void add(std::string_view id, SnapshotValue value) {
    measures_.push_back({empty_quantity(id), std::move(value)});
  }

  void add_deck_pressures() {
    const Places upper = zones_of(manifest_, ZoneRole::UpperDeck);
    const Places lower = zones_of(manifest_, ZoneRole::LowerDeck);
    const auto lower_pressure = gauge_pressure(manifest_, fields_, lower);
    if (!upper.empty()) {
      add("upper_deck_pressure", gauge_pressure(manifest_, fields_, upper));
    }
    if (!lower.empty()) {
      add("lower_deck_pressure", lower_pressure);
    }
    for (const Side side : {Side::Left, Side::Right}) {
      const Places half = zones_of(manifest_, ZoneRole::UpperDeck, side);
      if (half.empty()) {
        continue;
      }
      const auto half_pressure = gauge_pressure(manifest_, fields_, half);
      add("upper_deck_pressure_" + side_name(side), half_pressure);
      if (!lower.empty()) {
        add("deck_pressure_difference_" + side_name(side),
            [=](const Snapshot& s) { return half_pressure(s) - lower_pressure(s); });
      }
    }
    const std::optional<SnapshotValue> difference = deck_difference(manifest_, fields_);
    if (!difference) {
      return;
    }
    add("deck_pressure_difference", *difference);
    add("deck_pressure_difference_inh2o", [difference = *difference](const Snapshot& s) {
      return base::in_unit(difference(s), "inH2O", base::Dimension::Pressure);
    });
    add(is_by_q(manifest_.flight) ? "deck_pressure_difference_of_q" : "deck_pressure_difference_of_loading",
        [difference = *difference, reference = manifest_.flight.reference_pressure](const Snapshot& s) {
          return difference(s) / reference;
        });
  }

  void add_inlet_flows() {
    const Places all = planes_of(manifest_, PlaneRole::Inlet);
    const Places left = planes_of(manifest_, PlaneRole::Inlet, Side::Left);
    const Places right = planes_of(manifest_, PlaneRole::Inlet, Side::Right);
    if (!all.empty()) {
      add("inlet_mass_flow", [=](const Snapshot& s) { return total_flow(s, all); });
    }
    for (const Side side : {Side::Left, Side::Right}) {
      const Places& own = side == Side::Left ? left : right;
      if (own.empty()) {
        continue;
      }
      double capacity = 0.0;  // flow at V with the throat's mean density
      for (const std::size_t plane : own) {
        capacity += fields_.planes[plane].density * fluxes_[plane].area * manifest_.flight.true_airspeed;
      }
      add("inlet_mass_flow_" + side_name(side), [=](const Snapshot& s) { return total_flow(s, own); });
      add("inlet_velocity_ratio_" + side_name(side),
          [=](const Snapshot& s) { return total_flow(s, own) / capacity; });
    }
    if (!left.empty() && !right.empty()) {
      add("inlet_imbalance", [=](const Snapshot& s) {
        const double on_left = total_flow(s, left);
        const double on_right = total_flow(s, right);
        return percent * (on_right - on_left) / (on_right + on_left);
      });
    }
  }

  void add_exit_and_balances() {
    const Places inlets = planes_of(manifest_, PlaneRole::Inlet);
    const Places joining = joining_planes(manifest_);
    const Places exits = planes_of(manifest_, PlaneRole::Exit);
    const auto shortfall = [](const Places& from, const Places& to) {
      return [from, to](const Snapshot& s) {
        const double in = total_flow(s, from);
        return percent * (in - total_flow(s, to)) / in;
      };
    };
    if (!exits.empty()) {
      add("exit_mass_flow", [=](const Snapshot& s) { return total_flow(s, exits); });
    }
    if (!exits.empty() && !inlets.empty()) {
      add("continuity_closure", shortfall(inlets, exits));
    }
    if (!joining.empty() && !inlets.empty()) {
      add("core_closure", shortfall(inlets, joining));
    }
    if (!joining.empty() && !exits.empty()) {
      add("core_exit_closure", shortfall(joining, exits));
    }
  }

  const base::Manifest& manifest_;
  std::span<const PlaneFlux> fluxes_;
  const FieldMeans& fields_;
  std::vector<Measure> measures_;
};

}  // namespace

double total_flow(const Snapshot& snapshot, const Places& planes) {
  double sum = 0.0;
  for (const std::size_t plane : planes) {
    sum += snapshot.flow[plane];
  }
  return sum;
}

SnapshotValue gauge_pressure(const base::Manifest& manifest, const FieldMeans& fields, const Places& zones) {
  return [volumes = fields.zones, zones, p_inf = manifest.flight.pressure](const Snapshot& snapshot) {
    return zone_mean(volumes, zones, [&](std::size_t zone) { return snapshot.pressure[zone]; }) - p_inf;
  };
}

std::optional<SnapshotValue> deck_difference(const base::Manifest& manifest,
                                             const FieldMeans& fields,
                                             std::optional<Side> side) {
  const Places half = zones_of(manifest, ZoneRole::UpperDeck, side);
  const Places upper = half.empty() ? zones_of(manifest, ZoneRole::UpperDeck) : half;
  const Places lower = zones_of(manifest, ZoneRole::LowerDeck);
  if (upper.empty() || lower.empty()) {
    return std::nullopt;
  }
  return [above = gauge_pressure(manifest, fields, upper),
          below = gauge_pressure(manifest, fields, lower)](const Snapshot& s) { return above(s) - below(s); };
}

std::vector<Measure> snapshot_measures(const base::Manifest& manifest,
                                       std::span<const PlaneFlux> fluxes,
                                       const FieldMeans& fields) {
  return MeasureList(manifest, fluxes, fields).all();
}

}  // namespace cowlwright::post
