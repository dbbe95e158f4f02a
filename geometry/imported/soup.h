// SPDX-License-Identifier: GPL-3.0-or-later
//
// Where all readers put what they find: places points, makes equal ones one, cuts polygons into triangles and
// keeps the limits. Internal to this folder.
#pragma once

#include "geometry/imported/byte_source.h"
#include "geometry/imported/read_surface.h"

#include <cstdint>
#include <span>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace cowlwright::imported {

/// Gives equal points equal numbers, in the order of their first coming.
class PointTable {
 public:
  PointTable();
  std::uint32_t index(const base::Vec3& point, std::vector<base::Vec3>& points);
  void reserve(std::size_t n_points);

 private:
  void grow(std::size_t n_slots, const std::vector<base::Vec3>& points);
  std::size_t slot_of(const base::Vec3& point) const;

  std::vector<std::uint32_t> slots_;
  std::uint64_t seed_;
};

class Soup {
 public:
  Soup(const Placement& placement, const ReadLimits& limits);

  /// Corners a polygon may have: its cutting takes time with their square, at worst with their cube.
  static constexpr std::size_t most_corners = 1000;

  /// Empty when all is well, else the rule that was broken, for the reader to say where.
  [[nodiscard]] std::string add_point(const base::Vec3& in_file, std::uint32_t& index);
  /// @param corners  indices that add_point() gave, 3 to most_corners of them.
  [[nodiscard]] std::string add_polygon(std::span<const std::uint32_t> corners);
  /// Triangles that follow belong to this patch; an earlier one of the same name is gone on with.
  [[nodiscard]] std::string use_patch(std::string_view name);
  /// Room for so many, within the limits; checked against the file's size by the caller.
  void reserve(std::size_t n_points, std::size_t n_triangles);

  std::size_t n_triangles() const { return surface_.triangles.size(); }
  /// Drops unused points and empty patches. @throws InputError naming the file when there is no triangle.
  SurfaceFile finish(const ByteSource& source, std::string format) &&;

 private:
  void add_triangle(std::uint32_t a, std::uint32_t b, std::uint32_t c);

  Placement placement_;
  ReadLimits limits_;
  shape::Surface surface_{};
  PointTable table_{};
  std::unordered_map<std::string, std::uint16_t> patch_of_{};
  std::uint16_t patch_ = 0;
  std::size_t n_polygons_ = 0;
  std::size_t n_file_points_ = 0;
};

}  // namespace cowlwright::imported
