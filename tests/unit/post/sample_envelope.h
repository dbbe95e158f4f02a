// SPDX-License-Identifier: GPL-3.0-or-later
//
// An invented envelope.json with every state a point can have.
#pragma once

#include <nlohmann/json.hpp>

#include <array>
#include <string>

namespace cowlwright::post::synthetic {

/// Three speeds, three altitudes, a standard and a hot day, one power; 40 K of margin less 12 K for each step
/// slower, 25 K for the hot day. The slowest points lie below the stall; the fastest and highest has no
/// answer on the hot day.
inline nlohmann::json sample_envelope() {
  using nlohmann::json;
  const std::array speeds{35.0, 45.0, 55.0};
  const std::array altitudes{0.0, 1524.0, 3048.0};
  json points = json::array();
  for (std::size_t day = 0; day < 2; ++day) {
    for (std::size_t altitude = 0; altitude < 3; ++altitude) {
      for (std::size_t speed = 0; speed < 3; ++speed) {
        const bool has_answer = !(day == 1 && altitude == 2 && speed == 2);
        const double margin = 40.0 - 12.0 * static_cast<double>(2 - speed) - 25.0 * static_cast<double>(day);
        const double limit = 488.0;
        json shown = json::array();
        if (has_answer) {
          shown.push_back(
              {{"id", "head_bottom"},
               {"name", "head, at its bottom"},
               {"cylinder", "r2"},
               {"temperature",
                {{"value", limit - margin}, {"low", limit - margin - 9.0}, {"high", limit - margin + 9.0}}},
               {"limit", limit},
               {"margin", {{"value", margin}, {"low", margin - 9.0}, {"high", margin + 9.0}}}});
        }
        points.push_back(
            {{"speed", speed},
             {"altitude", altitude},
             {"day", day},
             {"power", 0},
             {"true_airspeed", speeds[speed]},
             {"calibrated_airspeed", speeds[speed]},
             {"outside_temperature", 288.15 + 22.0 * static_cast<double>(day) - altitudes[altitude] * 0.0065},
             {"density", 1.1},
             {"status",
              !has_answer                   ? "no_answer"
              : speed == 0 && altitude == 0 ? "stall"
                                            : "flown"},
             {"trouble", has_answer ? "" : "the propeller cannot absorb the power"},
             {"extrapolated",
              day == 1 ? json{"outside temperature 22 K above the readings' 15 degC"} : json::array()},
             {"deck_pressure_difference", 900.0},
             {"cooling_air", 0.6},
             {"temperatures", shown},
             {"tightest", has_answer ? json("head_bottom") : json(nullptr)}});
      }
    }
  }
  return {{"format", "cowlwright envelope"},
          {"version", 1},
          {"study", "Invented bay"},
          {"variant", "base"},
          {"worst", "Worst corner: climb, hot day, an invented sentence."},
          {"has_values", true},
          {"readings", 1},
          {"speeds_are_calibrated", true},
          {"airspeeds", speeds},
          {"altitudes", altitudes},
          {"days", {"standard day", "hot day"}},
          {"powers", {{{"name", "climb"}, {"shaft_power", 75000.0}, {"rotational_speed", 270.0}}}},
          {"points", points},
          {"cautions", {"An estimate, not an approval: an invented caution."}},
          {"notes", {"An invented note."}},
          {"assumptions", {"n 0.6: an invented source"}}};
}

}  // namespace cowlwright::post::synthetic
