// SPDX-License-Identifier: GPL-3.0-or-later
//
// Games for tests: worths drawn at random, kept by coalition.
#pragma once

#include "cases/compare/shapley.h"

#include <random>
#include <vector>

namespace cowlwright::compare::testing_games {

inline std::size_t mask_of(const Coalition& coalition) {
  std::size_t mask = 0;
  for (std::size_t i = 0; i < coalition.size(); ++i) mask |= (coalition[i] ? std::size_t{1} : 0U) << i;
  return mask;
}

/// A worth in [-1, 1] for every coalition.
inline std::vector<double> random_worths(std::size_t n_players, unsigned seed) {
  std::mt19937 engine(seed);
  std::vector<double> worths(std::size_t{1} << n_players);
  for (double& worth : worths) worth = -1.0 + 2.0 * (static_cast<double>(engine()) / 4294967295.0);
  return worths;
}

inline Game game_of(std::vector<double> worths) {
  return [worths = std::move(worths)](const Coalition& c) { return std::vector{worths[mask_of(c)]}; };
}

}  // namespace cowlwright::compare::testing_games
