// SPDX-License-Identifier: GPL-3.0-or-later
//
// Margins over speed, altitude, day and power.
#pragma once

#include "cases/envelope/engine_temperatures.h"

#include <optional>
#include <string>
#include <vector>

namespace cowlwright::envelope {

/// One temperature of a point: the hottest cylinder of a site, or the oil.
struct ShownTemperature {
  std::string id;        ///< "head_bottom", "under_plug", "barrel", "oil"
  std::string name;      ///< "head, at its bottom"
  std::string cylinder;  ///< "l1"; empty for the oil
  Estimate temperature;  ///< [K]
  std::optional<double> limit;
  std::optional<Margin> margin;
};

struct Point {
  std::size_t speed = 0, altitude = 0, day = 0, power = 0;  ///< into the envelope's lists
  network::Condition condition;
  double calibrated_airspeed = 0.0;
  std::string trouble;  ///< why there is no answer; empty: there is one
  bool is_below_stall = false;
  std::vector<std::string> extrapolated;  ///< what lies outside the readings, and how far
  std::vector<ShownTemperature> shown;
  double deck_pressure_difference = 0.0;  ///< [Pa]
  double cooling_air = 0.0;               ///< by the exit [kg/s]

  bool is_flown() const { return trouble.empty() && !is_below_stall; }
  /// What has the smallest margin; null without a margin.
  const ShownTemperature* tightest() const;
};

/// What is drawn and compared: the margin's value, or its low end where there is a band only [K].
double drawn(const Margin& margin);

struct Envelope {
  std::string study, variant;
  temperature::EnvelopeSpec spec;
  std::vector<Point> points;  ///< speed fastest, then altitude, day, power
  std::vector<std::string> assumptions, notes;
  bool has_values = false;  ///< false: bands only
  std::size_t n_readings = 0;

  const Point& at(std::size_t speed, std::size_t altitude, std::size_t day, std::size_t power) const;
  /// The flown point with the smallest margin; null without any.
  const Point* worst() const;
  std::string worst_in_words() const;
};

/// Air of a day at a pressure altitude [m].
base::AirState air_of(const temperature::Day& day, temperature::HotDay rule, double altitude);

/// Calibrated airspeed of a true one [m/s].
double calibrated_from_true(double true_airspeed, const base::AirState& air);

/// @param engine  calibrated in the study's first variant.
/// @throws InputError  when the study has no [envelope].
Envelope solve_envelope(const std::string& study,
                        const EngineTemperatures& engine,
                        const DisturbedModel& model);

/// The files of an envelope as text.
std::string envelope_markdown(const Envelope& envelope);
std::string envelope_csv(const Envelope& envelope);
std::string envelope_json(const Envelope& envelope);
/// Empty when there are fewer than two speeds or altitudes, or no margin.
std::string envelope_svg(const Envelope& envelope);

}  // namespace cowlwright::envelope
