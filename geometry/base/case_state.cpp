// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reads and writes run_state.json.
#include "geometry/base/case_state.h"

#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <string_view>

namespace cowlwright::base {
namespace {

using Json = nlohmann::ordered_json;

constexpr int format_version = 2;
constexpr std::array<std::string_view, 3> phase_names{"running", "finished", "failed"};

CasePhase phase_of(const std::string& name) {
  const auto found = std::find(phase_names.begin(), phase_names.end(), name);
  if (found == phase_names.end()) throw InputError("unknown phase " + name);
  return static_cast<CasePhase>(found - phase_names.begin());
}

CaseState from_json(const Json& json) {
  if (json.at("format") != format_version) throw InputError("another format version");
  CaseState state;
  const Json& keys = json.at("keys");
  state.keys = {.source = keys.at("source"), .mesh = keys.at("mesh"), .solve = keys.at("solve")};
  state.ranks = json.at("ranks");
  state.last_iteration = json.at("last_iteration");
  state.stop_tolerance = json.at("stop_tolerance");
  state.window = json.at("window");
  state.start_from = json.at("start_from");
  state.phase = phase_of(json.at("phase"));
  state.begun = json.at("begun");
  state.message = json.at("message");
  state.can_go_on = json.at("can_go_on");
  state.kept = json.at("kept");
  for (const Json& stage : json.at("finished"))
    state.finished.push_back({stage.at("name"), stage.at("seconds"), stage.at("is_reused")});
  return state;
}

}  // namespace

void write_case_state(const CaseState& state, const std::filesystem::path& case_dir) {
  Json finished = Json::array();
  for (const StageTime& stage : state.finished)
    finished.push_back({{"name", stage.name}, {"seconds", stage.seconds}, {"is_reused", stage.is_reused}});
  const Json keys{{"source", state.keys.source}, {"mesh", state.keys.mesh}, {"solve", state.keys.solve}};
  const Json json{{"format", format_version},
                  {"keys", keys},
                  {"ranks", state.ranks},
                  {"last_iteration", state.last_iteration},
                  {"stop_tolerance", state.stop_tolerance},
                  {"window", state.window},
                  {"start_from", state.start_from},
                  {"phase", phase_names.at(static_cast<std::size_t>(state.phase))},
                  {"finished", finished},
                  {"begun", state.begun},
                  {"message", state.message},
                  {"can_go_on", state.can_go_on},
                  {"kept", state.kept}};
  // A log line may hold bytes that are not UTF-8; they are replaced, never a reason to lose the state.
  write_text(case_dir / case_state_file_name,
             json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n");
}

std::optional<CaseState> read_case_state(const std::filesystem::path& case_dir) {
  const std::filesystem::path file = case_dir / case_state_file_name;
  if (!std::filesystem::exists(file)) return std::nullopt;
  try {
    return from_json(Json::parse(read_text(file)));
  } catch (const Json::exception&) {
    return std::nullopt;
  } catch (const InputError&) {
    return std::nullopt;
  }
}

}  // namespace cowlwright::base
