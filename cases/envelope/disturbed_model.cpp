// SPDX-License-Identifier: GPL-3.0-or-later
//
// Disturbing one kind of coefficient after the other.
#include "cases/envelope/disturbed_model.h"

#include "geometry/base/error.h"

namespace cowlwright::envelope {

namespace {

using network::Coefficient;
using network::Coefficients;

/// Whether there was a band to move by.
bool shift(Coefficient& coefficient) {
  coefficient.value += coefficient.half_band;
  return coefficient.half_band > 0.0;
}

bool shift_solved_loss(network::InletCoefficients& inlet) {
  for (network::LossPoint& point : inlet.solved_loss) point.loss *= 1.0 + inlet.solved_loss_origin.half_band;
  return !inlet.solved_loss.empty() && inlet.solved_loss_origin.half_band > 0.0;
}

bool shift_resistances(Coefficients& coefficients) {
  bool has_band = false;
  for (network::PassageCoefficients& passage : coefficients.passages) {
    if (passage.kind == base::PassageKind::Core) has_band = shift(passage.resistance) || has_band;
  }
  return has_band;
}

bool shift_kind(Coefficients& coefficients, std::size_t kind) {
  if (kind == 4) return shift(coefficients.exit.discharge);
  if (kind == 5) return shift(coefficients.exit.pressure);
  if (kind == 6) return shift_resistances(coefficients);
  bool has_band = false;
  for (network::InletCoefficients& inlet : coefficients.inlets) {
    const bool here = kind == 0   ? shift(inlet.still_loss)
                      : kind == 1 ? shift(inlet.deck_loss)
                      : kind == 2 ? shift_solved_loss(inlet)
                                  : shift(inlet.propeller_rise);
    has_band = here || has_band;
  }
  return has_band;
}

}  // namespace

DisturbedModel::DisturbedModel(const network::Model& model) : model_(model) {
  for (std::size_t kind = 0; kind < n_kinds; ++kind) {
    Coefficients coefficients = model_.coefficients();
    if (shift_kind(coefficients, kind)) off_[kind] = model_.with(std::move(coefficients));
  }
}

std::vector<network::State> DisturbedModel::solve(const network::Condition& condition,
                                                  network::Route route) const {
  std::vector<network::State> states{model_.solve(condition, route)};
  for (const std::optional<network::Model>& off : off_) {
    if (!off) {
      states.push_back(states.front());
      continue;
    }
    try {
      // Only the difference counts here, so the fast route is good enough.
      states.push_back(off->solve(condition, network::Route::Tabulated));
    } catch (const base::ResultError&) {
      states.push_back(states.front());  // this kind adds nothing to the band here
    }
  }
  return states;
}

}  // namespace cowlwright::envelope
