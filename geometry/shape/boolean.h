// SPDX-License-Identifier: GPL-3.0-or-later
//
// Unions and differences of closed surfaces that keep the patch of every triangle, and the proof that a
// surface bounds one solid. The only unit of this folder that knows the geometry kernel.
#pragma once

#include "geometry/shape/surface.h"

#include <memory>
#include <span>
#include <string>

namespace cowlwright::shape {

/// A closed, outward-oriented surface under construction.
///
/// All operands of one chain must use one common list of patch names: an operation carries patch indices, not
/// names. Operands must cross transversally: no vertex of one in a face of the other by construction.
class Solid {
 public:
  explicit Solid(const Surface& surface);
  Solid(Solid&&) noexcept;
  Solid& operator=(Solid&&) noexcept;
  ~Solid();

  /// Adds, or takes away, the tool. @throws ResultError  naming `step` when the result is not a closed
  /// surface.
  void unite(Solid tool, const std::string& step);
  void subtract(Solid tool, const std::string& step);

  /// Triangles in the order of the kernel; `patch_names` becomes the list of names.
  Surface to_surface(std::span<const std::string> patch_names) const;

 private:
  struct Mesh;
  std::unique_ptr<Mesh> mesh_;
};

/// What can be said of a surface without knowing what it stands for.
struct SurfaceProof {
  bool is_closed = false;  ///< every edge has exactly two triangles, every vertex one fan
  bool is_free_of_self_intersections = false;
  bool bounds_a_volume = false;  ///< oriented outward, shells properly nested
  std::size_t n_components = 0;
  int genus = 0;            ///< number of tunnels through it, from Euler's formula
  double volume = 0.0;      ///< [m³]
  std::string first_fault;  ///< where, for a message; empty when all is well
};

SurfaceProof prove_surface(const Surface& surface);

/// Smallest distance [m] from the points of `inner` picked by index to the triangles of `skin` picked by
/// index.
double smallest_distance(const Surface& inner,
                         std::span<const std::uint32_t> points,
                         const Surface& skin,
                         std::span<const std::uint32_t> triangles);

}  // namespace cowlwright::shape
