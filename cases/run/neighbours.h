// SPDX-License-Identifier: GPL-3.0-or-later
//
// From which other case each case of a study starts. A case that begins with its neighbour's settled flow
// needs fewer iterations than one that begins with still air inside the cowl; its answer is the same within
// its band (DEVELOPERS.md has the figures).
#pragma once

#include "cases/study.h"

#include <cstddef>
#include <functional>
#include <string>
#include <vector>

namespace cowlwright::run {

/// How unlike two variants are: root of the sum of squares over the varied settings, a number's difference
/// over its range within the study, 1 for numbers in different units. 0 for equal settings. Infinite for
/// words that differ: a propeller that turns the other way or another plenum is another flow, and some of
/// what it started from stays in the result.
/// @param a, b  indices into study.variants.
double distance(const Study& study, std::size_t a, std::size_t b);

/// One case and where its start field comes from.
struct CaseStart {
  std::string folder;
  std::string from{};  ///< case folder of an entry before it; empty: still air inside
};

struct StartQuestion {
  std::vector<std::size_t> variants{};  ///< to be solved, indices into Study::variants
  int at_a_time = 1;                    ///< cases that are solved side by side, >= 1
  /// Whether a case folder holds a settled result already: it costs nothing and can be started from.
  std::function<bool(const std::string& folder)> is_solved{};
};

/// Chooses the starts of all cases (foam::case_plans) of the variants, each behind the one it starts from.
///
/// The coarsest grid of a variant starts from the same grid of a nearby variant (never one at an infinite
/// distance), the closed reference from the neighbour's closed reference; a finer grid starts from the
/// variant's own next coarser one. Among forests of short chains it takes the one that ends first with
/// `at_a_time` cases side by side (whoever waits for a start field keeps a core idle), then the one with
/// fewest starts from still air, then the one with the smallest sum of distances. Variants with [grid] start
/// = "still" start from still air.
std::vector<CaseStart> choose_starts(const Study& study, const StartQuestion& question);

}  // namespace cowlwright::run
