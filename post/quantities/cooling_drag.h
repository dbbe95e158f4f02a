// SPDX-License-Identifier: GPL-3.0-or-later
//
// Cooling drag by two routes. From forces: the force of the air along the wind on walls, fins, oil cooler and
// leaks, less that of the closed reference, a case of the same aircraft with inlets and exit filled. From
// momentum: what the cooling air has lost of its momentum when it leaves, from flow, speed and pressure on
// the exit plane. The propeller's own force is in neither: the forces are those on the solid, and the air is
// charged with the momentum it has just ahead of the inlets, where the propeller has already pushed it.
#pragma once

#include "post/quantities/measures.h"
#include "post/quantities/variant_result.h"

#include <span>
#include <vector>

namespace cowlwright::post {

/// Forces along the wind on the solid, for a case that has monitors of them.
std::vector<Measure> force_measures(const base::Manifest& manifest);

/// Cooling drag from the momentum of the cooling air, for a case with inlets and an exit.
///
/// With m the inlet flows, V_ref the speed that the total pressure ahead of an inlet gives at the free
/// stream's pressure, w the wind's direction and n the exit plane's normal:
///   momentum     sum of m V_ref - w . integral over the exit of (rho U (U.n) + (p - p_inf) n) dA
///   free stream  the same with the flight speed V instead of V_ref: less what the propeller gave this air
///   ideal        sum of m V_ref - m u, u the exit air's speed once it has expanded to p_inf without loss
/// Without a propeller V_ref is V. With one, V_ref needs surveys ahead of both inlets.
std::vector<Quantity> momentum_drag(const base::Manifest& manifest,
                                    std::span<const PlaneFlux> fluxes,
                                    const FieldMeans& fields);

/// Gives each open case its cooling drag from forces and takes the closed references out of the list. A
/// reference that is not in the list is read from the folder beside its open case. References without an open
/// case stay.
std::vector<VariantResult> join_references(std::vector<VariantResult> results);

}  // namespace cowlwright::post
