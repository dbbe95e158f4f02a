// SPDX-License-Identifier: GPL-3.0-or-later
//
// Who of several players brings how much of what all of them bring together: Shapley values. Here a player is
// a detail in which one installation differs from another, and the worth of a coalition is what the quick
// estimate gives when just these details are changed.
//
// Source: L. S. Shapley, "A Value for n-Person Games", 1953 (from memory): the mean over all orders of what a
// player adds when he joins those before him. The only rule that is efficient (adds up to the total),
// symmetric, gives nothing to who never adds anything, and is linear.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <string>
#include <vector>

namespace cowlwright::compare {

/// Entry i says whether player i is in.
using Coalition = std::vector<bool>;

/// Worth of a coalition in each of several quantities, equally many for every coalition.
/// @throws base::InputError, base::ResultError  when the coalition has none; the message says why.
using Game = std::function<std::vector<double>(const Coalition&)>;

/// A coalition without worth, and why.
struct Refusal {
  Coalition coalition;
  std::string reason;
};

struct Attribution {
  /// Players that are only counted together, most often one each; in rising order of their first member.
  std::vector<std::vector<std::size_t>> groups;
  std::vector<std::vector<double>> value;           ///< (n_groups)(n_quantities)
  std::vector<std::vector<double>> standard_error;  ///< the same shape; 0 when exact
  std::vector<double> nobody;                       ///< (n_quantities) worth of the empty coalition
  std::vector<double> everybody;                    ///< (n_quantities)
  bool is_exact = true;
  std::size_t n_evaluated = 0;    ///< different coalitions asked for
  std::size_t n_orders = 0;       ///< sampled ones; 0 when exact
  std::vector<Refusal> refusals;  ///< met on the way, in order of arrival
};

struct AttributionOptions {
  std::size_t most_exact = 12;      ///< players up to which every coalition is asked for
  std::size_t n_order_pairs = 100;  ///< above: orders sampled, each with its reverse; at least 2
  std::uint64_t seed = 1953;        ///< of the orders
};

/// Shapley values of all players. With more than `most_exact` groups over sampled orders and their reverses,
/// with the standard error over these pairs; both ways the values add up to everybody - nobody but for
/// rounding, in any order of the players (when sampled, within the standard errors).
///
/// A coalition without worth is met by tying two players together, those whose tie avoids most such
/// coalitions, until none is left. The tied ones are one group and share one value.
///
/// @param n_players  >= 0.
/// @throws base::ResultError  when nobody or everybody has no worth, or a worth is not finite or has another
///                            number of quantities.
Attribution attribute(std::size_t n_players, const Game& game, const AttributionOptions& options = {});

}  // namespace cowlwright::compare
