// SPDX-License-Identifier: GPL-3.0-or-later
//
// How far one surface lies from another, signed, and a surface coloured by it.
#pragma once

#include "geometry/shape/surface.h"

#include <filesystem>
#include <vector>

namespace cowlwright::imported {

struct DeviationFigures {
  std::size_t n = 0;         ///< places measured
  double outward = 0.0;      ///< greatest, >= 0 [m]
  double inward = 0.0;       ///< greatest, as a length >= 0 [m]
  double mean = 0.0;         ///< signed, over the area [m]
  double rms = 0.0;          ///< over the area [m]
  double percentile_95 = 0;  ///< 95 % of the area lie within this length [m]
  base::Vec3 outward_at;     ///< where the greatest is
  base::Vec3 inward_at;

  double greatest() const { return outward > inward ? outward : inward; }
};

struct Deviation {
  std::vector<double> at_points;     ///< (n_points) [m], positive: `of` lies outside `from`
  std::vector<double> at_triangles;  ///< (n_triangles) at their centres
  DeviationFigures figures;          ///< greatest over points and centres, the rest over centres by area
};

/// Distance of every point and centre of `of` from the nearest place of `from`. The sign comes from the
/// normals of `of`, so `from` may be as dirty as it likes: positive where `of` has moved out. Beside the
/// border of an open sheet the sign says little.
///
/// @param of  consistently oriented, outward.
/// @throws InputError  when one of the two has no triangle.
Deviation deviation(const shape::Surface& of, const shape::Surface& from);

/// The other way round: how far what `original` had is from `result`, for places all over `original`.
/// Positive: it stands out of the result (taken away), negative: it lies inside (covered). Sees what
/// deviation() cannot: parts of the original that the result no longer has.
///
/// @param result   consistently oriented, outward.
/// @param spacing  [m], > 0: no two neighbouring places further apart.
DeviationFigures coverage(const shape::Surface& original, const shape::Surface& result, double spacing);

/// A spacing [m] that gives about half a million places, 2 mm at least.
double sample_spacing(const shape::Surface& surface);

/// VTK XML PolyData (.vtp) of `surface` with the point and cell array `deviation` in mm (colour by cells: a
/// welded point lies exactly on one of its originals) and the cell array `patch`.
/// @throws ExternalError  when the file cannot be written.
void write_deviation(const shape::Surface& surface,
                     const Deviation& deviation,
                     const std::filesystem::path& path);

}  // namespace cowlwright::imported
