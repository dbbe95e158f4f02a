// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading [propeller] and what [engine] says about the shaft.
#include "cases/propeller/spec.h"
#include "geometry/base/units.h"

#include <fmt/format.h>

#include <array>
#include <numbers>
#include <string_view>

namespace cowlwright::propeller {

namespace {

using base::Dimension;
using base::Range;

constexpr double per_minute = 2.0 * std::numbers::pi / 60.0;
constexpr double hub_share = 0.2;      // of the diameter, when the file is silent; common practice, no source
constexpr double fastest_tip = 300.0;  // m/s

constexpr Range power_range{1e3, 500e3, false, false, "piston engines of light aircraft"};
constexpr Range shaft_range{500.0 * per_minute, 6000.0 * per_minute, false, false, "of the propeller shaft"};
constexpr Range diameter_range{0.6, 3.5, false, false, "propellers of light aircraft"};
constexpr Range hub_range{0.05, 1.5, false, false, "inner end of the blades"};
constexpr Range radius_range{0.0, 1.0, true, false, "r/R"};
constexpr Range chord_range{0.002, 0.4, false, false, "c/D"};
constexpr Range pitch_range{0.05, 4.0, false, false, "p/D"};

std::vector<BladeStation> read_blade(base::SectionReader& reader) {
  const std::size_t n_before = reader.n_complaints();
  const std::vector<double> radius = reader.numbers("blade_radius", radius_range);
  const std::vector<double> chord = reader.numbers("blade_chord", chord_range);
  const std::vector<double> pitch = reader.numbers("blade_pitch", pitch_range);
  const bool any = reader.has("blade_radius") || reader.has("blade_chord") || reader.has("blade_pitch");
  if (!any || reader.n_complaints() > n_before) {
    return default_blade();
  }
  if (radius.size() != chord.size() || radius.size() != pitch.size() || radius.size() < 3) {
    const std::string_view key = reader.has("blade_radius")  ? "blade_radius"
                                 : reader.has("blade_chord") ? "blade_chord"
                                                             : "blade_pitch";
    reader.complain(
        key,
        fmt::format("does not fit: blade_radius, blade_chord and blade_pitch have {}, {} and {} numbers: "
                    "must be equally many, at least 3. Give all three or none.",
                    radius.size(),
                    chord.size(),
                    pitch.size()));
    return default_blade();
  }
  std::vector<BladeStation> blade;
  for (std::size_t i = 0; i < radius.size(); ++i) {
    if (i > 0 && !(radius[i] > radius[i - 1])) {
      reader.complain("blade_radius",
                      fmt::format("is not rising: {:.6g} follows {:.6g}. Order the stations from hub to tip.",
                                  radius[i],
                                  radius[i - 1]));
      return default_blade();
    }
    blade.push_back({radius[i], chord[i], pitch[i]});
  }
  return blade;
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
  spec.blade = read_blade(propeller);
  if (propeller.n_complaints() + engine.n_complaints() == n_before) {
    check_sizes(propeller, spec);
  }
  return spec;
}

}  // namespace cowlwright::propeller
