// SPDX-License-Identifier: GPL-3.0-or-later
//
// A comparison in sentences and numbers with their units.
#pragma once

#include "cases/compare/comparison.h"

#include <string>
#include <vector>

namespace cowlwright::compare {

/// "1240 Pa (4.98 inH2O)".
std::string value_text(const Quantity& quantity, double value);
/// "-130 Pa (-0.522 inH2O)".
std::string change_text(const Quantity& quantity, double change);
/// "40 Pa", without a sign; "unknown" for NaN.
std::string width_text(const Quantity& quantity, double width);

/// What the effect is of all effects that go the same way, 0 to 1; 0 where it is nothing.
double share_of_its_kind(const Comparison& comparison, const Effect& effect, std::size_t quantity);

/// "Left inlet, edge: a bare hole instead of a flush ring with 20 mm (0.787 in) lip radius: 41 % of the loss
/// in deck pressure difference, -130 Pa (-0.522 inH2O) ± 40 Pa."
std::string effect_sentence(const Comparison& comparison, const Effect& effect, std::size_t quantity);

/// Whether both fly in the same condition at the same power, and what of the change is the installation's.
std::string condition_sentence(const Comparison& comparison);

/// How the change was shared out, with its source, and which mixtures could not be had.
std::vector<std::string> method_sentences(const Comparison& comparison);

}  // namespace cowlwright::compare
