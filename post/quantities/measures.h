// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/quantities: the formulas of the vocabulary.
#pragma once

#include "geometry/base/manifest.h"
#include "post/extract/field_means.h"
#include "post/extract/plane_flux.h"
#include "post/quantities/quantity.h"
#include "post/quantities/snapshot.h"

#include <functional>
#include <span>
#include <vector>

namespace cowlwright::post {

/// A quantity that follows from flows and deck pressures alone, in the vocabulary's unit.
struct Measure {
  Quantity quantity;  ///< without its value
  std::function<double(const Snapshot&)> value;
};

/// All such quantities that the case has planes and decks for.
std::vector<Measure> snapshot_measures(const base::Manifest& manifest,
                                       std::span<const PlaneFlux> fluxes,
                                       const FieldMeans& fields);

/// Quantities that only the fields of the last write give.
std::vector<Quantity> field_quantities(const base::Manifest& manifest,
                                       std::span<const PlaneFlux> fluxes,
                                       const FieldMeans& fields);

}  // namespace cowlwright::post
