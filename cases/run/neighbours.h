// SPDX-License-Identifier: GPL-3.0-or-later
//
// From which solved case each case of a study starts.
#pragma once

#include "cases/study.h"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::run {

/// How unlike two variants are: root of the sum of squares over the varied settings, a number's difference
/// over its range within the study, 1 for words that differ. 0 for equal settings.
double distance(const Study& study, std::size_t a, std::size_t b);

/// A case that wants a start field, and cases that may give one.
struct StartChoice {
  std::string case_folder;
  std::optional<std::size_t> from{};  ///< index of a choice before it; nothing: still air
};

/// Orders a study's cases of one grid and chooses each one's start among those before it, so that the sum of
/// distances is small and no more than `most_steps` starts hang on one another (many cores want short
/// chains).
std::vector<StartChoice> choose_starts(const Study& study,
                                       const std::vector<std::size_t>& variants,
                                       int at_a_time);

}  // namespace cowlwright::run
