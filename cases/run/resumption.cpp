// SPDX-License-Identifier: GPL-3.0-or-later
//
// Decides how a case goes on.
#include "cases/run/resumption.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string_view>

namespace cowlwright::run {
namespace {

/// Stages that can be run again over what a broken-off run of theirs left behind.
constexpr std::array<std::string_view, 4> repeatable_stages{"check", "split", "solve", "join"};

bool is_prefix(const std::vector<base::StageTime>& finished, const std::vector<foam::Stage>& stages) {
  if (finished.size() > stages.size()) return false;
  for (std::size_t i = 0; i < finished.size(); ++i) {
    if (finished[i].name != stages[i].name) return false;
  }
  return true;
}

}  // namespace

Resumption plan_resumption(const std::optional<base::CaseState>& state,
                           const std::vector<foam::Stage>& stages,
                           const std::string& input_hash) {
  if (!state) return {.reason = "new"};
  if (state->input_hash != input_hash) return {.reason = "its inputs have changed"};
  if (state->phase == base::CasePhase::Failed) return {.reason = "it failed before"};
  if (!is_prefix(state->finished, stages)) return {.reason = "it was made by another version"};
  const std::size_t n_finished = state->finished.size();
  if (n_finished == stages.size()) return {false, n_finished, "all done before"};
  const bool was_broken_off = state->begun == stages[n_finished].name;
  const bool is_repeatable =
      std::find(repeatable_stages.begin(), repeatable_stages.end(), state->begun) != repeatable_stages.end();
  if (was_broken_off && !is_repeatable) return {.reason = "it was stopped while its mesh was made"};
  return {false, n_finished, fmt::format("goes on with {}", stages[n_finished].name)};
}

}  // namespace cowlwright::run
