// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/compare/shapley.h"

#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <numeric>
#include <optional>
#include <random>
#include <unordered_map>

namespace cowlwright::compare {
namespace {

using Groups = std::vector<std::vector<std::size_t>>;
using Row = std::vector<double>;

/// Asks the game once per coalition and keeps the answers, refusals too.
class Worths {
 public:
  Worths(std::size_t n_players, const Game& game) : n_players_(n_players), game_(game) {}

  /// nullptr when the coalition has no worth.
  const Row* of(const Coalition& coalition) {
    const auto known = known_.find(coalition);
    if (known != known_.end()) return known->second ? &*known->second : nullptr;
    std::optional<Row>& kept = known_[coalition];
    try {
      kept = checked(game_(coalition));
    } catch (const base::InputError& error) {
      refusals_.push_back({coalition, error.what()});
    } catch (const base::ResultError& error) {
      refusals_.push_back({coalition, error.what()});
    }
    return kept ? &*kept : nullptr;
  }

  /// Of the players in those groups whose entry is set.
  const Row* of(const Groups& groups, const std::vector<bool>& is_in) {
    Coalition coalition(n_players_, false);
    for (std::size_t g = 0; g < groups.size(); ++g) {
      if (!is_in[g]) continue;
      for (const std::size_t player : groups[g]) coalition[player] = true;
    }
    return of(coalition);
  }

  std::size_t n_evaluated() const { return known_.size(); }
  const std::vector<Refusal>& refusals() const { return refusals_; }

 private:
  Row checked(Row row) {
    if (n_quantities_ == 0) n_quantities_ = row.size();
    const bool is_finite = std::all_of(row.begin(), row.end(), [](double v) { return std::isfinite(v); });
    if (row.size() != n_quantities_ || !is_finite) {
      throw base::ResultError(fmt::format("the estimate gave {} numbers, {}: must be {} finite ones.",
                                          row.size(),
                                          is_finite ? "all finite" : "not all finite",
                                          n_quantities_));
    }
    return row;
  }

  std::size_t n_players_;
  const Game& game_;
  std::size_t n_quantities_ = 0;
  std::unordered_map<Coalition, std::optional<Row>> known_;
  std::vector<Refusal> refusals_;
};

std::vector<bool> members(std::size_t mask, std::size_t n) {
  std::vector<bool> is_in(n, false);
  for (std::size_t g = 0; g < n; ++g) is_in[g] = ((mask >> g) & 1U) != 0;
  return is_in;
}

/// s! (n - 1 - s)! / n!, s others being there already.
std::vector<double> weights(std::size_t n) {
  std::vector<double> weight(n, 0.0);
  for (std::size_t s = 0; s < n; ++s) {
    const auto others = static_cast<double>(s);
    weight[s] = std::exp(std::lgamma(others + 1.0) + std::lgamma(static_cast<double>(n) - others) -
                         std::lgamma(static_cast<double>(n) + 1.0));
  }
  return weight;
}

/// False when a coalition has no worth; all are asked for first, so that the ties see every refusal.
bool is_exact_done(Worths& worths, Attribution& result) {
  const std::size_t n = result.groups.size();
  const std::size_t n_coalitions = std::size_t{1} << n;
  std::vector<const Row*> worth(n_coalitions, nullptr);
  bool is_whole = true;
  for (std::size_t mask = 0; mask < n_coalitions; ++mask) {
    worth[mask] = worths.of(result.groups, members(mask, n));
    is_whole = is_whole && worth[mask] != nullptr;
  }
  if (!is_whole) return false;
  const std::size_t n_quantities = worth.front()->size();
  const std::vector<double> weight = weights(n);
  result.value.assign(n, Row(n_quantities, 0.0));
  for (std::size_t mask = 0; mask < n_coalitions; ++mask) {
    const auto size = static_cast<std::size_t>(std::popcount(mask));
    for (std::size_t g = 0; g < n; ++g) {
      if (((mask >> g) & 1U) != 0) continue;
      const Row& with = *worth[mask | (std::size_t{1} << g)];
      for (std::size_t q = 0; q < n_quantities; ++q) {
        result.value[g][q] += weight[size] * (with[q] - (*worth[mask])[q]);
      }
    }
  }
  result.standard_error.assign(n, Row(n_quantities, 0.0));
  result.is_exact = true;
  result.n_orders = 0;
  return true;
}

/// Shuffled by our own hand: the library's way is not the same everywhere.
std::vector<std::size_t> random_order(std::size_t n, std::mt19937_64& engine) {
  std::vector<std::size_t> order(n);
  std::iota(order.begin(), order.end(), std::size_t{0});
  for (std::size_t i = n; i > 1; --i) {
    const std::uint64_t limit =
        std::numeric_limits<std::uint64_t>::max() - std::numeric_limits<std::uint64_t>::max() % i;
    std::uint64_t draw = engine();
    while (draw >= limit) draw = engine();
    std::swap(order[i - 1], order[draw % i]);
  }
  return order;
}

/// What each group adds as they join in this order; false when a coalition on the way has no worth.
bool add_order(Worths& worths,
               const Groups& groups,
               const std::vector<std::size_t>& order,
               std::vector<Row>& added) {
  std::vector<bool> is_in(groups.size(), false);
  const Row* before = worths.of(groups, is_in);
  bool is_whole = before != nullptr;
  for (const std::size_t g : order) {
    is_in[g] = true;
    const Row* after = worths.of(groups, is_in);
    is_whole = is_whole && after != nullptr;
    if (is_whole) {
      for (std::size_t q = 0; q < after->size(); ++q) added[g][q] += 0.5 * ((*after)[q] - (*before)[q]);
    }
    before = after;
  }
  return is_whole;
}

/// Mean and standard error over pairs of an order and its reverse.
bool is_sampled_done(Worths& worths, const AttributionOptions& options, Attribution& result) {
  const std::size_t n = result.groups.size();
  const std::size_t n_quantities = result.nobody.size();
  std::mt19937_64 engine(options.seed);
  std::vector<Row> sum(n, Row(n_quantities, 0.0));
  std::vector<Row> squares = sum;
  bool is_whole = true;
  for (std::size_t pair = 0; pair < options.n_order_pairs; ++pair) {
    std::vector<std::size_t> order = random_order(n, engine);
    std::vector<Row> added(n, Row(n_quantities, 0.0));
    is_whole = add_order(worths, result.groups, order, added) && is_whole;
    std::reverse(order.begin(), order.end());
    is_whole = add_order(worths, result.groups, order, added) && is_whole;
    for (std::size_t g = 0; g < n; ++g) {
      for (std::size_t q = 0; q < n_quantities; ++q) {
        sum[g][q] += added[g][q];
        squares[g][q] += added[g][q] * added[g][q];
      }
    }
  }
  if (!is_whole) return false;
  const auto n_pairs = static_cast<double>(options.n_order_pairs);
  result.value = sum;
  result.standard_error = sum;
  for (std::size_t g = 0; g < n; ++g) {
    for (std::size_t q = 0; q < n_quantities; ++q) {
      const double mean = sum[g][q] / n_pairs;
      const double variance =
          std::max(0.0, squares[g][q] / n_pairs - mean * mean) * n_pairs / (n_pairs - 1.0);
      result.value[g][q] = mean;
      result.standard_error[g][q] = std::sqrt(variance / n_pairs);
    }
  }
  result.is_exact = false;
  result.n_orders = 2 * options.n_order_pairs;
  return true;
}

/// How many refused coalitions would still be asked for with these two groups tied.
std::size_t n_left(const std::vector<Refusal>& refusals, const Groups& groups, std::size_t a, std::size_t b) {
  return static_cast<std::size_t>(
      std::count_if(refusals.begin(), refusals.end(), [&](const Refusal& refusal) {
        const bool splits_a_group = std::any_of(groups.begin(), groups.end(), [&](const auto& group) {
          return std::any_of(group.begin(), group.end(), [&](std::size_t player) {
            return refusal.coalition[player] != refusal.coalition[group.front()];
          });
        });
        return !splits_a_group &&
               refusal.coalition[groups[a].front()] == refusal.coalition[groups[b].front()];
      }));
}

/// Ties the two groups whose tie leaves the fewest refusals; of equal ones the first.
void tie_best_pair(const std::vector<Refusal>& refusals, Groups& groups) {
  std::size_t best_a = 0, best_b = 1, fewest = std::numeric_limits<std::size_t>::max();
  for (std::size_t a = 0; a < groups.size(); ++a) {
    for (std::size_t b = a + 1; b < groups.size(); ++b) {
      const std::size_t left = n_left(refusals, groups, a, b);
      if (left < fewest) {
        fewest = left;
        best_a = a;
        best_b = b;
      }
    }
  }
  groups[best_a].insert(groups[best_a].end(), groups[best_b].begin(), groups[best_b].end());
  std::sort(groups[best_a].begin(), groups[best_a].end());
  groups.erase(groups.begin() + static_cast<std::ptrdiff_t>(best_b));
}

/// Worth of nobody and everybody, without which there is nothing to share out.
Row end_worth(Worths& worths, std::size_t n_players, bool is_everybody) {
  const Row* worth = worths.of(Coalition(n_players, is_everybody));
  if (worth == nullptr) throw base::ResultError(worths.refusals().back().reason);
  return *worth;
}

}  // namespace

Attribution attribute(std::size_t n_players, const Game& game, const AttributionOptions& options) {
  Worths worths(n_players, game);
  Attribution result;
  result.nobody = end_worth(worths, n_players, false);
  result.everybody = end_worth(worths, n_players, true);
  for (std::size_t player = 0; player < n_players; ++player) result.groups.push_back({player});
  bool is_done = false;
  while (!is_done) {
    is_done = result.groups.size() <= options.most_exact ? is_exact_done(worths, result)
                                                         : is_sampled_done(worths, options, result);
    // One group alone asks for nobody and everybody, which have a worth: the ties come to an end.
    if (!is_done) tie_best_pair(worths.refusals(), result.groups);
  }
  result.n_evaluated = worths.n_evaluated();
  result.refusals = worths.refusals();
  return result;
}

}  // namespace cowlwright::compare
