// SPDX-License-Identifier: GPL-3.0-or-later
//
// The sample of sample_results.h with everything that air can pass: two cylinders split into head and barrel,
// an oil cooler, three leaks between the decks and one through the centre wall.
#pragma once

#include "tests/unit/post/sample_results.h"

namespace cowlwright::post::synthetic {

/// Heat: l1 5000 W in the head, 2000 W in the barrel; r1 7000 and 2000 W; oil cooler 2400 W. l1 has an outlet
/// each for head and barrel, r1 one for both. Effective areas: cowl seal left 6 cm², rear baffle right 4 cm²,
/// crankcase nose 9 cm², centre wall 5 cm² (to the right). Core law 50 rho v².
base::Manifest bay_manifest();

/// Inlets 0.24 and 0.36 kg/s; l1 0.15 + 0.05, r1 0.16 + 0.06; cooler 0.08; leaks 0.03, 0.02, 0.05, centre
/// wall -0.008; exit 0.60. Density 1.25 kg/m³ on all planes, v = 4 m/s in all cores. Above the free stream's
/// total temperature: l1 40 K (head) and 20 K (barrel), r1 40 K, cooler 30 K, exit 18.2 kg K/s. Pressures as
/// in the sample: +1200 Pa (left), +1300 Pa (right), +150 Pa below. No monitors.
RawResults bay_results();

/// Position of a plane in bay_manifest().
std::size_t bay_plane(const std::string& name);

}  // namespace cowlwright::post::synthetic
