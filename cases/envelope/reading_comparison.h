// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a study's estimate says of the moments that were measured in flight, beside the measurement.
#pragma once

#include "cases/network/coefficients.h"
#include "cases/readings/reading.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace cowlwright::envelope {

/// One measured value and its estimate. Pressures in Pa, temperatures in K.
struct Compared {
  std::string reading;
  std::string quantity;  ///< "deck pressure difference", "head, at its bottom l1"
  bool is_temperature = false;
  double measured = 0.0;
  double measured_band = 0.0;           ///< twice its scatter
  std::optional<double> low{}, high{};  ///< of the estimate's band; nothing when there is no estimate
  std::optional<double> value{};
  std::string missing{};  ///< why there is no estimate

  /// The bands do not touch.
  bool differs() const;
};

/// Deck pressure differences by the network as these coefficients have it.
std::vector<Compared> compare_decks(const VariantSpec& spec,
                                    const network::Coefficients& coefficients,
                                    std::span<const readings::Reading> readings);

/// Deck pressure differences and temperatures of each reading by the network and the engine's constants that
/// all other readings give: a test that the one reading has not been part of. Nothing with fewer than two
/// readings.
std::vector<Compared> compare_left_out(const VariantSpec& spec,
                                       const network::Coefficients& coefficients,
                                       std::span<const readings::Reading> readings);

/// "measured 4 % more than estimated, within both bands" or, of temperatures, in K.
std::string in_words(const Compared& compared);

/// Sections of Markdown with both, and with what the deck pressures say of the network.
std::string comparison_text(const VariantSpec& spec,
                            const network::Coefficients& coefficients,
                            std::span<const readings::Reading> readings);

}  // namespace cowlwright::envelope
