// SPDX-License-Identifier: GPL-3.0-or-later
//
// Quantising, laying out and deflating.
#include "post/pictures/scene.h"

#include "geometry/base/text_file.h"
#include "post/pictures/deflated.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>

namespace cowlwright::post {

namespace {

using Json = nlohmann::ordered_json;

constexpr double largest_code = 65535.0;
constexpr int field_levels = 4096;  // finer than a colour bar can show; the low bits stay regular and deflate

/// The arrays of a scene one behind the other.
class Bytes {
 public:
  template <typename Number>
  std::size_t add(const std::vector<Number>& numbers) {
    while (text_.size() % sizeof(Number) != 0) {
      text_.push_back('\0');
    }
    const std::size_t offset = text_.size();
    for (const Number number : numbers) {
      for (std::size_t byte = 0; byte < sizeof(Number); ++byte) {
        text_.push_back(static_cast<char>((number >> (8 * byte)) & 0xFF));
      }
    }
    return offset;
  }
  const std::string& text() const { return text_; }

 private:
  std::string text_;
};

/// Each axis between its own bounds, written x, y, z by turns.
Json pack_points(const ScenePiece& piece, Bytes& bytes) {
  const std::size_t n = piece.points.size();
  std::vector<std::uint16_t> codes(3 * n);
  Json low = Json::array();
  Json high = Json::array();
  std::vector<float> axis(n);
  for (std::size_t i = 0; i < 3; ++i) {
    for (std::size_t point = 0; point < n; ++point) {
      axis[point] = piece.points[point][i];
    }
    const Quantised quantised = quantise(axis);
    low.push_back(quantised.low);
    high.push_back(quantised.high);
    for (std::size_t point = 0; point < n; ++point) {
      codes[3 * point + i] = quantised.codes[point];
    }
  }
  return {{"offset", bytes.add(codes)}, {"type", "uint16"}, {"min", low}, {"max", high}};
}

std::vector<std::uint32_t> cell_numbers(const ScenePiece& piece) {
  std::vector<std::uint32_t> numbers;
  for (const std::array<std::uint32_t, 3>& triangle : piece.triangles) {
    numbers.insert(numbers.end(), triangle.begin(), triangle.end());
  }
  for (const std::vector<std::uint32_t>& line : piece.lines) {
    numbers.push_back(static_cast<std::uint32_t>(line.size()));
    numbers.insert(numbers.end(), line.begin(), line.end());
  }
  return numbers;
}

Json pack_cells(const ScenePiece& piece, Bytes& bytes) {
  const std::vector<std::uint32_t> numbers = cell_numbers(piece);
  const bool is_short = piece.points.size() <= std::numeric_limits<std::uint16_t>::max();
  std::size_t offset = 0;
  if (is_short) {
    offset = bytes.add(std::vector<std::uint16_t>(numbers.begin(), numbers.end()));
  } else {
    offset = bytes.add(numbers);
  }
  return {{"offset", offset}, {"type", is_short ? "uint16" : "uint32"}, {"count", numbers.size()}};
}

void pack_values(const ScenePiece::Values& values, Bytes& bytes, Json& fields) {
  const Quantised quantised = quantise(values.numbers, field_levels);
  const std::size_t offset = bytes.add(quantised.codes);
  for (const ScenePiece::Field& name : values.names) {
    fields.push_back({{"id", name.id},
                      {"title", name.title},
                      {"unit", name.unit},
                      {"offset", offset},
                      {"type", "uint16"},
                      {"min", name.offset + name.factor * quantised.low},
                      {"max", name.offset + name.factor * quantised.high},
                      {"deviation", name.factor * values.deviation}});
  }
}

double position_step(const Json& points) {
  double step = 0.0;
  for (std::size_t i = 0; i < 3; ++i) {
    step = std::max(step, (points["max"][i].get<double>() - points["min"][i].get<double>()) / largest_code);
  }
  return step;
}

}  // namespace

Quantised quantise(std::span<const float> values, int n_levels) {
  Quantised quantised;
  bool is_first = true;
  for (const float value : values) {
    if (std::isfinite(value)) {
      quantised.low = is_first ? value : std::min(quantised.low, static_cast<double>(value));
      quantised.high = is_first ? value : std::max(quantised.high, static_cast<double>(value));
      is_first = false;
    }
  }
  const double width = quantised.high - quantised.low;
  const double steps = n_levels - 1;
  quantised.codes.reserve(values.size());
  for (const float value : values) {
    const double share = std::isfinite(value) && width > 0.0 ? (value - quantised.low) / width : 0.0;
    const double level = std::round(share * steps) / steps;
    quantised.codes.push_back(static_cast<std::uint16_t>(std::lround(level * largest_code)));
  }
  return quantised;
}

double quantisation_error(const Quantised& quantised, int n_levels) {
  // Half a level, and half a code since a level need not be a whole code.
  const double width = quantised.high - quantised.low;
  return 0.5 * width / (n_levels - 1) + 0.5 * width / largest_code;
}

double value_of(const Quantised& quantised, std::size_t at) {
  return quantised.low + quantised.codes.at(at) / largest_code * (quantised.high - quantised.low);
}

PackedScene pack(const Scene& scene) {
  Bytes bytes;
  Json pieces = Json::array();
  double position = 0.0;
  for (const ScenePiece& piece : scene.pieces) {
    Json record{{"id", piece.id},
                {"title", piece.title},
                {"kind", piece.kind},
                {"shows", piece.shows},
                {"n_points", piece.points.size()},
                {"n_cells", piece.lines.empty() ? piece.triangles.size() : piece.lines.size()},
                {"cell_kind", piece.lines.empty() ? "triangles" : "lines"}};
    record["points"] = pack_points(piece, bytes);
    record["cells"] = pack_cells(piece, bytes);
    record["fields"] = Json::array();
    for (const ScenePiece::Values& values : piece.values) {
      pack_values(values, bytes, record["fields"]);
    }
    position = std::max(position, position_step(record["points"]));
    pieces.push_back(std::move(record));
  }
  const Json header{{"format", "cowlwright scene"},
                    {"version", 1},
                    {"tolerance", scene.tolerance},
                    {"quantisation", {{"position", position}}},
                    {"pieces", std::move(pieces)},
                    {"bytes", bytes.text().size()}};
  return {header.dump(1) + "\n", deflated(bytes.text()), bytes.text().size()};
}

void write_scene(const PackedScene& scene, const std::filesystem::path& folder) {
  base::write_text(folder / scene_bytes_name, scene.bytes);
  base::write_text(folder / scene_header_name, scene.header);
}

}  // namespace cowlwright::post
