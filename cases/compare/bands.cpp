// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/compare/bands.h"

#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <utility>

namespace cowlwright::compare {
namespace {

using Row = std::vector<double>;

bool is_equal(const Assumption& a, const Assumption& b) {
  return a.kind == b.kind && is_same(a.value, b.value) && is_same(a.half_band, b.half_band) &&
         a.source == b.source;
}

const Assumption* find(const std::vector<Assumption>& all, const std::string& name) {
  const auto found =
      std::find_if(all.begin(), all.end(), [&](const Assumption& a) { return a.name == name; });
  return found == all.end() ? nullptr : &*found;
}

/// A mixture with what it stands on.
struct Mixture {
  VariantSpec spec;
  std::vector<Assumption> assumptions;
  Row value;
};

/// Coefficients that are off together, each by this share of its half band.
struct Error {
  std::vector<Assumption> members;  ///< at least one
  double share = 1.0;
};

std::optional<Row> shifted(const Mixture& mixture, const Error& error, const Estimator& estimator) {
  std::vector<Shift> shifts;
  for (const Assumption& own : mixture.assumptions) {
    for (const Assumption& off : error.members) {
      if (is_equal(own, off)) shifts.push_back({own.name, error.share * off.half_band});
    }
  }
  if (shifts.empty()) return mixture.value;  // stands on another one, or on none
  try {
    return estimator.values(mixture.spec, shifts);
  } catch (const base::InputError&) {
    return std::nullopt;
  } catch (const base::ResultError&) {
    return std::nullopt;
  }
}

/// Every coefficient that may be off by itself: of good, and of mine where it is another one.
std::vector<Assumption> independent_ones(const std::vector<Assumption>& good,
                                         const std::vector<Assumption>& mine) {
  std::vector<Assumption> all;
  for (const std::vector<Assumption>* side : {&good, &mine}) {
    for (const Assumption& one : *side) {
      const bool is_known =
          std::any_of(all.begin(), all.end(), [&](const Assumption& other) { return is_equal(other, one); });
      if (!is_known && one.half_band > 0.0) all.push_back(one);
    }
  }
  return all;
}

/// Of one kind and source with several values, half of the variance is an error of the source, which all
/// share.
std::vector<Error> independent_errors(const std::vector<Assumption>& ones) {
  const double half_of_variance = std::sqrt(0.5);
  std::vector<Error> errors;
  std::vector<bool> is_taken(ones.size(), false);
  for (std::size_t i = 0; i < ones.size(); ++i) {
    if (is_taken[i]) continue;
    Error family{{}, half_of_variance};
    for (std::size_t k = i; k < ones.size(); ++k) {
      if (ones[k].kind != ones[i].kind || ones[k].source != ones[i].source) continue;
      is_taken[k] = true;
      family.members.push_back(ones[k]);
    }
    if (family.members.size() == 1) {
      errors.push_back({family.members, 1.0});
      continue;
    }
    for (const Assumption& one : family.members) errors.push_back({{one}, half_of_variance});
    errors.push_back(std::move(family));
  }
  return errors;
}

std::vector<ChangedAssumption> changed(const std::vector<Assumption>& without,
                                       const std::vector<Assumption>& with) {
  std::vector<ChangedAssumption> all;
  for (const Assumption& before : without) {
    const Assumption* after = find(with, before.name);
    if (after == nullptr || !is_equal(before, *after)) {
      all.push_back({before, after ? *after : Assumption{before.name, before.kind, 0.0, 0.0, ""}});
    }
  }
  for (const Assumption& after : with) {
    if (find(without, after.name) == nullptr) all.push_back({{after.name, after.kind, 0.0, 0.0, ""}, after});
  }
  return all;
}

/// With nobody and with all, the mixtures that an effect is judged on. None when one has no estimate, which
/// can be when orders are sampled.
struct Corner {
  Mixture first;
  Mixture all_but;
};

class Bands {
 public:
  Bands(const VariantSpec& good, const VariantSpec& mine, const Estimator& estimator, Comparison& comparison)
      : good_(good), mine_(mine), estimator_(estimator), comparison_(comparison) {}

  void fill() {
    const Mixture none = mixture({});
    const Mixture all = mixture(comparison_.felt);
    std::vector<std::optional<Corner>> corners;
    for (Effect& effect : comparison_.effects) {
      std::vector<std::size_t> others;
      for (const std::size_t i : comparison_.felt) {
        if (std::find(effect.members.begin(), effect.members.end(), i) == effect.members.end())
          others.push_back(i);
      }
      corners.push_back(corner(effect, others));
      if (corners.back()) effect.stands_on = changed(none.assumptions, corners.back()->first.assumptions);
      effect.band.assign(comparison_.quantities.size(),
                         corners.back() ? 0.0 : std::numeric_limits<double>::quiet_NaN());
    }
    comparison_.band.assign(comparison_.quantities.size(), 0.0);
    for (const Error& error : independent_errors(independent_ones(none.assumptions, all.assumptions))) {
      add(error, none, all, corners);
    }
    for (double& band : comparison_.band) band = std::sqrt(band);
    for (Effect& effect : comparison_.effects) {
      for (double& band : effect.band) band = std::sqrt(band);
    }
  }

 private:
  Mixture mixture(const std::vector<std::size_t>& chosen) const {
    std::vector<bool> is_mine(comparison_.details.size(), false);
    for (const std::size_t i : chosen) is_mine[i] = true;
    Mixture result;
    result.spec = hybrid(good_, mine_, comparison_.details, is_mine);
    result.assumptions = estimator_.assumptions(result.spec);
    result.value = estimator_.values(result.spec, {});
    return result;
  }

  std::optional<Corner> corner(const Effect& effect, const std::vector<std::size_t>& others) const {
    try {
      return Corner{mixture(effect.members), mixture(others)};
    } catch (const base::InputError& error) {
      note_missing(effect, error.what());
    } catch (const base::ResultError& error) {
      note_missing(effect, error.what());
    }
    return std::nullopt;
  }

  void note_missing(const Effect& effect, const std::string& reason) const {
    comparison_.notes.push_back(
        fmt::format("{}: no band, because it cannot be tried first or last: {}", effect.label, reason));
  }

  /// Squares of what one error changes.
  void add(const Error& error,
           const Mixture& none,
           const Mixture& all,
           const std::vector<std::optional<Corner>>& corners) {
    const std::optional<Row> none_off = shifted(none, error, estimator_);
    const std::optional<Row> all_off = shifted(all, error, estimator_);
    bool is_whole = none_off && all_off;
    for (std::size_t q = 0; is_whole && q < comparison_.quantities.size(); ++q) {
      const double change = ((*all_off)[q] - (*none_off)[q]) - (all.value[q] - none.value[q]);
      comparison_.band[q] += change * change;
    }
    for (std::size_t g = 0; is_whole && g < corners.size(); ++g) {
      if (!corners[g]) continue;
      const Mixture& first = corners[g]->first;
      const Mixture& all_but = corners[g]->all_but;
      const std::optional<Row> first_off = shifted(first, error, estimator_);
      const std::optional<Row> all_but_off = shifted(all_but, error, estimator_);
      is_whole = first_off && all_but_off;
      for (std::size_t q = 0; is_whole && q < comparison_.quantities.size(); ++q) {
        const double before = (first.value[q] - none.value[q]) + (all.value[q] - all_but.value[q]);
        const double after = ((*first_off)[q] - (*none_off)[q]) + ((*all_off)[q] - (*all_but_off)[q]);
        const double change = 0.5 * (after - before);
        comparison_.effects[g].band[q] += change * change;
      }
    }
    if (!is_whole) {
      comparison_.notes.push_back(
          fmt::format("No estimate with {} off by its band ({:+.3g}), so the bands do not hold it.",
                      error.members.front().kind,
                      error.share * error.members.front().half_band));
    }
  }

  const VariantSpec& good_;
  const VariantSpec& mine_;
  const Estimator& estimator_;
  Comparison& comparison_;
};

}  // namespace

void add_bands(const VariantSpec& good,
               const VariantSpec& mine,
               const Estimator& estimator,
               Comparison& comparison) {
  Bands(good, mine, estimator, comparison).fill();
}

}  // namespace cowlwright::compare
