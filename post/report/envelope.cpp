// SPDX-License-Identifier: GPL-3.0-or-later
//
// Checks of a file that another program wrote.
#include "post/report/envelope.h"

#include "geometry/base/text_file.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <stdexcept>

namespace cowlwright::post {

namespace {

using Json = nlohmann::json;

/// Thrown inside this file only.
struct Fault : std::runtime_error {
  using std::runtime_error::runtime_error;
};

void require(bool holds, const std::string& message) {
  if (!holds) throw Fault(message);
}

std::vector<double> rising_numbers(const Json& root, const char* key) {
  const auto values = root.at(key).get<std::vector<double>>();
  require(!values.empty(), fmt::format("{} is empty", key));
  for (std::size_t i = 0; i < values.size(); ++i) {
    require(std::isfinite(values[i]) && (i == 0 || values[i] > values[i - 1]),
            fmt::format("{} does not rise", key));
  }
  return values;
}

void check_texts(const Json& list, const char* key, bool may_be_empty) {
  const auto texts = list.get<std::vector<std::string>>();
  require(may_be_empty || !texts.empty(), fmt::format("{} is empty", key));
}

void check_band(const Json& band, std::size_t at) {
  const double low = band.at("low").get<double>();
  const double high = band.at("high").get<double>();
  require(low <= high, fmt::format("point {}: a band's low end is above its high end", at));
  if (band.at("value").is_null()) return;
  const double value = band.at("value").get<double>();
  require(low <= value && value <= high, fmt::format("point {}: a value lies outside its band", at));
}

void check_point(const Json& point, std::size_t at, const std::array<std::size_t, 4>& counts) {
  // Speed fastest, then altitude, day, power.
  std::size_t expected = at;
  for (std::size_t i = 0; i < 4; ++i) {
    constexpr std::array keys{"speed", "altitude", "day", "power"};
    require(point.at(keys[i]).get<std::size_t>() == expected % counts[i],
            fmt::format("point {}: {} is out of order", at, keys[i]));
    expected /= counts[i];
  }
  const auto status = point.at("status").get<std::string>();
  require(status == "flown" || status == "stall" || status == "no_answer",
          fmt::format("point {}: status \"{}\" is not known", at, status));
  for (const char* key : {"true_airspeed", "calibrated_airspeed", "outside_temperature"}) {
    require(std::isfinite(point.at(key).get<double>()), fmt::format("point {}: {} is no number", at, key));
  }
  check_texts(point.at("extrapolated"), "extrapolated", true);
  point.at("trouble").get<std::string>();
  bool has_tightest = point.at("tightest").is_null();
  for (const Json& shown : point.at("temperatures")) {
    check_band(shown.at("temperature"), at);
    if (!shown.at("margin").is_null()) check_band(shown.at("margin"), at);
    shown.at("name").get<std::string>();
    shown.at("cylinder").get<std::string>();
    has_tightest = has_tightest || (shown.at("id") == point.at("tightest") && !shown.at("margin").is_null());
  }
  require(has_tightest, fmt::format("point {}: the tightest margin is not among its temperatures", at));
}

void check(const Json& root) {
  require(root.at("format") == "cowlwright envelope", "it is no envelope");
  require(root.at("version") == 1, "its version is not 1");
  const std::array<std::size_t, 4> counts{rising_numbers(root, "airspeeds").size(),
                                          rising_numbers(root, "altitudes").size(),
                                          root.at("days").size(),
                                          root.at("powers").size()};
  for (const char* key : {"days", "cautions", "assumptions"}) check_texts(root.at(key), key, false);
  check_texts(root.at("notes"), "notes", true);
  for (const Json& power : root.at("powers")) {
    power.at("name").get<std::string>();
    power.at("shaft_power").get<double>();
  }
  for (const char* key : {"study", "variant", "worst"}) root.at(key).get<std::string>();
  root.at("has_values").get<bool>();
  root.at("speeds_are_calibrated").get<bool>();
  const Json& points = root.at("points");
  const std::size_t n = counts[0] * counts[1] * counts[2] * counts[3];
  require(n > 0 && points.size() == n, fmt::format("it has {} points where {} are due", points.size(), n));
  for (std::size_t i = 0; i < n; ++i) check_point(points[i], i, counts);
}

}  // namespace

std::string envelope_fault(const std::string& text) {
  try {
    check(Json::parse(text));
  } catch (const Json::exception& error) {
    return fmt::format("{}. Run cowlwright envelope again", error.what());
  } catch (const Fault& fault) {
    return fmt::format("{}. Run cowlwright envelope again", fault.what());
  }
  return {};
}

EnvelopeFile read_envelope(const std::filesystem::path& folder) {
  const std::filesystem::path file = folder / "envelope.json";
  std::error_code ignored;
  if (!std::filesystem::exists(file, ignored)) return {};
  try {
    std::string text = base::read_text(file);
    const std::string fault = envelope_fault(text);
    if (fault.empty()) return {std::move(text), {}};
    return {{}, fmt::format("envelope.json is not shown: {}", fault)};
  } catch (const std::runtime_error& error) {
    return {{}, fmt::format("envelope.json is not shown: {}", error.what())};
  }
}

}  // namespace cowlwright::post
