// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/pictures, VTK types: surfaces, cuts and streamlines as pieces of the scene.
#pragma once

#include "post/pictures/cuts.h"
#include "post/pictures/scene.h"

#include <string>

namespace cowlwright::post {

/// A piece's name and what becomes of its data on the way.
struct PieceSpec {
  std::string id;
  std::string title;
  std::string kind;
};

/// Triangles of a surface or cut; fields are the point arrays that are there.
ScenePiece triangle_piece(const PieceSpec& spec, vtkPolyData& data, const Scales& scales);

/// Lines; points that lie within `tolerance` [m] of the line without them are left out, and so are those
/// whose temperature the rest gives within a hundredth of the pictures' range.
ScenePiece line_piece(const PieceSpec& spec, vtkPolyData& data, const Scales& scales, double tolerance);

/// A surface with fewer triangles, and how far it is from the full one at most [m].
struct ThinnedSurface {
  PolyData surface;
  double deviation = 0.0;
};

/// Leaves out points while the surface stays within about `wish` [m]; edges, borders and topology are kept.
/// The deviation is measured both ways: every point of the full surface against the thinned one, and corners,
/// edges' middles and middles of the thinned triangles against the full one.
ThinnedSurface thinned(vtkPolyData& surface, double wish);

}  // namespace cowlwright::post
