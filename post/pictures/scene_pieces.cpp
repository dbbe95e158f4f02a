// SPDX-License-Identifier: GPL-3.0-or-later
//
// VTK data thinned out and turned into plain arrays.
#include "post/pictures/scene_pieces.h"

#include <vtkCellArray.h>
#include <vtkDataArray.h>
#include <vtkGenericCell.h>
#include <vtkIdList.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkPoints.h>
#include <vtkStaticCellLocator.h>
#include <vtkTriangleFilter.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <utility>

namespace cowlwright::post {

namespace {

PolyData triangles_of(vtkPolyData& data) {
  vtkNew<vtkTriangleFilter> filter;
  filter->SetInputData(&data);
  filter->PassLinesOff();
  filter->PassVertsOff();
  filter->Update();
  return filter->GetOutput();
}

/// The names under which the page shows a field; pressure, temperature and speed are the same numbers in
/// other units.
std::vector<ScenePiece::Field> names_of(Field field, const Scales& scales) {
  const FieldScale scale = field_scale(field, scales);
  ScenePiece::Field own{scale.id, scale.title, scale.unit};
  switch (field) {
    case Field::PressureCoefficient:
      return {own, {"p", "gauge pressure", "Pa", scales.reference_pressure, 0.0}};
    case Field::TotalPressureCoefficient:
      return {own};
    case Field::TemperatureRise:
      return {own, {"T", "temperature", "degC", 1.0, scales.temperature - 273.15}};
    case Field::SpeedRatio:
      return {own, {"speed", "speed", "m/s", scales.reference_speed, 0.0}};
  }
  return {own};
}

/// Old point -> new number in the order of first use: neighbours' numbers are near, which deflates well.
class Renumbering {
 public:
  explicit Renumbering(vtkPolyData& data)
      : data_(data), number_(static_cast<std::size_t>(data.GetNumberOfPoints()), -1) {}

  std::uint32_t number(vtkIdType point) {
    vtkIdType& number = number_[static_cast<std::size_t>(point)];
    if (number < 0) {
      number = static_cast<vtkIdType>(used_.size());
      used_.push_back(point);
    }
    return static_cast<std::uint32_t>(number);
  }

  /// Positions and fields of the points that are used.
  void fill(ScenePiece& piece, const Scales& scales) const {
    for (const vtkIdType point : used_) {
      const base::Vec3 place = point_position(data_, point);
      piece.points.push_back(
          {static_cast<float>(place.x), static_cast<float>(place.y), static_cast<float>(place.z)});
    }
    for (const Field field : all_fields) {
      vtkDataArray* array = data_.GetPointData()->GetArray(field_scale(field, scales).id.c_str());
      if (array == nullptr || used_.empty() || std::isnan(array->GetComponent(used_.front(), 0))) {
        continue;
      }
      ScenePiece::Values& values = piece.values.emplace_back();
      values.names = names_of(field, scales);
      values.numbers.reserve(used_.size());
      for (const vtkIdType point : used_) {
        values.numbers.push_back(static_cast<float>(array->GetComponent(point, 0)));
      }
    }
  }

 private:
  vtkPolyData& data_;
  std::vector<vtkIdType> number_;
  std::vector<vtkIdType> used_;
};

/// Marks the points of a line that are needed, by Douglas and Peucker's halving; `distance(first, last, i)`
/// is how far point i is from what lies between first and last, over what is allowed.
std::vector<bool> needed_points(
    std::size_t n, const std::function<double(std::size_t, std::size_t, std::size_t)>& distance) {
  std::vector<bool> is_needed(n, false);
  is_needed.front() = is_needed.back() = true;
  std::vector<std::pair<std::size_t, std::size_t>> open{{0, n - 1}};
  while (!open.empty()) {
    const auto [first, last] = open.back();
    open.pop_back();
    double worst = 1.0;
    std::size_t at = 0;
    for (std::size_t i = first + 1; i < last; ++i) {
      const double off = distance(first, last, i);
      if (off > worst) {
        worst = off;
        at = i;
      }
    }
    if (at > 0) {
      is_needed[at] = true;
      open.emplace_back(first, at);
      open.emplace_back(at, last);
    }
  }
  return is_needed;
}

/// A line's points with the temperature as a fourth coordinate.
struct LinePoint {
  base::Vec3 place;
  double rise = 0.0;
};

double off_line(
    const LinePoint& first, const LinePoint& last, const LinePoint& point, double tolerance, double rise) {
  const base::Vec3 along = last.place - first.place;
  const double length2 = base::dot(along, along);
  const double share =
      length2 > 0.0 ? std::clamp(base::dot(point.place - first.place, along) / length2, 0.0, 1.0) : 0.0;
  const double distance = base::norm(point.place - (first.place + share * along));
  const double warmer = std::abs(point.rise - std::lerp(first.rise, last.rise, share));
  return std::max(distance / tolerance, std::isfinite(warmer) ? warmer / rise : 0.0);
}

double distance_to(vtkStaticCellLocator& locator, const base::Vec3& point) {
  std::array<double, 3> from{point.x, point.y, point.z};
  std::array<double, 3> closest{};
  vtkNew<vtkGenericCell> cell;
  vtkIdType id = 0;
  int sub = 0;
  double distance2 = 0.0;
  locator.FindClosestPoint(from.data(), closest.data(), cell, id, sub, distance2);
  return std::sqrt(distance2);
}

vtkSmartPointer<vtkStaticCellLocator> locator_of(vtkPolyData& surface) {
  auto locator = vtkSmartPointer<vtkStaticCellLocator>::New();
  locator->SetDataSet(&surface);
  locator->BuildLocator();
  return locator;
}

PolyData poly_data(const ScenePiece& piece) {
  vtkNew<vtkPoints> points;
  for (const std::array<float, 3>& point : piece.points) {
    points->InsertNextPoint(point.data());
  }
  vtkNew<vtkCellArray> cells;
  for (const std::array<std::uint32_t, 3>& triangle : piece.triangles) {
    cells->InsertNextCell({triangle[0], triangle[1], triangle[2]});
  }
  auto data = PolyData::New();
  data->SetPoints(points);
  data->SetPolys(cells);
  return data;
}

base::Vec3 place_of(const ScenePiece& piece, std::uint32_t point) {
  return {piece.points[point][0], piece.points[point][1], piece.points[point][2]};
}

}  // namespace

ScenePiece triangle_piece(const PieceSpec& spec, vtkPolyData& data, const Scales& scales) {
  const PolyData triangles = triangles_of(data);
  ScenePiece piece{.id = spec.id, .title = spec.title, .kind = spec.kind, .shows = spec.shows};
  Renumbering renumbering(*triangles);
  vtkNew<vtkIdList> ids;
  for (vtkIdType cell = 0; cell < triangles->GetNumberOfCells(); ++cell) {
    triangles->GetCellPoints(cell, ids);
    piece.triangles.push_back({renumbering.number(ids->GetId(0)),
                               renumbering.number(ids->GetId(1)),
                               renumbering.number(ids->GetId(2))});
  }
  renumbering.fill(piece, scales);
  return piece;
}

ScenePiece line_piece(const PieceSpec& spec, vtkPolyData& data, const Scales& scales, double tolerance) {
  ScenePiece piece{.id = spec.id, .title = spec.title, .kind = spec.kind, .shows = spec.shows};
  Renumbering renumbering(data);
  vtkDataArray* rise = data.GetPointData()->GetArray(field_scale(Field::TemperatureRise, scales).id.c_str());
  vtkIdType n_ids = 0;
  const vtkIdType* ids = nullptr;
  for (data.GetLines()->InitTraversal(); data.GetLines()->GetNextCell(n_ids, ids) != 0;) {
    if (n_ids < 2) {
      continue;
    }
    std::vector<LinePoint> points;
    for (vtkIdType i = 0; i < n_ids; ++i) {
      points.push_back({point_position(data, ids[i]), rise != nullptr ? rise->GetComponent(ids[i], 0) : 0.0});
    }
    const std::vector<bool> is_needed =
        needed_points(points.size(), [&](std::size_t first, std::size_t last, std::size_t i) {
          return off_line(points[first], points[last], points[i], tolerance, 0.01 * scales.temperature_range);
        });
    std::vector<std::uint32_t>& line = piece.lines.emplace_back();
    for (std::size_t i = 0; i < points.size(); ++i) {
      if (is_needed[i]) {
        line.push_back(renumbering.number(ids[i]));
      }
    }
  }
  renumbering.fill(piece, scales);
  return piece;
}

double largest_deviation(const ScenePiece& full, const ScenePiece& thin) {
  const PolyData full_data = poly_data(full);
  const PolyData thin_data = poly_data(thin);
  const auto to_thin = locator_of(*thin_data);
  const auto to_full = locator_of(*full_data);
  double worst = 0.0;
  for (std::uint32_t point = 0; point < full.points.size(); ++point) {
    worst = std::max(worst, distance_to(*to_thin, place_of(full, point)));
  }
  for (const std::array<std::uint32_t, 3>& triangle : thin.triangles) {
    const base::Vec3 a = place_of(thin, triangle[0]);
    const base::Vec3 b = place_of(thin, triangle[1]);
    const base::Vec3 c = place_of(thin, triangle[2]);
    for (const base::Vec3& place : {(1.0 / 3.0) * (a + b + c), 0.5 * (a + b), 0.5 * (b + c), 0.5 * (c + a)}) {
      worst = std::max(worst, distance_to(*to_full, place));
    }
  }
  return worst;
}

}  // namespace cowlwright::post
