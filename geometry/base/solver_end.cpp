// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reads and writes solver_end.json.
#include "geometry/base/solver_end.h"

#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <string_view>

namespace cowlwright::base {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::string_view format_name = "cowlwright solver end";
constexpr std::array<std::string_view, 3> names{"held", "ceiling", "asked"};

}  // namespace

std::string solver_end_text(const SolverEnd& end) {
  switch (end.ended_by) {
    case EndedBy::Held:
      return fmt::format("held: {}", end.reason);
    case EndedBy::Ceiling:
      return fmt::format("ceiling: {} iterations; {}", end.iteration, end.reason);
    case EndedBy::Asked:
      return fmt::format("asked to stop at iteration {}; {}", end.iteration, end.reason);
  }
  return end.reason;
}

void write_solver_end(const SolverEnd& end, const std::filesystem::path& case_dir) {
  const Json json{{"format", format_name},
                  {"ended_by", names.at(static_cast<std::size_t>(end.ended_by))},
                  {"iteration", end.iteration},
                  {"reason", end.reason}};
  write_text(case_dir / solver_end_file_name,
             json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n");
}

std::optional<SolverEnd> read_solver_end(const std::filesystem::path& case_dir) {
  const std::filesystem::path file = case_dir / solver_end_file_name;
  if (!std::filesystem::exists(file)) {
    return std::nullopt;
  }
  try {
    const Json json = Json::parse(read_text(file));
    const auto name = std::find(names.begin(), names.end(), json.at("ended_by").get<std::string>());
    if (json.at("format") != format_name || name == names.end()) {
      return std::nullopt;
    }
    return SolverEnd{.ended_by = static_cast<EndedBy>(name - names.begin()),
                     .iteration = json.at("iteration"),
                     .reason = json.at("reason")};
  } catch (const Json::exception&) {
    return std::nullopt;
  } catch (const InputError&) {
    return std::nullopt;
  }
}

}  // namespace cowlwright::base
