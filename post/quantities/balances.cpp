// SPDX-License-Identifier: GPL-3.0-or-later
//
// Judges the balances.
#include "post/quantities/balances.h"

#include "post/quantities/passages.h"
#include "post/quantities/places.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::post {

namespace {

/// The value of a balance and where it must lie; the flag is still to be written.
BalanceCheck check_of(const Quantity& wanted,
                      std::span<const Quantity> quantities,
                      double lowest,
                      double highest) {
  const auto found = std::find_if(
      quantities.begin(), quantities.end(), [&wanted](const Quantity& q) { return q.id == wanted.id; });
  const bool is_known = found != quantities.end() && std::isfinite(found->value);
  return {.id = wanted.id,
          .name = wanted.name,
          .value = is_known ? std::optional(found->value) : std::nullopt,
          .lowest = lowest,
          .highest = highest,
          .flag = {}};
}

bool is_within(const BalanceCheck& check) {
  return check.value && *check.value >= check.lowest && *check.value <= check.highest;
}

/// A closure: zero but for `tolerance`, a fraction.
BalanceCheck closure(const Quantity& wanted,
                     std::span<const Quantity> quantities,
                     double tolerance,
                     std::string_view meaning,
                     std::string_view needs) {
  BalanceCheck check = check_of(wanted, quantities, -percent * tolerance, percent * tolerance);
  if (!check.value) {
    check.flag = fmt::format("{} cannot be formed: {}", check.name, needs);
  } else if (!is_within(check)) {
    check.flag =
        fmt::format("{} {:+.2f} %: limit {:.2f} %; {}", check.name, *check.value, check.highest, meaning);
  }
  return check;
}

BalanceCheck law_share(std::span<const Quantity> quantities) {
  BalanceCheck check =
      check_of(empty_quantity("core_law_share"), quantities, lowest_law_share, highest_law_share);
  if (!check.value) {
    check.flag = fmt::format("{} cannot be formed: core flow, core law or deck pressure is missing or zero",
                             check.name);
  } else if (!is_within(check)) {
    check.flag = fmt::format(
        "{} {:.1f} %: must be {:.0f} to {:.0f} %; {}",
        check.name,
        *check.value,
        check.lowest,
        check.highest,
        *check.value < check.lowest
            ? "air goes round the cores, they do not carry the stated law, or entry and exit lose too much"
            : "at this flow the stated law needs more pressure than the decks offer: law, flow or deck "
              "pressures are wrong");
  }
  return check;
}

/// One for each cylinder and the oil cooler, where the air behind them is measured.
void add_heat_closures(const base::Manifest& manifest,
                       std::span<const Quantity> quantities,
                       std::vector<BalanceCheck>& checks) {
  std::vector<HeatedPassage> heated = cylinders(manifest);
  if (const std::optional<HeatedPassage> cooler = oil_cooler(manifest)) {
    heated.push_back(*cooler);
  }
  for (const HeatedPassage& passage : heated) {
    if (passage.has_outlets && passage.heat > 0.0) {
      checks.push_back(closure(empty_quantity("heat_closure", passage.name),
                               quantities,
                               heat_closure_allowance * manifest.energy_tolerance,
                               "the air behind it does not carry off the heat stated",
                               "temperatures or flows at inlets and outlet are missing"));
    }
  }
}

}  // namespace

std::vector<BalanceCheck> balance_checks(const base::Manifest& manifest,
                                         std::span<const Quantity> quantities) {
  const double mass = manifest.closure_tolerance;
  std::vector<BalanceCheck> checks{closure(empty_quantity("continuity_closure"),
                                           quantities,
                                           mass,
                                           "the flows do not balance",
                                           "inlet or exit flow is missing or zero")};
  if (!joining_planes(manifest).empty()) {
    checks.push_back(closure(empty_quantity("core_closure"),
                             quantities,
                             mass,
                             "air passes the cores' sides or leaves before them",
                             "inlet or core flow is missing or zero"));
    checks.push_back(closure(empty_quantity("core_exit_closure"),
                             quantities,
                             mass,
                             "air is lost or found behind the cores",
                             "core or exit flow is missing or zero"));
  }
  const auto has = [&manifest](auto member) {
    return std::any_of(manifest.passages.begin(), manifest.passages.end(), member);
  };
  if (has([](const base::PassageRecord& core) { return core.heat > 0.0; })) {
    checks.push_back(closure(empty_quantity("energy_closure"),
                             quantities,
                             manifest.energy_tolerance,
                             "the air does not carry off the heat stated",
                             "temperatures or flows at inlets and exit are missing"));
  }
  add_heat_closures(manifest, quantities, checks);
  if (has([](const base::PassageRecord& passage) {
        return passage.kind == base::PassageKind::Core && (passage.viscous > 0.0 || passage.inertial > 0.0);
      })) {
    checks.push_back(law_share(quantities));
  }
  return checks;
}

}  // namespace cowlwright::post
