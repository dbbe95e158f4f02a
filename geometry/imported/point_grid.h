// SPDX-License-Identifier: GPL-3.0-or-later
//
// Numbered points by the cell of a regular grid they lie in, to find those nearby.
#pragma once

#include "geometry/base/vec3.h"

#include <cmath>
#include <cstdint>
#include <limits>
#include <unordered_map>
#include <vector>

namespace cowlwright::imported {

class PointGrid {
 public:
  /// @param cell  [m], > 0: how near near() looks at least.
  explicit PointGrid(double cell) : cell_(cell) {}

  void add(const base::Vec3& p, std::uint32_t number) {
    const auto [entry, is_new] = first_.try_emplace(key(index(p.x), index(p.y), index(p.z)), none);
    entries_.push_back({number, entry->second});
    entry->second = static_cast<std::uint32_t>(entries_.size() - 1);
  }

  /// Calls act(number) for every point within a cell's length, and for some beyond.
  template <class Act>
  void near(const base::Vec3& p, Act act) const {
    const std::int64_t x = index(p.x), y = index(p.y), z = index(p.z);
    for (std::int64_t i = x - 1; i <= x + 1; ++i) {
      for (std::int64_t j = y - 1; j <= y + 1; ++j) {
        for (std::int64_t k = z - 1; k <= z + 1; ++k) {
          const auto cell = first_.find(key(i, j, k));
          if (cell == first_.end()) continue;
          for (std::uint32_t e = cell->second; e != none; e = entries_[e].next) act(entries_[e].number);
        }
      }
    }
  }

 private:
  static constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();
  struct Entry {
    std::uint32_t number = 0;
    std::uint32_t next = none;
  };

  std::int64_t index(double x) const { return static_cast<std::int64_t>(std::floor(x / cell_)); }
  /// 21 bits for each axis. Cells 2 million apart share a key: their points are found too and told by
  /// distance.
  static std::uint64_t key(std::int64_t i, std::int64_t j, std::int64_t k) {
    constexpr std::uint64_t mask = (1u << 21) - 1;
    return ((static_cast<std::uint64_t>(i) & mask) << 42) | ((static_cast<std::uint64_t>(j) & mask) << 21) |
           (static_cast<std::uint64_t>(k) & mask);
  }

  double cell_;
  std::unordered_map<std::uint64_t, std::uint32_t> first_;
  std::vector<Entry> entries_;
};

}  // namespace cowlwright::imported
