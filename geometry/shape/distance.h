// SPDX-License-Identifier: GPL-3.0-or-later
//
// Distances from points to a surface.
#pragma once

#include "geometry/shape/surface.h"

#include <memory>

namespace cowlwright::shape {

/// A surface prepared for many questions. Open surfaces and unconnected triangles will do.
class DistanceTo {
 public:
  /// @param surface  with at least one triangle; copied.
  explicit DistanceTo(const Surface& surface);
  DistanceTo(DistanceTo&&) noexcept;
  DistanceTo& operator=(DistanceTo&&) noexcept;
  ~DistanceTo();

  /// Smallest distance [m] from a point to the surface, without sign. May be asked by several threads.
  double operator()(const base::Vec3& point) const;

 private:
  struct Tree;
  std::unique_ptr<Tree> tree_;
};

}  // namespace cowlwright::shape
