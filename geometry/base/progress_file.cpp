// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reads and writes progress.json.
#include "geometry/base/progress_file.h"

#include "geometry/base/text_file.h"

#include <nlohmann/json.hpp>

#include <cmath>
#include <exception>

namespace cowlwright::base {
namespace {

using Json = nlohmann::ordered_json;

constexpr int format_version = 1;

/// A number that is not finite is as good as none.
Json json_of(const std::optional<double>& value) {
  return value && std::isfinite(*value) ? Json(*value) : Json(nullptr);
}

std::optional<double> number_at(const Json& json, const char* name) {
  const Json& value = json.at(name);
  return value.is_null() ? std::nullopt : std::optional<double>(value.get<double>());
}

Progress from_json(const Json& json) {
  Progress progress;
  progress.host = json.at("host");
  progress.process = json.at("process");
  progress.beat = json.at("beat");
  progress.written_at = json.at("written_at");
  progress.ranks = json.at("ranks");
  progress.stage = json.at("stage");
  progress.seconds = json.at("seconds");
  progress.iteration = json.at("iteration");
  progress.last_iteration = json.at("last_iteration");
  progress.deck_pressure_difference = number_at(json, "deck_pressure_difference");
  progress.deck_pressure_difference_band = number_at(json, "deck_pressure_difference_band");
  progress.inlet_flow = number_at(json, "inlet_flow");
  progress.exit_flow = number_at(json, "exit_flow");
  progress.seconds_left = number_at(json, "seconds_left");
  return progress;
}

}  // namespace

std::string progress_json(const Progress& progress) {
  const Json json{{"format", format_version},
                  {"host", progress.host},
                  {"process", progress.process},
                  {"beat", progress.beat},
                  {"written_at", progress.written_at},
                  {"ranks", progress.ranks},
                  {"stage", progress.stage},
                  {"seconds", progress.seconds},
                  {"iteration", progress.iteration},
                  {"last_iteration", progress.last_iteration},
                  {"deck_pressure_difference", json_of(progress.deck_pressure_difference)},
                  {"deck_pressure_difference_band", json_of(progress.deck_pressure_difference_band)},
                  {"inlet_flow", json_of(progress.inlet_flow)},
                  {"exit_flow", json_of(progress.exit_flow)},
                  {"seconds_left", json_of(progress.seconds_left)}};
  return json.dump(2, ' ', false, Json::error_handler_t::replace);
}

void write_progress(const Progress& progress, const std::filesystem::path& case_dir) {
  replace_text(case_dir / progress_file_name, progress_json(progress) + "\n");
}

std::optional<Progress> read_progress(const std::filesystem::path& case_dir) {
  try {
    const Json json = Json::parse(read_text(case_dir / progress_file_name));
    if (json.at("format") != format_version) return std::nullopt;
    return from_json(json);
  } catch (const std::exception&) {  // missing, being replaced on another machine's disk, damaged: not known
    return std::nullopt;
  }
}

}  // namespace cowlwright::base
