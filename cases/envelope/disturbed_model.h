// SPDX-License-Identifier: GPL-3.0-or-later
//
// A network and the same with its coefficients off by their bands, one kind at a time.
#pragma once

#include "cases/network/model.h"

#include <array>
#include <optional>
#include <vector>

namespace cowlwright::envelope {

/// The kinds of coefficients, those of both inlets together and those of all cylinders together, always in
/// this order: still loss, deck loss, solved loss, propeller's rise, exit's discharge, exit's pressure,
/// cylinders' resistance.
inline constexpr std::size_t n_kinds = 7;

class DisturbedModel {
 public:
  explicit DisturbedModel(const network::Model& model);

  const network::Model& model() const { return model_; }

  /// First as it is, then with each kind off by its band; where that has no solution or no band, as it is.
  /// @throws  what Model::solve() throws for the model as it is.
  std::vector<network::State> solve(const network::Condition& condition, network::Route route) const;

 private:
  network::Model model_;
  std::array<std::optional<network::Model>, n_kinds> off_;
};

}  // namespace cowlwright::envelope
