// SPDX-License-Identifier: GPL-3.0-or-later
//
// Two-dimensional block meshes for small verification cases: one sheet of cells, round an axis or plane.
#pragma once

#include "cases/foam/dictionary.h"
#include "geometry/base/vec3.h"

#include <array>
#include <map>
#include <string>
#include <vector>

namespace cowlwright::testing_support {

/// Where a sheet's coordinates lie in space: `s` along the flow, `r` across it.
enum class Sheet {
  Round,  ///< wedge round the x axis: s is x, r the radius
  Plane   ///< s downwards (-z), the way air takes through a study's cores, r along +x
};

/// Half the angle of the wedge of Sheet::Round [rad].
inline constexpr double wedge_half_angle = 0.0436332312998582;  // 2.5 deg
/// Depth of Sheet::Plane along y [m].
inline constexpr double sheet_depth = 0.01;

/// Ratio of the last to the first cell along an edge of this length whose first cell has this size.
double growth_from(double first_cell, double length, int n_cells);

/// Growth (last cell over first) along the edges of a block a-b-c-d: a to b and d to c, a to d and b to c.
struct Growth {
  double bottom = 1.0, top = 1.0;
  double left = 1.0, right = 1.0;
};

/// Vertices, blocks, arcs and patches of a sheet, for blockMesh.
class SheetMesh {
 public:
  explicit SheetMesh(Sheet sheet) : sheet_(sheet) {}

  Sheet sheet() const { return sheet_; }
  /// A vertex at (s, r), r >= 0 [m]; two at one place make a thin wall between the blocks that use them.
  int point(double s, double r);
  /// A block of four points, anticlockwise with s to the right and r up; cells along a-b and along a-d.
  void block(std::array<int, 4> corners, std::array<int, 2> cells, const Growth& growth = {});
  /// Makes the edge a-b a circle's arc through (s, r).
  void arc(int a, int b, double s, double r);
  /// Puts the edge a-b into a patch; names that begin with "wall" become walls.
  void face(const std::string& patch, int a, int b);
  /// The blockMeshDict.
  foam::Dictionary dictionary() const;

 private:
  base::Vec3 place(double s, double r, bool front) const;
  int id(int point, bool front) const;

  Sheet sheet_;
  std::vector<foam::Value> points_, blocks_, arcs_, back_, front_;
  std::vector<int> first_;
  std::vector<bool> is_on_axis_;
  std::map<std::string, std::vector<foam::Value>> faces_;
};

}  // namespace cowlwright::testing_support
