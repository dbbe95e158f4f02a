// SPDX-License-Identifier: GPL-3.0-or-later
//
// Planes and passages moved by a part of a cell so that they end on cell faces.
#include "cases/foam/parts.h"
#include "geometry/shape/passages.h"

#include <algorithm>
#include <cmath>

namespace cowlwright::foam {

namespace {

using shape::axis_of;
using shape::component;

constexpr double already_there = 1e-9;  // [m]

/// Faces of the mesh's cells along one axis.
class FaceGrid {
 public:
  FaceGrid(const meshing::MeshPlan& plan, int axis, int level)
      : start_(component(plan.far_field.low, axis)),
        cell_((component(plan.far_field.high, axis) - start_) /
              plan.n_cells.at(static_cast<std::size_t>(axis)) / std::pow(2.0, level)) {}

  double nearest(double at) const { return start_ + cell_ * std::round((at - start_) / cell_); }
  double next(double at) const { return start_ + cell_ * std::ceil((at - start_) / cell_ - rounding); }
  double last(double at) const { return start_ + cell_ * std::floor((at - start_) / cell_ + rounding); }

 private:
  static constexpr double rounding = 1e-6;  // of a cell
  double start_;
  double cell_;
};

void move_plane(shape::MeasurementPlane& plane, double to) {
  const int axis = axis_of(plane.record.normal);
  const double shift = to - component(plane.record.origin, axis);
  if (std::abs(shift) < already_there) {
    return;
  }
  component(plane.record.origin, axis) += shift;
  for (base::Vec3& point : plane.surface.points) {
    component(point, axis) += shift;
  }
}

shape::MeasurementPlane* plane_named(shape::Installation& installation, const std::string& name) {
  const auto found = std::find_if(installation.planes.begin(),
                                  installation.planes.end(),
                                  [&](const auto& plane) { return plane.record.name == name; });
  return found == installation.planes.end() ? nullptr : &*found;
}

/// Shortens a passage's zone to whole layers of cells, so that the resistance, given per length, acts over
/// exactly the recorded depth. Cores are whole layers by the plan of the mesh.
void fit_passage(shape::Installation& installation, shape::Passage& passage, const meshing::MeshPlan& plan) {
  const auto level = std::find_if(
      plan.zones.begin(), plan.zones.end(), [&](const auto& zone) { return zone.name == passage.name; });
  const auto zone = std::find_if(installation.zones.begin(), installation.zones.end(), [&](const auto& each) {
    return each.record.name == passage.name;
  });
  const int axis = axis_of(passage.direction);
  const FaceGrid faces(plan, axis, level->level);
  const shape::Box box = shape::bounding_box(zone->surface);
  const double low = component(box.low, axis);
  const double high = component(box.high, axis);
  const double new_low = faces.next(low);
  const double new_high = faces.last(high);
  if (std::abs(new_low - low) > already_there || std::abs(new_high - high) > already_there) {
    for (base::Vec3& point : zone->surface.points) {
      component(point, axis) = component(point, axis) < 0.5 * (low + high) ? new_low : new_high;
    }
    passage.depth = new_high - new_low;
    zone->record.volume = passage.area * passage.depth;
  }
  if (shape::MeasurementPlane* middle = plane_named(installation, passage.name)) {
    move_plane(*middle, faces.nearest(0.5 * (new_low + new_high)));
  }
  if (shape::MeasurementPlane* outlet = plane_named(installation, passage.outlet)) {
    move_plane(*outlet, component(passage.direction, axis) > 0.0 ? new_high : new_low);
  }
}

}  // namespace

void fit_to_cells(shape::Installation& installation, const meshing::MeshPlan& plan) {
  for (shape::MeasurementPlane& plane : installation.planes) {
    const base::PlaneRole role = plane.record.role;
    if (role == base::PlaneRole::Inlet || role == base::PlaneRole::Exit) {
      const int axis = axis_of(plane.record.normal);
      move_plane(plane, FaceGrid(plan, axis, plan.plane_level).nearest(component(plane.record.origin, axis)));
    }
  }
  for (shape::Passage& passage : installation.passages) {
    fit_passage(installation, passage, plan);
  }
}

}  // namespace cowlwright::foam
