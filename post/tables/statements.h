// SPDX-License-Identifier: GPL-3.0-or-later
//
// Words that every table carries.
#pragma once

#include "post/trust/grid_verdict.h"

#include <array>
#include <string_view>

namespace cowlwright::post {

inline constexpr std::array<std::string_view, 3> cautions{
    "These numbers are an estimate, not an approval of anything that flies or runs.",
    "Instrument the real installation (cylinder head and oil temperatures, deck pressures) and flight-test "
    "it "
    "before trusting any of them; temperatures and margins above all.",
    "The engine maker's limits, local codes and licensed people decide."};

inline constexpr std::string_view status_rule =
    "Status: 'settled' when over the window (the last iterations stated) half of the peak-to-peak band of "
    "the deck "
    "pressure difference, both inlet flows and the exit flow is within the stated share of the mean, and the "
    "means "
    "of the window's halves differ by less than half of that share; 'oscillating' when a band is wider, but "
    "the "
    "means of the halves differ by less than half of the half band; 'not settled' otherwise; 'failed' "
    "without "
    "usable results.";

inline constexpr std::string_view band_statement =
    "Values with a band are means over the window, the band is half of peak-to-peak there; values marked * "
    "are "
    "of the last written iteration only.";

inline constexpr std::string_view estimate_status_rule =
    "Status: 'estimate': a lumped network of inlets, decks, passages and exit, balanced in mass and energy; "
    "no flow "
    "was solved. It never settles and is never more than its coefficients.";

inline constexpr std::string_view estimate_band_statement =
    "The band of a value is what the half bands of the coefficients make of it, moved one at a time, root of "
    "the "
    "sum of squares; that of a difference likewise: an error of a coefficient that both variants share moves "
    "both, and of "
    "two values from one source half of the variance is shared (chosen). Many half bands are chosen and have "
    "no source: the table of coefficients says which.";

inline constexpr std::string_view not_in_estimate_bands =
    "No band contains what a lumped network leaves out: how the jets of the inlets meet the cylinders, "
    "pressure that "
    "differs from place to place in a deck, the flow round the nose and behind the exit.";

inline constexpr std::string_view no_grid = "no grid: lumped network";

inline constexpr std::string_view grid_rule =
    "Where a variant was solved on three grids, the band is the iterations' half band plus the "
    "discretisation "
    "band: Celik's grid convergence index (2008, factor 1.25) for an order of 1 to 2, a wider one otherwise. "
    "i: band of the iterations only; g: of the grids only; ~: flagged for its behaviour over the grids "
    "(oscillatory, order below 1, diverging). The band of a difference is both iterations' half bands plus "
    "the "
    "index of the difference itself on the three grids, where errors common to both variants cancel.";

inline constexpr std::string_view not_in_bands =
    "No band contains the errors of the turbulence model, the propeller model, the core law and the "
    "idealised "
    "shape.";

}  // namespace cowlwright::post
