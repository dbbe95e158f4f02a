// SPDX-License-Identifier: GPL-3.0-or-later
//
// A small invented installation with round numbers: two inlets, four cores, one exit, both deck halves, a
// propeller; and what a reader would have found in its solved case. Nothing comes from files.
#pragma once

#include "geometry/base/manifest.h"
#include "post/quantities/variant_result.h"

#include <functional>
#include <optional>
#include <string>

namespace cowlwright::post::synthetic {

/// V = 50 m/s, rho = 1.2 kg/m³, so q = 1500 Pa; p = 90000 Pa, T = 300 K. Window 100 of 400 iterations,
/// closure tolerance 1 % of mass and 2 % of energy, settled tolerance 1 %. 10 kW in each of four cores.
/// Thrust 1000 N and torque 250 N m predicted at 240 rad/s.
base::Manifest sample_manifest();

/// Fields at iteration 400: inlets 0.40 and 0.50 kg/s, cores 0.22, 0.22, 0.23, 0.23, exit 0.90; throat planes
/// of 0.02 m², exit 0.05 m²; deck halves 0.1 m³ at 91200 Pa (left) and 91300 Pa (right), lower deck 0.2 m³ at
/// 90150 Pa. No monitors.
RawResults sample_results();

/// Adds a plane across x with its monitor.
void add_plane(
    base::Manifest& manifest, const std::string& name, base::PlaneRole role, base::Side side, double area);

/// Adds what passes a plane, at 90000 Pa, 1.25 kg/m³ and the free stream's total temperature.
PlaneMean& add_flow(RawResults& raw, const std::string& plane, double flow, double area);

/// Adds monitors of all planes and decks over iterations 1 to `last`, constant at the fields' values but for
/// what `change` makes of (subject, iteration, value).
using MonitorChange = std::function<double(const std::string&, int, double)>;
void add_monitors(RawResults& raw,
                  const base::Manifest& manifest,
                  int last,
                  const MonitorChange& change = {});

/// The sample, settled, evaluated.
VariantResult sample_variant(const std::string& name, bool is_baseline);

/// Sets a published value of a result, as if the solver had found it.
void set_value(VariantResult& result, const std::string& id, double value, std::optional<double> half_band);

}  // namespace cowlwright::post::synthetic
