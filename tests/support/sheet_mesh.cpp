// SPDX-License-Identifier: GPL-3.0-or-later
//
// Points of a sheet become pairs of vertices (one on the axis of a round one).
#include "tests/support/sheet_mesh.h"

#include <cmath>
#include <utility>

namespace cowlwright::testing_support {

using foam::Dictionary;
using foam::list;
using foam::Value;

double growth_from(double first_cell, double length, int n_cells) {
  double low = 0.2;
  double high = 5.0;
  for (int i = 0; i < 100; ++i) {
    const double ratio = 0.5 * (low + high);
    double reach = 0.0;
    for (int j = 0; j < n_cells; ++j) {
      reach += first_cell * std::pow(ratio, j);
    }
    (reach < length ? low : high) = ratio;
  }
  return std::pow(low, n_cells - 1);
}

base::Vec3 SheetMesh::place(double s, double r, bool front) const {
  const double side = front ? 1.0 : -1.0;
  if (sheet_ == Sheet::Plane) {
    return {r, -0.5 * side * sheet_depth, -s};
  }
  return {s, r * std::cos(wedge_half_angle), side * r * std::sin(wedge_half_angle)};
}

int SheetMesh::point(double s, double r) {
  const bool is_on_axis = sheet_ == Sheet::Round && r == 0.0;
  first_.push_back(static_cast<int>(points_.size()));
  is_on_axis_.push_back(is_on_axis);
  points_.push_back(place(s, r, false));
  if (!is_on_axis) {
    points_.push_back(place(s, r, true));
  }
  return static_cast<int>(first_.size()) - 1;
}

int SheetMesh::id(int point, bool front) const {
  const auto i = static_cast<std::size_t>(point);
  return first_[i] + (front && !is_on_axis_[i] ? 1 : 0);
}

void SheetMesh::block(std::array<int, 4> corners, std::array<int, 2> cells, const Growth& growth) {
  std::vector<Value> ids;
  for (const bool front : {false, true}) {
    for (const int corner : corners) {
      ids.push_back(id(corner, front));
    }
  }
  const Value grading = list({growth.bottom,
                              growth.top,
                              growth.top,
                              growth.bottom,
                              growth.left,
                              growth.right,
                              growth.right,
                              growth.left,
                              1,
                              1,
                              1,
                              1});
  blocks_.push_back("hex " + list(ids).text + list({cells[0], cells[1], 1}).text + " edgeGrading " +
                    grading.text);
  back_.push_back(list({ids[0], ids[3], ids[2], ids[1]}));
  front_.push_back(list({ids[4], ids[5], ids[6], ids[7]}));
}

void SheetMesh::arc(int a, int b, double s, double r) {
  for (const bool front : {false, true}) {
    arcs_.insert(arcs_.end(), {Value("arc"), id(a, front), id(b, front), place(s, r, front)});
  }
}

void SheetMesh::face(const std::string& patch, int a, int b) {
  faces_[patch].push_back(list({id(a, false), id(b, false), id(b, true), id(a, true)}));
}

Dictionary SheetMesh::dictionary() const {
  const char* side = sheet_ == Sheet::Round ? "wedge" : "empty";
  Dictionary content{{"vertices", list(points_)}, {"blocks", list(blocks_)}, {"edges", list(arcs_)}};
  std::vector<std::pair<std::string, Dictionary>> boundary{
      {"back", {{"type", side}, {"faces", list(back_)}}},
      {"front", {{"type", side}, {"faces", list(front_)}}}};
  for (const auto& [patch, faces] : faces_) {
    const char* type = patch.starts_with("wall") ? "wall" : "patch";
    boundary.emplace_back(patch, Dictionary{{"type", type}, {"faces", list(faces)}});
  }
  content.sub_list("boundary", std::move(boundary));
  return content;
}

}  // namespace cowlwright::testing_support
