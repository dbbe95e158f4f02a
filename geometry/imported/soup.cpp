// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/soup.h"

#include "geometry/base/error.h"
#include "geometry/imported/polygon.h"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <random>

namespace cowlwright::imported {

namespace {

constexpr std::uint32_t empty = std::numeric_limits<std::uint32_t>::max();

/// Steele, Lea and Flood, "Fast splittable pseudorandom number generators" (2014): finaliser of SplitMix64.
std::uint64_t mixed(std::uint64_t x) {
  x = (x ^ (x >> 30U)) * 0xbf58476d1ce4e5b9ULL;
  x = (x ^ (x >> 27U)) * 0x94d049bb133111ebULL;
  return x ^ (x >> 31U);
}

std::string fit_name(std::string_view name) {
  constexpr std::size_t longest = 80;
  std::string fit;
  for (const char c : name.substr(0, longest)) {
    const bool is_plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                          c == '_' || c == '-' || c == '.';
    fit += is_plain ? c : '_';
  }
  return fit.empty() ? "surface" : fit;
}

}  // namespace

// The seed differs from run to run, so that no file can be made whose points all fall into one slot. Numbers
// of points do not depend on it.
PointTable::PointTable() : slots_(1024, empty), seed_((std::uint64_t{std::random_device{}()} << 32U) | 1U) {}

std::size_t PointTable::slot_of(const base::Vec3& p) const {
  std::uint64_t hash = mixed(seed_ ^ std::bit_cast<std::uint64_t>(p.x));
  hash = mixed(hash ^ std::bit_cast<std::uint64_t>(p.y));
  hash = mixed(hash ^ std::bit_cast<std::uint64_t>(p.z));
  return hash & (slots_.size() - 1);
}

void PointTable::grow(std::size_t n_slots, const std::vector<base::Vec3>& points) {
  slots_ = std::vector<std::uint32_t>();
  slots_.resize(n_slots, empty);
  for (std::size_t i = 0; i < points.size(); ++i) {
    std::size_t slot = slot_of(points[i]);
    while (slots_[slot] != empty) slot = (slot + 1) & (slots_.size() - 1);
    slots_[slot] = static_cast<std::uint32_t>(i);
  }
}

void PointTable::reserve(std::size_t n_points) {
  slots_ = std::vector<std::uint32_t>();
  slots_.resize(std::bit_ceil(2 * n_points + 2), empty);
}

std::uint32_t PointTable::index(const base::Vec3& point, std::vector<base::Vec3>& points) {
  if (2 * (points.size() + 1) > slots_.size()) grow(2 * slots_.size(), points);
  std::size_t slot = slot_of(point);
  while (slots_[slot] != empty) {
    if (points[slots_[slot]] == point) return slots_[slot];
    slot = (slot + 1) & (slots_.size() - 1);
  }
  slots_[slot] = static_cast<std::uint32_t>(points.size());
  points.push_back(point);
  return slots_[slot];
}

Soup::Soup(const Placement& placement, const ReadLimits& limits) : placement_(placement), limits_(limits) {}

std::string Soup::add_point(const base::Vec3& in_file, std::uint32_t& index) {
  const base::Vec3 p = place(placement_, in_file);
  if (!(std::isfinite(p.x) && std::isfinite(p.y) && std::isfinite(p.z))) {
    return "a coordinate is not a finite number. Export the file again.";
  }
  const double farthest = std::max({std::abs(p.x), std::abs(p.y), std::abs(p.z)});
  if (!(farthest <= limits_.farthest)) {
    return fmt::format(
        "coordinate = {:.6g} m: must be within {:.6g} m of the origin. Check --unit, or export the file "
        "again.",
        farthest,
        limits_.farthest);
  }
  // Points of the file count, also those that turn out to be equal: readers keep a number for each.
  if (++n_file_points_ > limits_.most_points) {
    return fmt::format("more than {} points, the most that are read. Export a coarser surface.",
                       limits_.most_points);
  }
  index = table_.index(p, surface_.points);
  return {};
}

void Soup::add_triangle(std::uint32_t a, std::uint32_t b, std::uint32_t c) {
  surface_.triangles.push_back({a, b, c});
  surface_.patch.push_back(patch_);
}

std::string Soup::add_polygon(std::span<const std::uint32_t> corners) {
  if (corners.size() < 3 || corners.size() > most_corners) {
    return fmt::format(
        "a face of {} corners: must have 3 to {}. Export triangles.", corners.size(), most_corners);
  }
  if (surface_.triangles.size() + corners.size() - 2 > limits_.most_triangles) {
    return fmt::format("more than {} triangles, the most that are read. Export a coarser surface.",
                       limits_.most_triangles);
  }
  if (surface_.patch_names.empty()) {
    if (std::string fault = use_patch("surface"); !fault.empty()) return fault;
  }
  if (corners.size() == 3) {
    add_triangle(corners[0], corners[1], corners[2]);
    return {};
  }
  ++n_polygons_;
  std::vector<base::Vec3> points;
  points.reserve(corners.size());
  for (const std::uint32_t corner : corners) points.push_back(surface_.points[corner]);
  for (const auto& t : cut_polygon(points)) add_triangle(corners[t[0]], corners[t[1]], corners[t[2]]);
  return {};
}

std::string Soup::use_patch(std::string_view name) {
  const std::string fit = fit_name(name);
  const auto [entry, is_new] =
      patch_of_.try_emplace(fit, static_cast<std::uint16_t>(surface_.patch_names.size()));
  if (is_new) {
    if (surface_.patch_names.size() >= limits_.most_patches) {
      patch_of_.erase(entry);
      return fmt::format("more than {} named solids or groups. Export them under fewer names.",
                         limits_.most_patches);
    }
    surface_.patch_names.push_back(fit);
  }
  patch_ = entry->second;
  return {};
}

void Soup::reserve(std::size_t n_points, std::size_t n_triangles) {
  n_points = std::min(n_points, limits_.most_points);
  n_triangles = std::min(n_triangles, limits_.most_triangles);
  surface_.points.reserve(n_points);
  table_.reserve(n_points);
  surface_.triangles.reserve(n_triangles);
  surface_.patch.reserve(n_triangles);
}

SurfaceFile Soup::finish(const ByteSource& source, std::string format) && {
  if (surface_.triangles.empty()) source.fail("holds no face. Export the surface as triangles.");
  SurfaceFile file;
  file.format = std::move(format);
  file.n_polygons = n_polygons_;
  table_ = PointTable();

  // Unused points out.
  std::vector<std::uint32_t> new_index(surface_.points.size(), empty);
  for (const auto& t : surface_.triangles) {
    for (const std::uint32_t corner : t) new_index[corner] = 0;
  }
  std::uint32_t n_used = 0;
  for (std::size_t i = 0; i < new_index.size(); ++i) {
    if (new_index[i] == empty) {
      if (file.n_unused_points++ == 0) file.first_unused = surface_.points[i];
      continue;
    }
    surface_.points[n_used] = surface_.points[i];
    new_index[i] = n_used++;
  }
  if (file.n_unused_points > 0) {
    for (auto& t : surface_.triangles) {
      for (std::uint32_t& corner : t) corner = new_index[corner];
    }
  }
  surface_.points.resize(n_used);

  // Empty patches out.
  std::vector<std::uint16_t> new_patch(surface_.patch_names.size(), 0);
  for (const std::uint16_t patch : surface_.patch) new_patch[patch] = 1;
  std::vector<std::string> names;
  for (std::size_t i = 0; i < new_patch.size(); ++i) {
    if (new_patch[i] == 0) continue;
    new_patch[i] = static_cast<std::uint16_t>(names.size());
    names.push_back(surface_.patch_names[i]);
  }
  for (std::uint16_t& patch : surface_.patch) patch = new_patch[patch];
  surface_.patch_names = std::move(names);
  file.surface = std::move(surface_);
  return file;
}

}  // namespace cowlwright::imported
