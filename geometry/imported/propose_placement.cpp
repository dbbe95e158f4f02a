// SPDX-License-Identifier: GPL-3.0-or-later
//
// What unit and axes a file was probably drawn in, from its size, its symmetry and its taper. For the user to
// judge.
#include "geometry/imported/read_surface.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

namespace cowlwright::imported {

namespace {

using base::Vec3;
using Three = std::array<double, 3>;

Three numbers(const Vec3& v) {
  return {v.x, v.y, v.z};
}

/// Cowls of light aircraft are about this long or wide [m]; common practice, no source.
constexpr double usual_extent = 1.0;

void propose_unit(double extent, PlacementProposal& proposal) {
  double best = 1e300;
  std::string sizes;
  for (const std::string& unit : file_units()) {
    const double size = extent * file_unit_length(unit);
    const double misfit = std::abs(std::log(std::max(size, 1e-300) / usual_extent));
    if (misfit < best) {
      best = misfit;
      proposal.unit = unit;
    }
    sizes += fmt::format("{}{:.3g} m if drawn in {}", sizes.empty() ? "" : ", ", size, unit);
  }
  proposal.unit_reason =
      fmt::format("its largest extent is {:.6g} file units: {}; a cowl is about a metre", extent, sizes);
}

/// Area of the surface in the cells of a grid over its bounding box.
class AreaGrid {
 public:
  AreaGrid(const shape::Surface& surface, const shape::Box& box) : area_(n * n * n, 0.0) {
    for (const auto& t : surface.triangles) {
      const Vec3& a = surface.points[t[0]];
      const Vec3& b = surface.points[t[1]];
      const Vec3& c = surface.points[t[2]];
      const Three middle = numbers((1.0 / 3.0) * (a + b + c) - box.low);
      const Three size = numbers(box.high - box.low);
      std::array<std::size_t, 3> cell{};
      for (std::size_t k = 0; k < 3; ++k) {
        const double share = size[k] > 0 ? middle[k] / size[k] : 0.0;
        cell[k] = static_cast<std::size_t>(
            std::clamp(share * static_cast<double>(n), 0.0, static_cast<double>(n - 1)));
      }
      area_[index(cell)] += 0.5 * norm(cross(b - a, c - a));
    }
  }

  /// Share of the area that has no counterpart on the other side of the middle plane across one axis: 0 to 1.
  double asymmetry(std::size_t axis) const {
    double unmatched = 0;
    double total = 0;
    for_each([&](std::array<std::size_t, 3> cell, double area) {
      cell[axis] = n - 1 - cell[axis];
      unmatched += std::abs(area - area_[index(cell)]);
      total += area;
    });
    return total > 0 ? 0.5 * unmatched / total : 1.0;
  }

  /// Cells of the cross-section's outline box that the slices at one end span.
  double end_size(std::size_t axis, bool at_high_end) const {
    std::array<std::size_t, 3> low{n, n, n};
    std::array<std::size_t, 3> high{};
    for_each([&](const std::array<std::size_t, 3>& cell, double area) {
      const std::size_t depth = at_high_end ? n - 1 - cell[axis] : cell[axis];
      if (area == 0 || depth >= n / 8) return;
      for (std::size_t k = 0; k < 3; ++k) {
        low[k] = std::min(low[k], cell[k]);
        high[k] = std::max(high[k], cell[k] + 1);
      }
    });
    double size = 1;
    for (std::size_t k = 0; k < 3; ++k) {
      if (k != axis) size *= high[k] > low[k] ? static_cast<double>(high[k] - low[k]) : 0.0;
    }
    return size;
  }

 private:
  static constexpr std::size_t n = 16;
  static std::size_t index(const std::array<std::size_t, 3>& cell) {
    return (cell[0] * n + cell[1]) * n + cell[2];
  }

  template <typename Visit>
  void for_each(const Visit& visit) const {
    for (std::size_t i = 0; i < n; ++i)
      for (std::size_t j = 0; j < n; ++j)
        for (std::size_t k = 0; k < n; ++k) visit({i, j, k}, area_[index({i, j, k})]);
  }

  std::vector<double> area_;
};

void propose_axes(const shape::Surface& surface, const shape::Box& box, PlacementProposal& proposal) {
  constexpr std::string_view letters = "xyz";
  const Three size = numbers(box.high - box.low);
  const AreaGrid grid(surface, box);
  std::size_t right = 0;
  for (std::size_t k = 1; k < 3; ++k) {
    if (grid.asymmetry(k) < grid.asymmetry(right)) right = k;
  }
  std::size_t aft = (right + 1) % 3;
  std::size_t up = (right + 2) % 3;
  if (size[up] > size[aft]) std::swap(aft, up);
  const bool is_aft_positive = grid.end_size(aft, true) >= grid.end_size(aft, false);
  // aft x right = up: the sign of `right` follows from the order of the letters and the other two signs.
  const bool is_cyclic = (aft + 1) % 3 == right;
  const bool is_right_positive = is_cyclic == is_aft_positive;
  proposal.axes = fmt::format("{}{} {}{} {}",
                              is_aft_positive ? "" : "-",
                              letters[aft],
                              is_right_positive ? "" : "-",
                              letters[right],
                              letters[up]);
  proposal.axes_reason = fmt::format(
      "the extents are {:.6g} x {:.6g} x {:.6g} file units; it is most alike left and right across {}, of "
      "the other two it "
      "is longer along {}, and narrower, as a nose is, at the {} end of that; that {} points up and not down "
      "is assumed",
      size[0],
      size[1],
      size[2],
      letters[right],
      letters[aft],
      is_aft_positive ? "low" : "high",
      letters[up]);
}

}  // namespace

PlacementProposal propose_placement(const std::filesystem::path& path) {
  ReadOptions options;
  options.limits.farthest = 1e12;  // file units, which may be anything
  options.check_step_unit = false;
  const SurfaceFile file =
      read_surface_file(path, {.unit = 1.0, .axes = {{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}}}, options);
  const shape::Box box = shape::bounding_box(file.surface);
  const Three size = numbers(box.high - box.low);
  PlacementProposal proposal;
  propose_unit(std::max({size[0], size[1], size[2]}), proposal);
  if (!file.stated_unit.empty()) {
    proposal.unit = file.stated_unit;
    proposal.unit_reason = "the file states it";
  }
  propose_axes(file.surface, box, proposal);
  return proposal;
}

}  // namespace cowlwright::imported
