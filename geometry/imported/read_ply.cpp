// SPDX-License-Identifier: GPL-3.0-or-later
//
// PLY: the elements `vertex` (x, y, z) and `face` (vertex_indices or vertex_index), in any order but points
// first; all other elements and properties are passed over.
#include "geometry/imported/ply_header.h"
#include "geometry/imported/readers.h"
#include "geometry/imported/soup.h"
#include "geometry/imported/tokens.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>

namespace cowlwright::imported {

namespace {

constexpr std::size_t none = static_cast<std::size_t>(-1);

template <typename Bits>
Bits bits_of(const char* bytes, PlyForm form) {
  Bits bits = 0;
  for (std::size_t i = 0; i < sizeof(Bits); ++i) {
    const std::size_t at = form == PlyForm::LittleEndian ? sizeof(Bits) - 1 - i : i;
    bits = static_cast<Bits>(static_cast<std::uint64_t>(bits) << 8U | static_cast<unsigned char>(bytes[at]));
  }
  return bits;
}

/// Every value of the format fits a double exactly.
double value_of(const char* bytes, PlyType type, PlyForm form) {
  switch (type) {
    case PlyType::Int8:
      return static_cast<signed char>(*bytes);
    case PlyType::UInt8:
      return static_cast<unsigned char>(*bytes);
    case PlyType::Int16:
      return static_cast<std::int16_t>(bits_of<std::uint16_t>(bytes, form));
    case PlyType::UInt16:
      return bits_of<std::uint16_t>(bytes, form);
    case PlyType::Int32:
      return static_cast<std::int32_t>(bits_of<std::uint32_t>(bytes, form));
    case PlyType::UInt32:
      return bits_of<std::uint32_t>(bytes, form);
    case PlyType::Float32:
      return std::bit_cast<float>(bits_of<std::uint32_t>(bytes, form));
    case PlyType::Float64:
      return std::bit_cast<double>(bits_of<std::uint64_t>(bytes, form));
  }
  return NAN;
}

std::size_t position(const PlyElement& element, std::string_view name, bool is_list) {
  for (std::size_t i = 0; i < element.properties.size(); ++i) {
    const PlyProperty& property = element.properties[i];
    if (property.name == name && property.count_type.has_value() == is_list) return i;
  }
  return none;
}

class PlyReader {
 public:
  PlyReader(ByteSource& source, const Placement& placement, const ReadLimits& limits)
      : source_(&source), limits_(limits), header_(read_ply_header(source)), soup_(placement, limits) {}

  SurfaceFile read() && {
    reserve();
    for (const PlyElement& element : header_.elements) {
      if (element.name == "vertex") {
        read_points(element);
      } else if (element.name == "face") {
        read_faces(element);
      } else {
        if (element.name == "tristrips" && element.count > 0)
          fail("strips of triangles are not read. Export faces.");
        for (std::uint64_t i = 0; i < element.count; ++i) read_record(element, none);
      }
    }
    constexpr std::array<std::string_view, 3> names{
        "ASCII PLY", "binary PLY, little endian", "binary PLY, big endian"};
    return std::move(soup_).finish(*source_, std::string(names[static_cast<std::size_t>(header_.form)]));
  }

 private:
  bool is_text() const { return header_.form == PlyForm::Ascii; }
  [[noreturn]] void fail(std::string_view what) const {
    if (is_text()) source_->fail_at_line(what);
    source_->fail_at_byte(what);
  }

  void reserve() {
    std::uint64_t n_points = 0;
    std::uint64_t n_faces = 0;
    for (const PlyElement& element : header_.elements) {
      const bool is_point = element.name == "vertex";
      const std::uint64_t most = is_point ? limits_.most_points : limits_.most_triangles;
      if ((is_point || element.name == "face") && element.count > most) {
        fail(fmt::format("{} of {} announced: at most {} are read. Export a coarser surface.",
                         element.count,
                         in_quotes(element.name),
                         most));
      }
      if (is_point) n_points = std::max(n_points, element.count);
      if (element.name == "face") n_faces = std::max(n_faces, element.count);
    }
    soup_.reserve(n_points, n_faces);
  }

  void read_points(const PlyElement& element) {
    const std::array<std::size_t, 3> at{
        position(element, "x", false), position(element, "y", false), position(element, "z", false)};
    if (std::find(at.begin(), at.end(), none) != at.end()) {
      fail("the element \"vertex\" must have the properties x, y and z. Export the file again.");
    }
    index_.reserve(index_.size() + element.count);
    for (std::uint64_t i = 0; i < element.count; ++i) {
      read_record(element, none);
      const base::Vec3 p{scalars_[at[0]], scalars_[at[1]], scalars_[at[2]]};
      index_.emplace_back();
      if (const std::string fault = soup_.add_point(p, index_.back()); !fault.empty()) {
        fail(fmt::format("point {}: {}", i, fault));
      }
    }
  }

  void read_faces(const PlyElement& element) {
    std::size_t list = position(element, "vertex_indices", true);
    if (list == none) list = position(element, "vertex_index", true);
    if (list == none) fail("the element \"face\" must have the list vertex_indices. Export the file again.");
    std::vector<std::uint32_t> corners;
    for (std::uint64_t i = 0; i < element.count; ++i) {
      read_record(element, list);
      corners.clear();
      for (const double value : list_) {
        if (!(value >= 0.0 && value < static_cast<double>(index_.size())) || value != std::floor(value)) {
          fail(fmt::format(
              "face {}, corner {}: must be 0 to {}, one of the points above. The file is damaged; export it "
              "again.",
              i,
              value,
              static_cast<std::int64_t>(index_.size()) - 1));
        }
        corners.push_back(index_[static_cast<std::size_t>(value)]);
      }
      if (const std::string fault = soup_.add_polygon(corners); !fault.empty())
        fail(fmt::format("face {}: {}", i, fault));
    }
  }

  /// One record into scalars_ and, for the property `wanted_list`, list_.
  void read_record(const PlyElement& element, std::size_t wanted_list) {
    scalars_.assign(element.properties.size(), 0.0);
    if (is_text()) {
      std::string_view line;
      if (!next_filled_line(*source_, 0, line)) end_too_early(element);
      tokens_ = Tokens(line);
    }
    for (std::size_t i = 0; i < element.properties.size(); ++i) {
      const PlyProperty& property = element.properties[i];
      if (property.count_type) {
        read_list(property, i == wanted_list, element);
      } else {
        scalars_[i] = read_value(property.type, element);
      }
    }
    if (is_text() && !tokens_.is_empty()) {
      fail(fmt::format("{} is more than the header announced for an element {}. Export the file again.",
                       in_quotes(tokens_.rest()),
                       in_quotes(element.name)));
    }
  }

  void read_list(const PlyProperty& property, bool is_wanted, const PlyElement& element) {
    const double n = read_value(*property.count_type, element);
    if (!(n >= 0.0) || n != std::floor(n)) {
      fail(fmt::format("a list of {} entries: must be a whole number >= 0. Export the file again.", n));
    }
    if (is_wanted && !(n >= 3.0 && n <= static_cast<double>(Soup::most_corners))) {
      fail(fmt::format("a face of {} corners: must have 3 to {}. Export triangles.", n, Soup::most_corners));
    }
    if (n * (is_text() ? 1.0 : static_cast<double>(size_of(property.type))) >
        static_cast<double>(list_bytes())) {
      fail(fmt::format(
          "a list of {} entries is longer than what follows. The file is damaged; export it again.", n));
    }
    const auto n_entries = static_cast<std::uint64_t>(n);
    if (is_wanted) list_.clear();
    if (!is_wanted && !is_text()) {
      if (!source_->skip_far(n_entries * size_of(property.type))) end_too_early(element);
      return;
    }
    for (std::uint64_t i = 0; i < n_entries; ++i) {
      const double value = read_value(property.type, element);
      if (is_wanted) list_.push_back(value);
    }
  }

  std::uint64_t list_bytes() const { return is_text() ? tokens_.rest().size() : source_->remaining(); }

  double read_value(PlyType type, const PlyElement& element) {
    if (is_text()) {
      const std::string_view word = tokens_.next();
      double value = 0;
      if (word.empty()) {
        fail(fmt::format("fewer numbers than the header announced for an element {}. Export the file again.",
                         in_quotes(element.name)));
      }
      if (!parse_real(word, value)) {
        fail(fmt::format("{} must be a number. Export the file again.", in_quotes(word)));
      }
      return value;
    }
    const std::size_t n = size_of(type);
    const std::string_view bytes = source_->peek(n);
    if (bytes.size() < n) end_too_early(element);
    const double value = value_of(bytes.data(), type, header_.form);
    source_->skip(n);
    return value;
  }

  [[noreturn]] void end_too_early(const PlyElement& element) const {
    fail(fmt::format("the file ends before the last of {} elements {}. It was cut short; export it again.",
                     element.count,
                     in_quotes(element.name)));
  }

  ByteSource* source_;
  ReadLimits limits_;
  PlyHeader header_;
  Soup soup_;
  Tokens tokens_{{}};
  std::vector<double> scalars_{};
  std::vector<double> list_{};
  std::vector<std::uint32_t> index_{};  ///< of each point of the file
};

}  // namespace

SurfaceFile read_ply(ByteSource& source, const Placement& placement, const ReadLimits& limits) {
  return PlyReader(source, placement, limits).read();
}

}  // namespace cowlwright::imported
