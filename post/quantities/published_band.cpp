// SPDX-License-Identifier: GPL-3.0-or-later
//
// The band that is published with a value.
#include "post/quantities/quantity.h"

namespace cowlwright::post {

std::optional<double> published_band(const Quantity& quantity) {
  const std::optional<double> grids = quantity.grids ? quantity.grids->band() : std::nullopt;
  return quantity.half_band || grids ? std::optional(quantity.half_band.value_or(0.0) + grids.value_or(0.0))
                                     : std::nullopt;
}

BandContents band_contents(bool has_iterations, bool has_grids) {
  return has_iterations && has_grids ? BandContents::IterationsAndGrids
         : has_iterations            ? BandContents::Iterations
         : has_grids                 ? BandContents::Grids
                                     : BandContents::Nothing;
}

BandContents band_contents(const Quantity& quantity) {
  if (quantity.basis == Basis::Estimate) {
    return quantity.half_band ? BandContents::Coefficients : BandContents::Nothing;
  }
  return band_contents(quantity.half_band.has_value(), quantity.grids && quantity.grids->band().has_value());
}

std::string_view contents_name(BandContents contents) {
  switch (contents) {
    case BandContents::Nothing:
      return "nothing";
    case BandContents::Iterations:
      return "iterations";
    case BandContents::Grids:
      return "grids";
    case BandContents::IterationsAndGrids:
      return "iterations + grids";
    case BandContents::Coefficients:
      return "coefficients";
  }
  return "nothing";
}

}  // namespace cowlwright::post
