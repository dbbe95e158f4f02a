// SPDX-License-Identifier: GPL-3.0-or-later
//
// Means over survey discs. Every point takes the values of the cell whose middle is nearest: for means over
// a disc of many cells interpolation would change nothing that the grid resolves.
#include "post/extract/survey.h"

#include "geometry/base/error.h"
#include "post/extract/cell_fields.h"
#include "post/extract/vtk_mesh.h"

#include <fmt/format.h>
#include <vtkCellData.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <limits>
#include <numbers>

namespace cowlwright::post {

namespace {

constexpr int n_rings = 6;
constexpr int n_around = 16;
/// A point belongs to the cell with the nearest middle; it lies in no cell when it is further from it than
/// this times half of the cell's diagonal. A neighbour across a change of level is twice as large.
constexpr double largest_reach = 2.0;

/// The cell nearest to a point.
struct Nearest {
  vtkIdType cell = -1;
  double distance = std::numeric_limits<double>::infinity();
  base::Vec3 middle;
};

std::vector<Nearest> nearest_cells(vtkUnstructuredGrid& grid,
                                   const std::vector<base::Vec3>& points,
                                   const base::Vec3& origin,
                                   double radius) {
  std::vector<Nearest> nearest(points.size());
  double farthest = std::numeric_limits<double>::infinity();  // of the distances found so far
  for (vtkIdType cell = 0; cell < grid.GetNumberOfCells(); ++cell) {
    const base::Vec3 middle = mean_point(grid, cell);
    if (base::norm(middle - origin) - radius >= farthest) {
      continue;  // too far from every point
    }
    farthest = 0.0;
    for (std::size_t i = 0; i < points.size(); ++i) {
      const double distance = base::norm(middle - points[i]);
      if (distance < nearest[i].distance) {
        nearest[i] = {cell, distance, middle};
      }
      farthest = std::max(farthest, nearest[i].distance);
    }
  }
  return nearest;
}

/// Along the motion of a blade that turns clockwise as the pilot sees it; nil on the shaft.
base::Vec3 clockwise_direction(const base::Vec3& place) {
  const double radius = std::hypot(place.y, place.z);
  return radius > 0.0 ? base::Vec3{0.0, place.z / radius, -place.y / radius} : base::Vec3{};
}

SurveyMean survey_mean(vtkUnstructuredGrid& mesh, const CellFields& fields, const base::PlaneRecord& disc) {
  const std::vector<base::Vec3> points = survey_points(disc);
  SurveyMean mean{.survey = disc.name, .n_points = points.size()};
  const double weight = 1.0 / static_cast<double>(points.size());
  const double radius = std::sqrt(disc.area / std::numbers::pi);
  for (const Nearest& nearest : nearest_cells(mesh, points, disc.origin, radius)) {
    std::array<double, 6> bounds{};  // low and high x, y, z
    mesh.GetCellBounds(nearest.cell, bounds.data());
    const double diagonal = std::hypot(bounds[1] - bounds[0], bounds[3] - bounds[2], bounds[5] - bounds[4]);
    if (nearest.distance > largest_reach * 0.5 * diagonal) {
      ++mean.n_outside;
      continue;
    }
    const CellState state = fields.at(nearest.cell);
    mean.axial_velocity += weight * state.velocity.x;
    mean.clockwise_velocity += weight * base::dot(state.velocity, clockwise_direction(nearest.middle));
    mean.total_pressure += weight * state.total_pressure();
  }
  if (!std::isfinite(mean.axial_velocity + mean.clockwise_velocity + mean.total_pressure)) {
    throw base::ResultError(
        fmt::format("survey {}: a mean is not finite: the solver diverged. Look at its log.", disc.name));
  }
  return mean;
}

}  // namespace

std::vector<base::Vec3> survey_points(const base::PlaneRecord& disc) {
  const base::Vec3 up = std::abs(disc.normal.z) < 0.9 ? base::Vec3{0.0, 0.0, 1.0} : base::Vec3{1.0, 0.0, 0.0};
  const base::Vec3 across = base::cross(up, disc.normal);
  const base::Vec3 first = (1.0 / base::norm(across)) * across;
  const base::Vec3 second = base::cross(disc.normal, first);
  std::vector<base::Vec3> points;
  for (int ring = 0; ring < n_rings; ++ring) {
    const double radius = std::sqrt(disc.area / std::numbers::pi * (ring + 0.5) / n_rings);
    for (int i = 0; i < n_around; ++i) {
      const double angle = 2.0 * std::numbers::pi * (i + 0.5) / n_around;
      points.push_back(disc.origin + radius * std::cos(angle) * first + radius * std::sin(angle) * second);
    }
  }
  return points;
}

std::vector<SurveyMean> survey_means(const VtkCase& vtk_case,
                                     std::span<const base::PlaneRecord> surveys,
                                     const FreeStream& free_stream) {
  std::vector<SurveyMean> means;
  if (surveys.empty()) {
    return means;
  }
  vtkUnstructuredGrid& mesh = *vtk_case.internal_mesh();
  const CellFields fields(*mesh.GetCellData(), free_stream);
  means.reserve(surveys.size());
  std::transform(
      surveys.begin(), surveys.end(), std::back_inserter(means), [&](const base::PlaneRecord& disc) {
        return survey_mean(mesh, fields, disc);
      });
  return means;
}

}  // namespace cowlwright::post
