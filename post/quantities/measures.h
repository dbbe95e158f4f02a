// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/quantities: the formulas of the vocabulary.
#pragma once

#include "geometry/base/manifest.h"
#include "post/extract/field_means.h"
#include "post/extract/plane_flux.h"
#include "post/quantities/places.h"
#include "post/quantities/quantity.h"
#include "post/quantities/snapshot.h"

#include <functional>
#include <optional>
#include <span>
#include <vector>

namespace cowlwright::post {

/// A quantity that follows from flows and deck pressures alone, in the vocabulary's unit.
using SnapshotValue = std::function<double(const Snapshot&)>;
struct Measure {
  Quantity quantity;  ///< without its value
  SnapshotValue value;
};

/// Sum over some planes [kg/s].
double total_flow(const Snapshot& snapshot, const Places& planes);

/// Volume-weighted mean static pressure of some zones, less the free stream's [Pa].
SnapshotValue gauge_pressure(const base::Manifest& manifest, const FieldMeans& fields, const Places& zones);

/// Upper less lower deck [Pa]; nothing when the case lacks one of them. With a side, of that half of the
/// upper deck, or of the whole where the halves are not told apart.
std::optional<SnapshotValue> deck_difference(const base::Manifest& manifest,
                                             const FieldMeans& fields,
                                             std::optional<base::Side> side = std::nullopt);

/// What passes the cores, the oil cooler and the leaks.
std::vector<Measure> passage_measures(const base::Manifest& manifest, const FieldMeans& fields);

/// All such quantities that the case has planes and decks for.
std::vector<Measure> snapshot_measures(const base::Manifest& manifest,
                                       std::span<const PlaneFlux> fluxes,
                                       const FieldMeans& fields);

/// Appends a quantity of the last fields; one of Basis::Fixed does not depend on them.
void add_value(std::vector<Quantity>& quantities,
               std::string_view id,
               double value,
               std::string_view part = {},
               Basis basis = Basis::LastIteration);

/// Heat, temperatures and energy.
std::vector<Quantity> heat_quantities(const base::Manifest& manifest,
                                      std::span<const PlaneFlux> fluxes,
                                      const FieldMeans& fields);

/// Loads of the propeller, and its air ahead of the inlets.
std::vector<Quantity> propeller_quantities(const base::Manifest& manifest, const FieldMeans& fields);

/// All quantities that only the fields of the last write give.
std::vector<Quantity> field_quantities(const base::Manifest& manifest,
                                       std::span<const PlaneFlux> fluxes,
                                       const FieldMeans& fields);

}  // namespace cowlwright::post
