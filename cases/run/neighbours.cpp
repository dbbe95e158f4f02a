// SPDX-License-Identifier: GPL-3.0-or-later
//
// Distances between variants, and the forest of starts.
#include "cases/run/neighbours.h"

#include "cases/foam/case.h"
#include "geometry/base/error.h"
#include "geometry/base/units.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <tuple>

namespace cowlwright::run {
namespace {

// Cost of a solve from still air is 1. Measured on the draft grid: a third less from a neighbour.
constexpr double neighbour_cost = 0.7;

constexpr double unreachable = std::numeric_limits<double>::infinity();

std::optional<base::SplitQuantity> number_of(const std::string& text) {
  try {
    return base::split_quantity(text);
  } catch (const base::InputError&) {
    return std::nullopt;
  }
}

const std::string* text_of(const base::Variant& variant, const std::string& key) {
  const auto found = std::find_if(variant.settings.begin(),
                                  variant.settings.end(),
                                  [&](const base::Setting& setting) { return setting.key == key; });
  return found == variant.settings.end() ? nullptr : &found->text;
}

/// Largest difference of a key's numbers in one unit over the study; 0 when there is none.
double range_of(const Study& study, const std::string& key, std::string_view unit) {
  double low = std::numeric_limits<double>::infinity();
  double high = -low;
  for (const VariantSpec& spec : study.variants) {
    const std::string* text = text_of(spec.variant, key);
    const auto number = text != nullptr ? number_of(*text) : std::nullopt;
    if (!number || number->unit != unit) continue;
    low = std::min(low, number->number);
    high = std::max(high, number->number);
  }
  return high > low ? high - low : 0.0;
}

/// Between the values of one key, 0 to 1; infinite for words that differ.
double difference(const Study& study, const std::string& key, const std::string& a, const std::string& b) {
  if (a == b) return 0.0;
  const auto first = number_of(a);
  const auto second = number_of(b);
  if (!first || !second) return unreachable;
  if (first->unit != second->unit) return 1.0;
  const double range = range_of(study, key, first->unit);
  return range > 0.0 ? std::abs(first->number - second->number) / range : 0.0;
}

/// One candidate: the nodes in the order they are solved, and which earlier one each starts from.
struct Forest {
  std::vector<std::size_t> order;                ///< nodes
  std::vector<std::optional<std::size_t>> from;  ///< by node
  std::size_t n_cold = 0;                        ///< nodes that start from still air
  double sum = 0.0;                              ///< of the distances of all starts
};

struct Nodes {
  std::vector<std::vector<double>> distance;  ///< (n) of (n)
  std::vector<bool> is_solved;                ///< (n)
  std::vector<bool> starts_still;             ///< (n) by the user's wish
  std::size_t size() const { return distance.size(); }
};

/// Nodes that start from nothing: those that are solved or want still air; when none of them is, the first;
/// and more of them, each the one farthest from all so far, up to `n_cold` unsolved ones.
std::vector<std::size_t> roots(const Nodes& nodes, std::size_t n_cold) {
  std::vector<std::size_t> chosen;
  std::size_t n_unsolved = 0;
  const auto add = [&](std::size_t node) {
    chosen.push_back(node);
    n_unsolved += nodes.is_solved[node] ? 0 : 1;
  };
  for (std::size_t i = 0; i < nodes.size(); ++i)
    if (nodes.is_solved[i]) add(i);
  for (std::size_t i = 0; i < nodes.size(); ++i)
    if (!nodes.is_solved[i] && nodes.starts_still[i]) add(i);
  if (chosen.empty()) add(0);
  while (n_unsolved < n_cold && chosen.size() < nodes.size()) {
    std::size_t farthest = 0;
    double largest = -1.0;
    for (std::size_t i = 0; i < nodes.size(); ++i) {
      double nearest = unreachable;
      for (const std::size_t root : chosen)
        nearest = i == root ? -1.0 : std::min(nearest, nodes.distance[i][root]);
      if (std::find(chosen.begin(), chosen.end(), i) == chosen.end() && nearest > largest) {
        largest = nearest;
        farthest = i;
      }
    }
    add(farthest);
  }
  return chosen;
}

/// Adds the nearest node again and again (a minimal spanning tree but for the longest chain). One that no
/// other reaches starts from nothing.
/// @param longest  starts that may hang on one another.
Forest grow(const Nodes& nodes, const std::vector<std::size_t>& chosen, std::size_t longest) {
  const std::size_t n = nodes.size();
  Forest forest{.order = chosen, .from = std::vector<std::optional<std::size_t>>(n)};
  std::vector<std::size_t> depth(n, 0);
  std::vector<bool> is_in(n, false);
  for (const std::size_t root : chosen) {
    is_in[root] = true;
    forest.n_cold += nodes.is_solved[root] ? 0 : 1;
  }
  std::vector<std::size_t> source(n, chosen.front());
  const auto offer = [&](std::size_t giver) {
    if (depth[giver] >= longest) return;
    for (std::size_t i = 0; i < n; ++i)
      if (nodes.distance[i][giver] < nodes.distance[i][source[i]]) source[i] = giver;
  };
  for (const std::size_t root : chosen) offer(root);
  while (forest.order.size() < n) {
    std::optional<std::size_t> next;
    for (std::size_t i = 0; i < n; ++i) {
      if (is_in[i]) continue;
      if (!next || nodes.distance[i][source[i]] < nodes.distance[*next][source[*next]]) next = i;
    }
    is_in[*next] = true;
    forest.order.push_back(*next);
    if (const double step = nodes.distance[*next][source[*next]]; step < unreachable) {
      depth[*next] = depth[source[*next]] + 1;
      forest.from[*next] = source[*next];
      forest.sum += step;
    } else {
      ++forest.n_cold;
    }
    offer(*next);
  }
  return forest;
}

/// When the last one ends with `at_a_time` side by side, taken in the forest's order [solves from still air].
double end_time(const Forest& forest, const Nodes& nodes, std::size_t at_a_time) {
  std::vector<double> free_at(at_a_time, 0.0);
  std::vector<double> end(nodes.size(), 0.0);
  for (const std::size_t node : forest.order) {
    if (nodes.is_solved[node]) continue;
    const auto slot = std::min_element(free_at.begin(), free_at.end());
    const std::optional<std::size_t> source = forest.from[node];
    end[node] = source ? std::max(*slot, end[*source]) + neighbour_cost : *slot + 1.0;
    *slot = end[node];
  }
  return *std::max_element(end.begin(), end.end());
}

/// 1, 2, 4, ... and `last`.
std::vector<std::size_t> steps_to(std::size_t last) {
  std::vector<std::size_t> steps;
  for (std::size_t step = 1; step < last; step *= 2) steps.push_back(step);
  steps.push_back(last);
  return steps;
}

Forest best_forest(const Nodes& nodes, std::size_t at_a_time) {
  constexpr double same_time = 1e-9;
  Forest best;
  double best_end = std::numeric_limits<double>::infinity();
  std::vector<std::size_t> counts = steps_to(std::min(at_a_time, nodes.size()));
  counts.insert(counts.begin(), 0);  // where solved cases do for roots
  for (const std::size_t n_cold : counts) {
    const std::vector<std::size_t> chosen = roots(nodes, n_cold);
    for (const std::size_t longest : steps_to(nodes.size())) {
      Forest forest = grow(nodes, chosen, longest);
      const double end = end_time(forest, nodes, at_a_time);
      const bool is_as_early = std::abs(end - best_end) < same_time;
      if (is_as_early ? std::tie(forest.n_cold, forest.sum) < std::tie(best.n_cold, best.sum)
                      : end < best_end) {
        best = std::move(forest);
        best_end = end;
      }
    }
  }
  return best;
}

}  // namespace

double distance(const Study& study, std::size_t a, std::size_t b) {
  double sum = 0.0;
  const base::Variant& other = study.variants.at(b).variant;
  for (const base::Setting& setting : study.variants.at(a).variant.settings) {
    const std::string* text = text_of(other, setting.key);
    const double one = text != nullptr ? difference(study, setting.key, setting.text, *text) : unreachable;
    sum += one * one;
  }
  return std::sqrt(sum);
}

std::vector<CaseStart> choose_starts(const Study& study, const StartQuestion& question) {
  const std::vector<std::size_t>& variants = question.variants;
  if (variants.empty()) return {};
  Nodes nodes;
  std::vector<std::vector<foam::CasePlan>> plans;
  for (const std::size_t a : variants) {
    const VariantSpec& spec = study.variants.at(a);
    plans.push_back(foam::case_plans(spec));
    nodes.is_solved.push_back(question.is_solved && question.is_solved(plans.back().front().folder));
    nodes.starts_still.push_back(spec.grid.start == meshing::Start::Still);
    std::vector<double>& row = nodes.distance.emplace_back();
    for (const std::size_t b : variants) row.push_back(distance(study, a, b));
  }
  const Forest forest = best_forest(nodes, static_cast<std::size_t>(std::max(1, question.at_a_time)));
  std::vector<CaseStart> starts;
  for (const std::size_t node : forest.order) {
    for (const foam::CasePlan& plan : plans[node]) {
      CaseStart start{.folder = plan.folder, .from = plan.start_from};
      if (nodes.starts_still[node]) start.from.clear();
      if (plan.start_from.empty() && forest.from[node]) {  // the coarsest grid, open or closed
        for (const foam::CasePlan& other : plans[*forest.from[node]]) {
          if (other.is_reference == plan.is_reference && other.start_from.empty()) start.from = other.folder;
        }
      }
      starts.push_back(std::move(start));
    }
  }
  return starts;
}

}  // namespace cowlwright::run
