// SPDX-License-Identifier: GPL-3.0-or-later
//
// Judges the balances.
#include "post/quantities/balances.h"

#include "post/quantities/places.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::post {

namespace {

/// The value of a balance and where it must lie; the flag is still to be written.
BalanceCheck check_of(std::string_view id,
                      std::span<const Quantity> quantities,
                      double lowest,
                      double highest) {
  const auto found =
      std::find_if(quantities.begin(), quantities.end(), [id](const Quantity& q) { return q.id == id; });
  const bool is_known = found != quantities.end() && std::isfinite(found->value);
  return {.id = std::string(id),
          .name = std::string(quantity_spec(id).name),
          .value = is_known ? std::optional(found->value) : std::nullopt,
          .lowest = lowest,
          .highest = highest,
          .flag = {}};
}

bool is_within(const BalanceCheck& check) {
  return check.value && *check.value >= check.lowest && *check.value <= check.highest;
}

/// A closure: zero but for `tolerance`, a fraction.
BalanceCheck closure(std::string_view id,
                     std::span<const Quantity> quantities,
                     double tolerance,
                     std::string_view meaning,
                     std::string_view needs) {
  BalanceCheck check = check_of(id, quantities, -percent * tolerance, percent * tolerance);
  if (!check.value) {
    check.flag = fmt::format("{} cannot be formed: {}", check.name, needs);
  } else if (!is_within(check)) {
    check.flag =
        fmt::format("{} {:+.2f} %: limit {:.2f} %; {}", check.name, *check.value, check.highest, meaning);
  }
  return check;
}

BalanceCheck law_share(std::span<const Quantity> quantities) {
  BalanceCheck check = check_of("core_law_share", quantities, lowest_law_share, highest_law_share);
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

}  // namespace

std::vector<BalanceCheck> balance_checks(const base::Manifest& manifest,
                                         std::span<const Quantity> quantities) {
  const double mass = manifest.closure_tolerance;
  std::vector<BalanceCheck> checks{closure("continuity_closure",
                                           quantities,
                                           mass,
                                           "the flows do not balance",
                                           "inlet or exit flow is missing or zero")};
  if (!planes_of(manifest, base::PlaneRole::Core).empty()) {
    checks.push_back(closure("core_closure",
                             quantities,
                             mass,
                             "air passes the cores' sides or leaves before them",
                             "inlet or core flow is missing or zero"));
    checks.push_back(closure("core_exit_closure",
                             quantities,
                             mass,
                             "air is lost or found behind the cores",
                             "core or exit flow is missing or zero"));
  }
  const auto has = [&manifest](auto member) {
    return std::any_of(manifest.passages.begin(), manifest.passages.end(), member);
  };
  if (has([](const base::PassageRecord& core) { return core.heat > 0.0; })) {
    checks.push_back(closure("energy_closure",
                             quantities,
                             manifest.energy_tolerance,
                             "the air does not carry off the heat stated",
                             "temperatures or flows at inlets and exit are missing"));
  }
  if (has([](const base::PassageRecord& core) { return core.viscous > 0.0 || core.inertial > 0.0; })) {
    checks.push_back(law_share(quantities));
  }
  return checks;
}

}  // namespace cowlwright::post
