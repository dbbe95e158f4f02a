// SPDX-License-Identifier: GPL-3.0-or-later
//
// What the page's 3-D view shows, packed small: positions and fields as 16-bit numbers between their bounds,
// all arrays one behind the other, deflated as one stream (zlib). The header says where each array is.
#pragma once

#include <array>
#include <cstdint>
#include <filesystem>
#include <span>
#include <string>
#include <vector>

namespace cowlwright::post {

/// Values as 16-bit numbers: value = low + code / 65535 * (high - low).
struct Quantised {
  double low = 0.0;
  double high = 0.0;
  std::vector<std::uint16_t> codes;
};

/// `n_levels` (2..65536) equally spaced values between the lowest and the highest; fewer levels deflate
/// better. No value is off by more than quantisation_error(). Values that are not finite take the lowest
/// code.
Quantised quantise(std::span<const float> values, int n_levels = 65536);
double quantisation_error(const Quantised& quantised, int n_levels = 65536);
double value_of(const Quantised& quantised, std::size_t at);

/// A field's other name and unit: the same numbers, offset + factor * value.
struct ScenePiece {
  struct Field {
    std::string id;
    std::string title;
    std::string unit;
    double factor = 1.0;
    double offset = 0.0;
  };
  /// Numbers at points and what they are called; all names of one array share its place in the file.
  struct Values {
    std::vector<float> numbers;
    std::vector<Field> names;
    double deviation = 0.0;  ///< largest change by thinning out, in the unit of the numbers
  };

  std::string id;
  std::string title;
  std::string kind;   ///< "surface", "slice" or "streamlines"
  std::string shows;  ///< id of the field it is coloured by at first
  std::vector<std::array<float, 3>> points{};
  std::vector<std::array<std::uint32_t, 3>> triangles{};
  std::vector<std::vector<std::uint32_t>> lines{};  ///< instead of triangles
  std::vector<Values> values{};
};

struct Scene {
  std::vector<ScenePiece> pieces;
  double tolerance = 0.0;  ///< measured: largest distance of a thinned-out surface to the full one [m]
};

struct PackedScene {
  std::string header;  ///< JSON
  std::string bytes;   ///< deflated
  std::size_t n_raw_bytes = 0;
};

/// Format: {"format":"cowlwright scene","version":1,...}; offsets are bytes into the inflated stream, all
/// numbers little endian.
PackedScene pack(const Scene& scene);

inline constexpr const char* scene_header_name = "scene.json";
inline constexpr const char* scene_bytes_name = "scene.bin";

/// @throws ExternalError  when a file cannot be written.
void write_scene(const PackedScene& scene, const std::filesystem::path& folder);

}  // namespace cowlwright::post
