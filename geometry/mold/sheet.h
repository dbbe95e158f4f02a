// SPDX-License-Identifier: GPL-3.0-or-later
//
// The surface a mold is made for, checked and with its neighbours: what every other check works on. It may be
// open (a skin without thickness) or closed. Its normals point to the mold.
#pragma once

#include "geometry/shape/surface.h"

#include <array>
#include <cstdint>
#include <string>
#include <vector>

namespace cowlwright::mold {

using base::Vec3;

/// On which side of the surface the mold stands. Outside: against the side the triangles' normals point to.
enum class MoldSide { Outside, Inside };

struct Sheet {
  std::vector<Vec3> points;                         ///< [m]
  std::vector<std::array<std::uint32_t, 3>> faces;  ///< counter-clockwise seen from the mold
  std::vector<std::string> patch_names;
  std::vector<std::uint16_t> patch;  ///< (n_faces)
  std::vector<Vec3> normal;          ///< (n_faces) unit, towards the mold; zero without area
  std::vector<double> area;          ///< (n_faces) [m²]
  std::vector<Vec3> centroid;        ///< (n_faces)
  std::vector<std::array<std::int32_t, 3>> neighbour;  ///< across edge k, from corner k to k+1; -1: trim edge
  bool is_closed = false;                              ///< no trim edge
  Vec3 low;
  Vec3 high;

  std::size_t n_faces() const { return faces.size(); }
  const Vec3& corner(std::size_t face, std::size_t k) const { return points[faces[face][k % 3]]; }
  double size() const { return norm(high - low); }  ///< diagonal of the bounding box [m]
};

/// @throws InputError  for a surface without triangles, with a coordinate that is no finite number, of a size
///                     that speaks of a wrong unit, with edges of three and more faces or with neighbours
///                     that are turned against each other. Names number and first place and what to do.
Sheet make_sheet(const shape::Surface& surface, MoldSide side);

/// Unit vector; zero for a vector without length.
Vec3 unit(const Vec3& v);

/// "FS 312 BL -140 WL 35": the place as stations, in whole mm.
std::string place_text(const Vec3& p);

/// Longest edge of a face [m], and its height over that edge [m]: the width of a strip.
double longest_edge(const Sheet& sheet, std::size_t face);
double face_width(const Sheet& sheet, std::size_t face);

/// Faces picked out by a flag, in pieces that hang together by edges; the largest area first. `weight`
/// (n_faces) is the share of each face's area that counts.
struct Region {
  std::vector<std::uint32_t> faces;
  double area = 0.0;  ///< [m²]
  Vec3 place;         ///< centroid of the face nearest to the area's centroid: a point on the surface
};
std::vector<Region> connected_regions(const Sheet& sheet,
                                      const std::vector<bool>& is_picked,
                                      const std::vector<double>& weight);

}  // namespace cowlwright::mold
