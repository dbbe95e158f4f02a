// SPDX-License-Identifier: GPL-3.0-or-later
//
// Words that every table carries.
#pragma once

#include <array>
#include <string_view>

namespace cowlwright::post {

inline constexpr std::string_view grid_statement = "single grid: discretisation error unknown";

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
    "Values with a band are means over the window, the band is half of peak-to-peak; values marked * are of "
    "the "
    "last written iteration only.";

}  // namespace cowlwright::post
