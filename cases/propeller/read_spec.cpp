// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading [propeller] and what [engine] says about the shaft.
#include "cases/propeller/spec.h"
#include "geometry/base/units.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <numbers>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace cowlwright::propeller {

namespace {

using base::Dimension;
using base::Range;

constexpr double per_minute = 2.0 * std::numbers::pi / 60.0;
constexpr double degree = std::numbers::pi / 180.0;
constexpr double hub_share = 0.2;      // of the diameter, when the file is silent; common practice, no source
constexpr double fastest_tip = 300.0;  // m/s

constexpr Range power_range{1e3, 500e3, false, false, "piston engines of light aircraft"};
constexpr Range shaft_range{500.0 * per_minute, 6000.0 * per_minute, false, false, "of the propeller shaft"};
constexpr Range diameter_range{0.6, 3.5, false, false, "propellers of light aircraft"};
constexpr Range hub_range{0.05, 1.5, false, false, "inner end of the blades"};
constexpr Range radius_range{0.0, 1.0, true, false, "r/R"};
constexpr Range chord_range{0.002, 0.4, false, false, "c/D"};
constexpr Range pitch_ratio_range{0.05, 4.0, false, false, "p/D"};
constexpr Range pitch_range{0.05, 8.0, false, false, "way of a blade in one turn without slip"};
// Beyond 60 deg a section is a plate, whatever its shape.
constexpr Range polar_angle_range{
    -60.0 * degree, 60.0 * degree, false, false, "to the face pitch is measured from"};
constexpr Range lift_range{-3.0, 3.0, false, false, "coefficient"};
constexpr Range drag_range{0.0, 3.0, true, false, "coefficient; no section is without drag"};
constexpr double shortest_polar = 10.0;  // deg; what a blade works over from hub to tip

/// One list of the study; the lists of a table are read side by side.
struct Column {
  std::string_view key;
  std::span<const double> values;
};

/// Columns must be equally long and the first one rising; complains and gives false otherwise.
bool is_table(base::SectionReader& reader, std::span<const Column> columns, std::string_view how_to_order) {
  const std::span<const double> first = columns.front().values;
  const bool is_even = std::all_of(
      columns.begin(), columns.end(), [&](const Column& c) { return c.values.size() == first.size(); });
  if (!is_even || first.size() < 3) {
    std::string keys;
    std::string counts;
    for (const Column& column : columns) {
      const std::string_view joint = &column == &columns.front()  ? ""
                                     : &column == &columns.back() ? " and "
                                                                  : ", ";
      keys += fmt::format("{}{}", joint, column.key);
      counts += fmt::format("{}{}", joint, column.values.size());
    }
    const auto given =
        std::find_if(columns.begin(), columns.end(), [&](const Column& c) { return reader.has(c.key); });
    reader.complain(
        given->key,
        fmt::format("does not fit: {} have {} numbers: must be equally many, at least 3. Give all "
                    "of them or none.",
                    keys,
                    counts));
    return false;
  }
  const auto fall =
      std::adjacent_find(first.begin(), first.end(), [](double a, double b) { return !(b > a); });
  if (fall != first.end()) {
    reader.complain(
        columns.front().key,
        fmt::format("is not rising: {:.6g} follows {:.6g}. {}.", *(fall + 1), *fall, how_to_order));
    return false;
  }
  return true;
}

/// Pitch over diameter that one length of `pitch` means, checked like the numbers of blade_pitch.
double pitch_ratio(base::SectionReader& reader, double pitch, double diameter) {
  const double ratio = pitch / diameter;
  if (!(ratio >= pitch_ratio_range.low && ratio <= pitch_ratio_range.high)) {
    reader.complain(
        "pitch",
        fmt::format("= {:.3f} m is {:.3g} times diameter ({:.3f} m): must be {} to {} times. Check "
                    "both.",
                    pitch,
                    ratio,
                    diameter,
                    pitch_ratio_range.low,
                    pitch_ratio_range.high));
  }
  return ratio;
}

/// Plan form and pitch. The key `pitch` stands for the list blade_pitch, alike at every radius.
std::vector<BladeStation> read_blade(base::SectionReader& reader, double diameter) {
  const std::size_t n_before = reader.n_complaints();
  const std::vector<double> radius = reader.numbers("blade_radius", radius_range);
  const std::vector<double> chord = reader.numbers("blade_chord", chord_range);
  const std::vector<double> pitch = reader.numbers("blade_pitch", pitch_ratio_range);
  const std::optional<double> one_pitch = reader.optional_quantity("pitch", Dimension::Length, pitch_range);
  if (one_pitch && reader.has("blade_pitch")) {
    reader.complain("pitch", "stands beside blade_pitch: give exactly one of the two. Take one out.");
  }
  std::vector<Column> columns{{"blade_radius", radius}, {"blade_chord", chord}};
  if (!one_pitch) columns.push_back({"blade_pitch", pitch});
  const bool any =
      std::any_of(columns.begin(), columns.end(), [&](const Column& c) { return reader.has(c.key); });
  std::vector<BladeStation> blade = default_blade();
  if (reader.n_complaints() > n_before ||
      (any && !is_table(reader, columns, "Order the stations from hub to tip"))) {
    return blade;
  }
  if (any) {
    blade.clear();
    for (std::size_t i = 0; i < radius.size(); ++i) {
      blade.push_back({radius[i], chord[i], one_pitch ? 0.0 : pitch[i]});
    }
  }
  if (one_pitch) {
    const double ratio = pitch_ratio(reader, *one_pitch, diameter);
    for (BladeStation& station : blade) station.pitch_ratio = ratio;
  }
  return blade;
}

std::vector<PolarPoint> read_polar(base::SectionReader& reader) {
  const std::size_t n_before = reader.n_complaints();
  const std::vector<double> angle = reader.quantities("polar_angle", Dimension::Angle, polar_angle_range);
  const std::vector<double> lift = reader.numbers("polar_lift", lift_range);
  const std::vector<double> drag = reader.numbers("polar_drag", drag_range);
  if ((angle.empty() && lift.empty() && drag.empty()) || reader.n_complaints() > n_before) {
    return {};
  }
  std::vector<double> in_degrees;
  for (const double a : angle) in_degrees.push_back(a / degree);
  const std::array<Column, 3> columns{
      {{"polar_angle", in_degrees}, {"polar_lift", lift}, {"polar_drag", drag}}};
  if (!is_table(reader, columns, "Order the angles from low to high")) {
    return {};
  }
  const double span = in_degrees.back() - in_degrees.front();
  if (!(span >= shortest_polar)) {
    reader.complain(
        "polar_angle",
        fmt::format("spans {:.3g} deg: must be at least {:.0f} deg, or most of the blade would work "
                    "outside it. Add angles.",
                    span,
                    shortest_polar));
    return {};
  }
  std::vector<PolarPoint> polar;
  for (std::size_t i = 0; i < angle.size(); ++i) {
    polar.push_back({angle[i], lift[i], drag[i]});
  }
  return polar;
}

void check_sizes(base::SectionReader& reader, const PropellerSpec& spec) {
  const double tip_speed = 0.5 * spec.diameter * spec.rotational_speed;
  if (!(tip_speed <= fastest_tip)) {
    reader.complain(
        "diameter",
        fmt::format("= {:.3f} m at {:.0f} rpm gives a blade tip speed of {:.0f} m/s: must be at most {:.0f} "
                    "m/s, because the blade data know no shock waves. Lower diameter or "
                    "engine.rotational_speed.",
                    spec.diameter,
                    spec.rotational_speed / per_minute,
                    tip_speed,
                    fastest_tip));
  }
  if (!(spec.hub_diameter <= 0.6 * spec.diameter)) {
    reader.complain(
        "hub_diameter",
        fmt::format("= {:.3f} m: must be at most 60 % of diameter ({:.3f} m), or too little blade is "
                    "left. Lower it.",
                    spec.hub_diameter,
                    spec.diameter));
  }
}

}  // namespace

PropellerSpec read_propeller_spec(base::SectionReader& propeller,
                                  base::SectionReader& engine,
                                  base::Complaints& /*complaints*/) {
  static constexpr std::array<std::string_view, 3> kinds{"blades", "uniform_disk", "none"};
  static constexpr std::array<std::string_view, 2> rotations{"clockwise", "anticlockwise"};
  static constexpr std::array<std::string_view, 2> pitch_modes{"to_power", "fixed"};
  const std::size_t n_before = propeller.n_complaints() + engine.n_complaints();
  PropellerSpec spec;
  const std::size_t kind = propeller.choice_or("kind", kinds, 0);
  spec.present = kind != 2;
  spec.is_uniform = kind == 1;
  spec.shaft_power = engine.quantity("shaft_power", Dimension::Power, power_range);
  spec.rotational_speed = engine.quantity("rotational_speed", Dimension::RotationalSpeed, shaft_range);

  // Without a propeller its keys may still stand in the file, for studies that vary `kind`; they are checked
  // too.
  if (spec.present || propeller.has("diameter")) {
    spec.diameter = propeller.quantity("diameter", Dimension::Length, diameter_range);
  }
  if (spec.present || propeller.has("blades")) {
    spec.n_blades = static_cast<int>(propeller.integer("blades", 2, 6));
  }
  spec.hub_diameter =
      propeller.quantity_or("hub_diameter", Dimension::Length, hub_range, hub_share * spec.diameter);
  spec.rotation =
      propeller.choice_or("rotation", rotations, 0) == 0 ? Rotation::Clockwise : Rotation::Anticlockwise;
  spec.blade = read_blade(propeller, spec.diameter);
  spec.polar = read_polar(propeller);
  spec.pitch_mode =
      propeller.choice_or("pitch_mode", pitch_modes, 0) == 0 ? PitchMode::ToPower : PitchMode::Fixed;
  if (spec.pitch_mode == PitchMode::Fixed && !propeller.has("pitch") && !propeller.has("blade_pitch")) {
    propeller.complain(
        "pitch_mode",
        "= \"fixed\" needs a pitch: the default blade's is invented. Add pitch = \"1.45 m\" or a "
        "blade table.");
  }
  if (propeller.n_complaints() + engine.n_complaints() == n_before) {
    check_sizes(propeller, spec);
  }
  return spec;
}

}  // namespace cowlwright::propeller
