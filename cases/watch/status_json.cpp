// SPDX-License-Identifier: GPL-3.0-or-later
//
// Status as JSON.
#include "cases/watch/status_text.h"

#include <nlohmann/json.hpp>

namespace cowlwright::watch {
namespace {

using Json = nlohmann::ordered_json;

constexpr int format_version = 1;

Json json_of(const std::optional<double>& value) {
  return value ? Json(*value) : Json(nullptr);
}

/// As in its file; this one has a format of its own.
Json json_of(const base::Progress& progress) {
  Json json = Json::parse(base::progress_json(progress));
  json.erase("format");
  return json;
}

Json json_of(const CaseStatus& status) {
  Json json{{"case", status.case_folder}, {"state", standing_name(status.standing)}, {"note", status.note}};
  json["kept"] = status.state ? Json(status.state->kept) : Json(nullptr);
  json["progress"] = status.progress ? json_of(*status.progress) : Json(nullptr);
  return json;
}

}  // namespace

std::string status_json(const SweepStatus& status) {
  Json cases = Json::array();
  for (const CaseStatus& one : status.cases) cases.push_back(json_of(one));
  const Json json{{"format", "cowlwright status"},
                  {"format_version", format_version},
                  {"units", "SI"},
                  {"study", status.study},
                  {"driver", status.driver},
                  {"has_jobs", status.has_jobs},
                  {"is_at_rest", status.is_at_rest()},
                  {"core_seconds_left", status.left.core_seconds},
                  {"seconds_left", json_of(status.left.seconds)},
                  {"cases", cases}};
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace cowlwright::watch
