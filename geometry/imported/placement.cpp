// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/placement.h"

#include "geometry/base/error.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <charconv>
#include <cmath>
#include <sstream>
#include <utility>

namespace cowlwright::imported {

namespace {

using base::Vec3;

const std::vector<std::pair<std::string, double>>& unit_table() {
  static const std::vector<std::pair<std::string, double>> table{
      {"mm", 1e-3}, {"in", 0.0254}, {"m", 1.0}, {"cm", 1e-2}, {"ft", 0.3048}};
  return table;
}

std::vector<std::string> words_of(const std::string& text) {
  std::istringstream stream(text);
  std::vector<std::string> words;
  for (std::string word; stream >> word;) words.push_back(word);
  return words;
}

[[noreturn]] void refuse_axes(const std::string& axes, std::string_view rule) {
  throw base::InputError(fmt::format(
      "--axes = \"{}\": {} Give the file's axes that point aft, to the pilot's right and up, such as "
      "--axes=\"x y z\" or --axes=\"-x y -z\".",
      axes,
      rule));
}

Vec3 direction_of(const std::string& word, const std::string& axes) {
  const bool has_sign = word.starts_with('-') || word.starts_with('+');
  const std::string letter = has_sign ? word.substr(1) : word;
  const double sign = word.starts_with('-') ? -1.0 : 1.0;
  if (letter == "x") return {sign, 0, 0};
  if (letter == "y") return {0, sign, 0};
  if (letter == "z") return {0, 0, sign};
  refuse_axes(axes, fmt::format("\"{}\" must be x, y or z, with a sign if need be.", word));
}

std::array<Vec3, 3> read_axes(const std::string& axes) {
  const std::vector<std::string> words = words_of(axes);
  if (words.size() != 3) refuse_axes(axes, fmt::format("{} words: must be three.", words.size()));
  std::array<Vec3, 3> rows{};
  for (std::size_t i = 0; i < 3; ++i) rows[i] = direction_of(words[i], axes);
  const double determinant = dot(rows[0], cross(rows[1], rows[2]));
  if (determinant == 0.0) refuse_axes(axes, "each of x, y and z must stand there once.");
  if (determinant < 0.0) {
    refuse_axes(
        axes,
        fmt::format("these would mirror the surface, left for right. Turn one sign, as in \"{} {}{} {}\".",
                    words[0],
                    words[1].starts_with('-') ? "" : "-",
                    words[1].starts_with('-') || words[1].starts_with('+') ? words[1].substr(1) : words[1],
                    words[2]));
  }
  return rows;
}

Vec3 read_origin(const std::string& origin) {
  const std::vector<std::string> words = words_of(origin);
  std::array<double, 3> value{};
  bool is_sound = words.size() == 3;
  for (std::size_t i = 0; is_sound && i < 3; ++i) {
    const char* end = words[i].data() + words[i].size();
    const auto [stop, error] =
        std::from_chars(words[i].data() + (words[i].starts_with('+') ? 1 : 0), end, value[i]);
    is_sound = error == std::errc() && stop == end && std::isfinite(value[i]);
  }
  if (!is_sound) {
    throw base::InputError(fmt::format(
        "--origin = \"{}\": must be three numbers without a unit: where the crankshaft line meets the "
        "propeller plane, in the file's own axes and units, such as --origin=\"0 0 0\".",
        origin));
  }
  return {value[0], value[1], value[2]};
}

}  // namespace

std::vector<std::string> file_units() {
  std::vector<std::string> units;
  for (const auto& [name, length] : unit_table()) units.push_back(name);
  return units;
}

double file_unit_length(const std::string& unit) {
  for (const auto& [name, length] : unit_table()) {
    if (name == unit) return length;
  }
  throw base::InputError(
      fmt::format("--unit = \"{}\": must be one of {}. Give the unit the file was drawn in.",
                  unit,
                  fmt::join(file_units(), ", ")));
}

Placement read_placement(const std::string& unit, const std::string& axes, const std::string& origin) {
  return {.unit = file_unit_length(unit), .axes = read_axes(axes), .origin = read_origin(origin)};
}

base::Vec3 place(const Placement& placement, const base::Vec3& in_file) {
  const Vec3 p = in_file - placement.origin;
  // Adding zero turns -0 into 0: equal numbers then have equal bits.
  return {placement.unit * dot(placement.axes[0], p) + 0.0,
          placement.unit * dot(placement.axes[1], p) + 0.0,
          placement.unit * dot(placement.axes[2], p) + 0.0};
}

}  // namespace cowlwright::imported
