// SPDX-License-Identifier: GPL-3.0-or-later
//
// Building blocks of structured closed surfaces: strips, grids, boxes, bodies of revolution.
#pragma once

#include "geometry/shape/patches.h"
#include "geometry/shape/surface.h"

#include <array>
#include <cstdint>
#include <span>
#include <vector>

namespace cowlwright::shape {

/// Collects points and triangles of one surface.
class SurfaceBuilder {
 public:
  std::uint32_t add_point(const base::Vec3& p);
  void add_triangle(std::uint32_t a, std::uint32_t b, std::uint32_t c, Patch patch);
  /// Corners in order round the quad; split along the diagonal a-c, or b-d. Two equal neighbours leave one
  /// triangle.
  void add_quad(std::uint32_t a, std::uint32_t b, std::uint32_t c, std::uint32_t d, Patch patch);
  void add_quad_other_way(std::uint32_t a, std::uint32_t b, std::uint32_t c, std::uint32_t d, Patch patch);
  /// Adds all of another surface; patch numbers are kept.
  void add_surface(const Surface& other);
  const base::Vec3& point(std::uint32_t i) const { return surface_.points[i]; }

  /// The finished closed surface, turned outward.
  Surface closed() &&;
  /// The finished open surface, as built.
  Surface open() &&;

 private:
  Surface surface_;
};

/// Axis-parallel box with one patch.
Surface box_surface(const base::Vec3& low, const base::Vec3& high, Patch patch);

/// A closed polygon in a plane of constant x; a single point is a tip.
struct LoftSection {
  double x = 0.0;
  std::vector<std::array<double, 2>> yz;  ///< counter-clockwise in the y-z plane
};

/// Closed body through sections in order of x or back, all but tips of as many points; `patches[i]` belongs
/// to the band between section i and i+1. The ends are closed by fans from the axis with the patch of the end
/// bands.
Surface lofted_surface(const std::array<double, 2>& axis_yz,
                       std::span<const LoftSection> sections,
                       std::span<const Patch> patches);

/// One ring of a body of revolution about an axis along x.
struct Ring {
  double x = 0.0;
  double radius = 0.0;
};

/// Its polygon. Points are laid half an interval off the axes of the section, mirror-symmetric (so n_around
/// is a multiple of 4), on a circle widened so that the polygon has the area of the true circle.
LoftSection circle_section(const std::array<double, 2>& axis_yz, const Ring& ring, int n_around);

/// The loft over circles about the x-parallel axis through (axis_y, axis_z); a ring of radius 0 is a tip.
Surface revolved_surface(
    double axis_y, double axis_z, std::span<const Ring> rings, std::span<const Patch> patches, int n_around);

/// Closed surface through rings of equally many points, each in the same order round; the end rings are
/// closed by fans about their mean points.
Surface tube_surface(std::span<const std::vector<base::Vec3>> rings, Patch patch);

/// Radius of a regular polygon over that of the circle of equal area.
double polygon_widening(int n_around);

}  // namespace cowlwright::shape
