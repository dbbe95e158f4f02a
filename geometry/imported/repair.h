// SPDX-License-Identifier: GPL-3.0-or-later
//
// From a dirty surface to one that bounds a body, or a clean sheet with known openings, step by step and on
// the record: what each step did, how far it moved anything, and how far the result is from what was given.
#pragma once

#include "geometry/imported/deviation.h"
#include "geometry/imported/holes.h"
#include "geometry/shape/surface.h"

#include <optional>
#include <string>
#include <vector>

namespace cowlwright::imported {

struct RepairSettings {
  double weld = 1e-5;         ///< [m] points of open edges nearer than this become one; >= 0
  double crumb_share = 1e-3;  ///< shells with less than this part of the whole area are left out; 0 to 0.5
  double fill_holes = 0.0;    ///< [m] holes up to this extent are closed; 0: none
  double tolerance = 1e-3;    ///< [m] greatest deviation allowed either way, > 0
  bool remove_crossings = true;
  std::optional<double> remesh_edge{};  ///< [m], > 0
};

/// One step and the surface after it.
struct RepairStep {
  std::string name;       ///< "weld"
  std::string did;        ///< "points joined", with the number in `count`
  std::size_t count = 0;  ///< 0: found nothing to do
  double greatest = 0.0;  ///< movement of a point, or size of the largest thing closed or left out [m]
  double area = 0.0;      ///< of the surface after the step [m²]
  double volume = 0.0;  ///< after it, flat lids over its holes [m³]; NaN before the triangles agree in sense
  std::string note;     ///< what should be known; empty: nothing
};

/// A shell that was left out.
struct Crumb {
  std::size_t n_triangles = 0;
  double area = 0.0;    ///< [m²]
  double extent = 0.0;  ///< diagonal of its box [m]
  base::Vec3 centre;    ///< of its box [m]
};

/// What counts as sound, of a surface as it stands.
struct SurfaceCondition {
  std::size_t n_points = 0, n_triangles = 0;
  std::size_t n_shells = 0;
  std::size_t n_open_edges = 0;
  std::size_t n_crowded_edges = 0;           ///< with more than two triangles
  std::size_t n_opposed_edges = 0;           ///< whose two triangles disagree in sense
  std::optional<std::size_t> n_crossings{};  ///< pairs of triangles; nothing when not counted
  double area = 0.0;                         ///< [m²]
  double volume = 0.0;                       ///< with flat lids [m³]; NaN when edges are crowded or opposed

  bool is_closed() const { return n_open_edges + n_crowded_edges + n_opposed_edges == 0 && n_triangles > 0; }
};

SurfaceCondition condition_of(const shape::Surface& surface);

struct RepairedSurface {
  shape::Surface surface;  ///< patch names kept; closed holes are the patch `filled`
  SurfaceCondition before, after;
  std::vector<RepairStep> steps;
  std::vector<Opening> openings;  ///< that stayed, largest first
  std::vector<Crumb> crumbs;      ///< left out, largest first

  /// What the result was compared with: the surface given, and the lids of the holes closed.
  shape::Surface reference;
  Deviation deviation;        ///< of the result from the reference
  DeviationFigures coverage;  ///< of the surface given, less what was left out by name, by the result
  double tolerance = 0.0;     ///< the one asked for [m]

  /// Empty when nothing moved by more than the tolerance; else which way, how far and where.
  std::string broken_tolerance;
  /// What is still wrong with it, one line each; empty for a surface without fault. Openings are no fault.
  std::vector<std::string> faults;
};

/// Repairs in this order: weld, split at hanging points, drop collapsed, duplicate and flat triangles, orient
/// and split crowded edges, drop crumbs, turn outward, fill holes, unite shells that cross, remove crossings,
/// remesh. A step that finds nothing to do changes nothing. The result is always given back, also when it
/// broke the tolerance or kept a fault: the caller decides, by `broken_tolerance` and `faults`. `cowlwright
/// repair` refuses.
///
/// @throws InputError   for settings out of range, no triangle, or a coordinate that is not finite.
/// @throws ResultError  when nothing is left.
RepairedSurface repair(const shape::Surface& given, const RepairSettings& settings);

/// Says why `result` breaks its tolerance; empty when it does not. For repair() and wrap().
std::string tolerance_breach(const DeviationFigures& deviation,
                             const DeviationFigures& coverage,
                             double tolerance);

}  // namespace cowlwright::imported
