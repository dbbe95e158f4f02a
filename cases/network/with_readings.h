// SPDX-License-Identifier: GPL-3.0-or-later
//
// Deck pressures measured in flight, held against the network and used to correct it.
#pragma once

#include "cases/network/coefficients.h"
#include "cases/network/model.h"
#include "cases/readings/reading.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace cowlwright::network {

/// The condition that a reading was taken in.
Condition condition_of(const readings::Reading& reading);

/// What one reading's deck pressures say of the network.
struct DeckFit {
  std::string reading;
  bool has_both_taps = false;
  double loss_factor = 1.0;            ///< on the loss of both inlets
  std::optional<double> exit_shift{};  ///< added to the exit's pressure coefficient; needs both taps
  std::string failure{};               ///< why there is no factor; empty when there is one
};

/// What all readings together say.
struct DeckCorrection {
  bool is_any = false;
  double loss_factor = 1.0;            ///< on the loss of both inlets
  double loss_band = 0.0;              ///< relative
  std::optional<double> exit_shift{};  ///< of the exit's pressure coefficient
  double exit_band = 0.0;
  std::string origin{};              ///< which readings
  std::vector<std::string> notes{};  ///< what was corrected, and which readings could not be used
};

/// What corrects the inlets' losses so that the network gives the measured deck pressure differences; with
/// upper and lower deck pressure each measured against static pressure, also the exit's pressure coefficient.
/// Means over the readings.
///
/// What cannot be told: from the difference alone, a loss at the inlets from a pressure at the exit: all of
/// it is put on the inlets. From pressures alone, the law of the cores: it stays as stated. The flow of air
/// follows the core law, so its error stays too.
///
/// The band is the largest deviation among the readings, at least 15 % of the loss and 0.03 of the exit's
/// coefficient: one tap is no mean over a deck (chosen, no source). Without a usable reading nothing is
/// corrected, and a note says why.
///
/// @param model  of the installation that the readings were taken in.
DeckCorrection deck_correction(const Model& model, std::span<const readings::Reading> readings);

/// The same from what fit_decks() found.
DeckCorrection combined(const std::vector<DeckFit>& fits);

/// Of the same or of another variant of that installation; the notes are appended.
Coefficients with_correction(Coefficients coefficients, const DeckCorrection& correction);

/// Both for the installation that the readings were taken in, with a note for each reading on what is left.
Coefficients with_readings(Coefficients coefficients,
                           const VariantSpec& spec,
                           std::span<const readings::Reading> readings);

/// The same, reading by reading; readings without deck pressures are left out.
std::vector<DeckFit> fit_decks(const Model& model, std::span<const readings::Reading> readings);

}  // namespace cowlwright::network
