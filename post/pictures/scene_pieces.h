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
  std::string shows;
};

/// Triangles of a surface or cut; fields are the point arrays that are there.
ScenePiece triangle_piece(const PieceSpec& spec, vtkPolyData& data, const Scales& scales);

/// Lines; points that lie within `tolerance` [m] of the line without them are left out, and so are those
/// whose temperature the rest gives within a hundredth of the pictures' range.
ScenePiece line_piece(const PieceSpec& spec, vtkPolyData& data, const Scales& scales, double tolerance);

/// Largest distance [m] between a piece and its thinned-out form, measured both ways: every point of the full
/// one against the thin one, and edges' middles and middles of the thin one's triangles against the full one.
double largest_deviation(const ScenePiece& full, const ScenePiece& thin);

}  // namespace cowlwright::post
