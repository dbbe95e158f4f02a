// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/deviation.h"

#include "geometry/base/error.h"
#include "geometry/base/parallel.h"
#include "geometry/base/text_file.h"
#include "geometry/imported/side_normals.h"
#include "geometry/shape/triangle_tree.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <limits>
#include <numeric>
#include <string_view>

namespace cowlwright::imported {

namespace {

/// Each thread starts a search from what it found for the place before.
constexpr std::size_t places_at_a_time = 1024;

using base::Vec3;
using shape::Surface;

/// A place with the area it stands for [m²].
struct Place {
  Vec3 point;
  double area = 0.0;
};

double triangle_area(const std::array<Vec3, 3>& t) {
  return 0.5 * norm(cross(t[1] - t[0], t[2] - t[0]));
}

std::array<Vec3, 3> corners(const Surface& surface, std::size_t i) {
  const auto& t = surface.triangles[i];
  return {surface.points[t[0]], surface.points[t[1]], surface.points[t[2]]};
}

Place centre(const std::array<Vec3, 3>& t) {
  return {(1.0 / 3.0) * (t[0] + t[1] + t[2]), triangle_area(t)};
}

void note_extremes(DeviationFigures& figures, double value, const Vec3& at) {
  if (value > figures.outward) {
    figures.outward = value;
    figures.outward_at = at;
  }
  if (-value > figures.inward) {
    figures.inward = -value;
    figures.inward_at = at;
  }
}

/// Mean, root mean square and 95th percentile by area; extremes too.
DeviationFigures figures_of(const std::vector<Place>& places, const std::vector<double>& values) {
  DeviationFigures figures;
  figures.n = places.size();
  double area = 0.0, sum = 0.0, squares = 0.0;
  for (std::size_t i = 0; i < places.size(); ++i) {
    note_extremes(figures, values[i], places[i].point);
    area += places[i].area;
    sum += places[i].area * values[i];
    squares += places[i].area * values[i] * values[i];
  }
  if (!(area > 0.0)) return figures;
  figures.mean = sum / area;
  figures.rms = std::sqrt(squares / area);
  std::vector<std::uint32_t> order(places.size());
  std::iota(order.begin(), order.end(), 0u);
  std::sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) {
    return std::abs(values[a]) < std::abs(values[b]);
  });
  double below = 0.0;
  for (const std::uint32_t i : order) {
    below += places[i].area;
    figures.percentile_95 = std::abs(values[i]);
    if (below >= 0.95 * area) break;
  }
  return figures;
}

/// Signed distance of one place; sign by the normal there. Each query starts from what the last one found.
class DistanceTo {
 public:
  DistanceTo(const shape::TriangleTree& tree) : tree_(tree) {}

  shape::NearestPoint nearest(const Vec3& p) {
    constexpr double slack = 1.0 + 1e-9;  // the last place itself must be found again in spite of rounding
    const double within = has_last_ ? slack * norm(p - last_) : std::numeric_limits<double>::infinity();
    const shape::NearestPoint found = tree_.nearest(p, within);
    last_ = found.point;
    has_last_ = true;
    return found;
  }
  double signed_by(const Vec3& p, const Vec3& normal) {
    const shape::NearestPoint found = nearest(p);
    return dot(p - found.point, normal) < 0.0 ? -found.distance : found.distance;
  }

 private:
  const shape::TriangleTree& tree_;
  Vec3 last_;
  bool has_last_ = false;
};

void add_halved(std::array<Vec3, 3> triangle, double spacing, std::vector<Place>& places) {
  std::vector<std::array<Vec3, 3>> todo{triangle};
  while (!todo.empty()) {
    const std::array<Vec3, 3> t = todo.back();
    todo.pop_back();
    std::size_t k = 0;
    double longest = 0.0;
    for (std::size_t i = 0; i < 3; ++i) {
      const double length = norm(t[(i + 1) % 3] - t[i]);
      if (length > longest) {
        longest = length;
        k = i;
      }
    }
    if (!(longest > spacing)) {
      places.push_back(centre(t));
      continue;
    }
    const Vec3 middle = 0.5 * (t[k] + t[(k + 1) % 3]);
    todo.push_back({t[k], middle, t[(k + 2) % 3]});
    todo.push_back({middle, t[(k + 1) % 3], t[(k + 2) % 3]});
  }
}

void refuse_empty(const Surface& a, const Surface& b) {
  if (a.triangles.empty() || b.triangles.empty())
    throw base::InputError("deviation: a surface without triangles cannot be compared. Check the file.");
}

}  // namespace

Deviation deviation(const Surface& of, const Surface& from) {
  refuse_empty(of, from);
  const shape::TriangleTree tree(from);
  const SideNormals normals(of);
  Deviation result;
  result.at_points.resize(of.points.size());
  base::for_each_range(of.points.size(), places_at_a_time, [&](std::size_t begin, std::size_t end) {
    DistanceTo distance(tree);
    for (std::size_t i = begin; i < end; ++i) {
      result.at_points[i] = distance.signed_by(of.points[i], normals.at_point(static_cast<std::uint32_t>(i)));
    }
  });
  std::vector<Place> places(of.triangles.size());
  result.at_triangles.resize(of.triangles.size());
  base::for_each_range(of.triangles.size(), places_at_a_time, [&](std::size_t begin, std::size_t end) {
    DistanceTo distance(tree);
    for (std::size_t i = begin; i < end; ++i) {
      places[i] = centre(corners(of, i));
      result.at_triangles[i] =
          distance.signed_by(places[i].point, normals.at_triangle(static_cast<std::uint32_t>(i)));
    }
  });
  result.figures = figures_of(places, result.at_triangles);
  for (std::size_t i = 0; i < of.points.size(); ++i)
    note_extremes(result.figures, result.at_points[i], of.points[i]);
  return result;
}

double sample_spacing(const Surface& surface) {
  // A halved triangle has about spacing²/4 of area. Below 2 mm nothing on a cowl is a part of its own.
  constexpr double n_places = 5e5, finest = 2e-3;
  return std::max(std::sqrt(4.0 * surface_area(surface) / n_places), finest);
}

DeviationFigures coverage(const Surface& original, const Surface& result, double spacing) {
  refuse_empty(original, result);
  const shape::TriangleTree tree(result);
  const SideNormals normals(result);
  std::vector<Place> places;
  for (std::size_t i = 0; i < original.triangles.size(); ++i) {
    add_halved(corners(original, i), spacing, places);
    for (const Vec3& corner : corners(original, i)) places.push_back({corner, 0.0});
  }
  std::vector<double> values(places.size());
  base::for_each_range(places.size(), places_at_a_time, [&](std::size_t begin, std::size_t end) {
    DistanceTo distance(tree);
    for (std::size_t i = begin; i < end; ++i) {
      const shape::NearestPoint found = distance.nearest(places[i].point);
      values[i] = normals.side(places[i].point, found) * found.distance;
    }
  });
  return figures_of(places, values);
}

void write_deviation(const Surface& surface, const Deviation& deviation, const std::filesystem::path& path) {
  constexpr double mm = 1e3;
  fmt::memory_buffer out;
  auto end = std::back_inserter(out);
  const auto array = [&](std::string_view type, std::string_view name, const auto& values, auto print) {
    fmt::format_to(end, "<DataArray type=\"{}\" Name=\"{}\" format=\"ascii\">\n", type, name);
    for (const auto& value : values) print(value);
    fmt::format_to(end, "</DataArray>\n");
  };
  const auto print_mm = [&](double value) { fmt::format_to(end, "{:.5g}\n", mm * value); };
  fmt::format_to(
      end,
      "<?xml version=\"1.0\"?>\n<VTKFile type=\"PolyData\" version=\"1.0\" byte_order=\"LittleEndian\">\n"
      "<PolyData>\n<Piece NumberOfPoints=\"{}\" NumberOfPolys=\"{}\">\n<Points>\n"
      "<DataArray type=\"Float64\" NumberOfComponents=\"3\" format=\"ascii\">\n",
      surface.points.size(),
      surface.triangles.size());
  for (const Vec3& p : surface.points) fmt::format_to(end, "{:.9g} {:.9g} {:.9g}\n", p.x, p.y, p.z);
  fmt::format_to(end, "</DataArray>\n</Points>\n<Polys>\n");
  array("Int32", "connectivity", surface.triangles, [&](const auto& t) {
    fmt::format_to(end, "{} {} {}\n", t[0], t[1], t[2]);
  });
  fmt::format_to(end, "<DataArray type=\"Int32\" Name=\"offsets\" format=\"ascii\">\n");
  for (std::size_t i = 1; i <= surface.triangles.size(); ++i) fmt::format_to(end, "{}\n", 3 * i);
  fmt::format_to(end, "</DataArray>\n</Polys>\n<PointData>\n");
  array("Float32", "deviation", deviation.at_points, print_mm);
  fmt::format_to(end, "</PointData>\n<CellData Scalars=\"deviation\">\n");
  array("Float32", "deviation", deviation.at_triangles, print_mm);
  array("Int32", "patch", surface.patch, [&](std::uint16_t patch) { fmt::format_to(end, "{}\n", patch); });
  fmt::format_to(end, "</CellData>\n</Piece>\n</PolyData>\n</VTKFile>\n");
  base::write_text(path, std::string_view(out.data(), out.size()));
}

}  // namespace cowlwright::imported
