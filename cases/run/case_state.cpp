// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reads and writes run_state.json and decides how a case goes on.
#include "cases/run/case_state.h"

#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <string_view>

namespace cowlwright::run {
namespace {

using Json = nlohmann::ordered_json;

constexpr int format_version = 1;
constexpr std::array<std::string_view, 3> phase_names{"running", "finished", "failed"};

/// Stages that can be run again over what a broken-off run of theirs left behind.
constexpr std::array<std::string_view, 4> repeatable_stages{"check", "split", "solve", "join"};

CasePhase phase_of(const std::string& name) {
  const auto found = std::find(phase_names.begin(), phase_names.end(), name);
  if (found == phase_names.end()) throw base::InputError("unknown phase " + name);
  return static_cast<CasePhase>(found - phase_names.begin());
}

CaseState from_json(const Json& json) {
  if (json.at("format") != format_version) throw base::InputError("another format version");
  CaseState state;
  state.input_hash = json.at("input_hash");
  state.ranks = json.at("ranks");
  state.phase = phase_of(json.at("phase"));
  state.begun = json.at("begun");
  state.message = json.at("message");
  for (const Json& stage : json.at("finished"))
    state.finished.push_back({stage.at("name"), stage.at("seconds")});
  return state;
}

bool is_prefix(const std::vector<StageTime>& finished, const std::vector<foam::Stage>& stages) {
  if (finished.size() > stages.size()) return false;
  for (std::size_t i = 0; i < finished.size(); ++i) {
    if (finished[i].name != stages[i].name) return false;
  }
  return true;
}

}  // namespace

void write_case_state(const CaseState& state, const std::filesystem::path& case_dir) {
  Json finished = Json::array();
  for (const StageTime& stage : state.finished)
    finished.push_back({{"name", stage.name}, {"seconds", stage.seconds}});
  const Json json{{"format", format_version},
                  {"input_hash", state.input_hash},
                  {"ranks", state.ranks},
                  {"phase", phase_names.at(static_cast<std::size_t>(state.phase))},
                  {"finished", finished},
                  {"begun", state.begun},
                  {"message", state.message}};
  // A log line may hold bytes that are not UTF-8; they are replaced, never a reason to lose the state.
  base::write_text(case_dir / case_state_file_name,
                   json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n");
}

std::optional<CaseState> read_case_state(const std::filesystem::path& case_dir) {
  const std::filesystem::path file = case_dir / case_state_file_name;
  if (!std::filesystem::exists(file)) return std::nullopt;
  try {
    return from_json(Json::parse(base::read_text(file)));
  } catch (const Json::exception&) {
    return std::nullopt;
  } catch (const base::InputError&) {
    return std::nullopt;
  }
}

Resumption plan_resumption(const std::optional<CaseState>& state,
                           const std::vector<foam::Stage>& stages,
                           const std::string& input_hash) {
  if (!state) return {.reason = "new"};
  if (state->input_hash != input_hash) return {.reason = "its inputs have changed"};
  if (state->phase == CasePhase::Failed) return {.reason = "it failed before"};
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
