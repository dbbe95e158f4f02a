// SPDX-License-Identifier: GPL-3.0-or-later
//
// Which details are worth a CFD run, and the study file for it: the other installation as it is, then each
// chosen detail put back to what the good one has, last all of them.
#pragma once

#include "cases/compare/comparison.h"

#include <filesystem>
#include <string>
#include <vector>

namespace cowlwright::compare {

struct Candidate {
  std::size_t effect = 0;  ///< index into Comparison::effects
  std::string reason;      ///< why a run is worth while
};

/// Details of the installation that bring at least 5 % of all that is moved, at most four, whose band is of
/// the size of the effect (a third of it or more) or which change a coefficient that is neither from a solved
/// case nor stated.
std::vector<Candidate> worth_a_run(const Comparison& comparison);

struct NextStudy {
  std::string text;                   ///< empty when nothing can be put back by keys
  std::vector<std::size_t> effects;   ///< those in the file, indices into Comparison::effects
  std::vector<std::string> left_out;  ///< "label: why it is not in the file"
};

/// @param study  of `mine`, with its variant; its own [vary] is taken out and that variant's settings kept.
/// @param place  where the file will stand: paths in it are made absolute if it is not beside the study.
/// The text has been read back without complaint, so its values and the rules between them are sound.
NextStudy next_study(const Comparison& comparison,
                     const std::vector<Candidate>& candidates,
                     const VariantSpec& good,
                     const VariantSpec& mine,
                     const Study& study,
                     const std::filesystem::path& place);

}  // namespace cowlwright::compare
