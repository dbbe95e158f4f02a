// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/compare/comparison.h"

#include "cases/compare/bands.h"
#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <random>

namespace cowlwright::compare {
namespace {

constexpr std::size_t n_probes = 4;  // random mixtures in which a detail without effect is tried again

void require_same_engine(const VariantSpec& good, const VariantSpec& mine) {
  const int n_good = good.shape.engine.n_cylinders;
  const int n_mine = mine.shape.engine.n_cylinders;
  if (n_good == n_mine) return;
  throw base::InputError(
      fmt::format("[engine] cylinders = {} in the good study and {} in yours: must be the same, because no "
                  "detail makes one engine into the other. Compare with an installation of the same engine.",
                  n_good,
                  n_mine));
}

/// Mixtures of the two, each with the whole list of details.
class Mixtures {
 public:
  Mixtures(const VariantSpec& good,
           const VariantSpec& mine,
           const Estimator& estimator,
           const std::vector<Detail>& details)
      : good_(good), mine_(mine), estimator_(estimator), details_(details) {}

  VariantSpec spec(const std::vector<bool>& is_mine) const { return hybrid(good_, mine_, details_, is_mine); }
  std::vector<double> values(const std::vector<bool>& is_mine) const {
    return estimator_.values(spec(is_mine), {});
  }

  /// The same, nothing when the mixture has no estimate.
  std::vector<double> values_if_any(const std::vector<bool>& is_mine) const {
    try {
      return values(is_mine);
    } catch (const base::InputError&) {
      return {};
    } catch (const base::ResultError&) {
      return {};
    }
  }

 private:
  const VariantSpec& good_;
  const VariantSpec& mine_;
  const Estimator& estimator_;
  const std::vector<Detail>& details_;
};

bool is_same_row(const std::vector<double>& a, const std::vector<double>& b) {
  return std::ranges::equal(a, b, [](double x, double y) {
    return std::abs(x - y) <= 1e-12 * std::max({std::abs(x), std::abs(y), 1e-3});
  });
}

/// Whether carrying detail i over changes anything: alone, last, and in a few mixtures of the others.
bool is_felt(const Mixtures& mixtures, const std::vector<Detail>& details, std::size_t i) {
  if (details[i].topic == Topic::Solver) return false;
  std::mt19937_64 engine(i + 1);
  for (std::size_t probe = 0; probe < n_probes + 2; ++probe) {
    std::vector<bool> is_mine(details.size());
    for (std::size_t k = 0; k < details.size(); ++k) {
      is_mine[k] = probe == 0 ? false : probe == 1 ? true : (engine() >> 63) != 0;
    }
    is_mine[i] = false;
    const std::vector<double> without = mixtures.values_if_any(is_mine);
    is_mine[i] = true;
    if (!is_same_row(without, mixtures.values_if_any(is_mine))) return true;
  }
  return false;
}

/// The players' coalition as a choice over all details; those that are not felt stay as they are in good.
std::vector<bool> choice_of(const Comparison& comparison, const Coalition& coalition) {
  std::vector<bool> is_mine(comparison.details.size(), false);
  for (std::size_t p = 0; p < coalition.size(); ++p) is_mine[comparison.felt[p]] = coalition[p];
  return is_mine;
}

/// Counts mixtures that neither of the two is and that could not be built.
void note_contradiction(const VariantSpec& spec, std::size_t n_own, Comparison& comparison) {
  const std::vector<shape::ShapeConflict> conflicts = shape::shape_conflicts(spec.shape);
  if (conflicts.size() <= n_own) return;
  if (comparison.n_contradictory++ == 0) comparison.first_contradiction = conflicts.front().message;
}

std::string joined(const Comparison& comparison,
                   const std::vector<std::size_t>& members,
                   const std::function<std::string(const Detail&)>& text) {
  std::string all;
  for (const std::size_t i : members) all += (all.empty() ? "" : "; ") + text(comparison.details[i]);
  return all;
}

Effect make_effect(const Comparison& comparison,
                   std::size_t g,
                   const VariantSpec& good,
                   const VariantSpec& mine) {
  Effect effect;
  for (const std::size_t player : comparison.attribution.groups[g]) {
    effect.members.push_back(comparison.felt[player]);
  }
  effect.label = joined(comparison, effect.members, [](const Detail& d) { return d.label; });
  effect.good =
      joined(comparison, effect.members, [&](const Detail& d) { return wordings(d, good, mine).good; });
  effect.mine =
      joined(comparison, effect.members, [&](const Detail& d) { return wordings(d, good, mine).mine; });
  // A detail of the installation that is tied to one of the flight counts with the installation.
  effect.topic = comparison.details[effect.members.front()].topic;
  for (const std::size_t i : effect.members) {
    if (comparison.details[i].topic == Topic::Installation) effect.topic = Topic::Installation;
  }
  effect.value = comparison.attribution.value[g];
  effect.standard_error = comparison.attribution.standard_error[g];
  return effect;
}

void find_felt(const Mixtures& mixtures, Comparison& comparison) {
  const std::size_t n = comparison.details.size();
  for (std::size_t i = 0; i < n; ++i) {
    (is_felt(mixtures, comparison.details, i) ? comparison.felt : comparison.not_in_model).push_back(i);
  }
  const std::vector<bool> felt_only = choice_of(comparison, Coalition(comparison.felt.size(), true));
  if (is_same_row(mixtures.values_if_any(felt_only), comparison.mine)) return;
  // Something that looked without effect has one in company: everything takes part.
  comparison.felt.clear();
  comparison.not_in_model.clear();
  for (std::size_t i = 0; i < n; ++i) {
    const bool is_solver = comparison.details[i].topic == Topic::Solver;
    (is_solver ? comparison.not_in_model : comparison.felt).push_back(i);
  }
}

std::vector<double> end_values(const VariantSpec& spec, const Estimator& estimator, const std::string& name) {
  try {
    return estimator.values(spec, {});
  } catch (const base::InputError& error) {
    throw base::InputError(fmt::format("The {} installation has no estimate: {}", name, error.what()));
  } catch (const base::ResultError& error) {
    throw base::ResultError(fmt::format("The {} installation has no estimate: {}", name, error.what()));
  }
}

}  // namespace

bool Effect::stands_out(std::size_t quantity) const {
  return std::abs(value[quantity]) > band[quantity] + 2.0 * standard_error[quantity];
}

double Comparison::sum(Topic topic, std::size_t quantity) const {
  double total = 0.0;
  for (const Effect& effect : effects) {
    if (effect.topic == topic) total += effect.value[quantity];
  }
  return total;
}

Comparison compare_installations(const VariantSpec& good,
                                 const VariantSpec& mine,
                                 const Estimator& estimator,
                                 const AttributionOptions& options) {
  require_same_engine(good, mine);
  Comparison comparison;
  comparison.quantities = estimator.quantities;
  comparison.notes = estimator.notes;
  comparison.details = differing_details(good, mine);
  comparison.good = end_values(good, estimator, "good");
  comparison.mine = end_values(mine, estimator, "other");
  const Mixtures mixtures(good, mine, estimator, comparison.details);
  find_felt(mixtures, comparison);

  const std::size_t n_own =
      std::max(shape::shape_conflicts(good.shape).size(), shape::shape_conflicts(mine.shape).size());
  comparison.attribution = attribute(
      comparison.felt.size(),
      [&](const Coalition& coalition) {
        const VariantSpec spec = mixtures.spec(choice_of(comparison, coalition));
        note_contradiction(spec, n_own, comparison);
        return estimator.values(spec, {});
      },
      options);
  for (std::size_t g = 0; g < comparison.attribution.groups.size(); ++g) {
    comparison.effects.push_back(make_effect(comparison, g, good, mine));
  }
  comparison.unexplained.assign(comparison.quantities.size(), 0.0);
  for (std::size_t q = 0; q < comparison.quantities.size(); ++q) {
    double rest = comparison.mine[q] - comparison.good[q];
    for (const Effect& effect : comparison.effects) rest -= effect.value[q];
    comparison.unexplained[q] = rest;
  }
  add_bands(good, mine, estimator, comparison);
  std::stable_sort(
      comparison.effects.begin(), comparison.effects.end(), [](const Effect& a, const Effect& b) {
        return std::abs(a.value.front()) > std::abs(b.value.front());
      });
  return comparison;
}

}  // namespace cowlwright::compare
