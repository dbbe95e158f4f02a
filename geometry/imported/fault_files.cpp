// SPDX-License-Identifier: GPL-3.0-or-later
//
// The marked-up surface. Coordinates with nine significant digits: 1e-9 of a metre-sized part.
#include "geometry/base/text_file.h"
#include "geometry/imported/faults.h"

#include <fmt/format.h>

#include <iterator>
#include <string_view>

namespace cowlwright::imported {

namespace {

class VtpText {
 public:
  VtpText(const shape::Surface& surface, const Faults& faults) : surface_(&surface), faults_(&faults) {}

  std::string_view text() {
    const std::size_t n_lines = faults_->boundary_edges.size() + faults_->non_manifold_edges.size();
    add("<?xml version=\"1.0\"?>\n<VTKFile type=\"PolyData\" version=\"1.0\" "
        "byte_order=\"LittleEndian\">\n<PolyData>\n"
        "<Piece NumberOfPoints=\"{}\" NumberOfVerts=\"{}\" NumberOfLines=\"{}\" "
        "NumberOfPolys=\"{}\">\n<Points>\n"
        "<DataArray type=\"Float64\" NumberOfComponents=\"3\" format=\"ascii\">\n",
        surface_->points.size(),
        faults_->non_manifold_points.size(),
        n_lines,
        surface_->triangles.size());
    for (const base::Vec3& p : surface_->points) add("{:.9g} {:.9g} {:.9g}\n", p.x, p.y, p.z);
    add("</DataArray>\n</Points>\n");
    add_cells("Verts", 1, faults_->non_manifold_points.size(), [&] {
      for (const std::uint32_t point : faults_->non_manifold_points) add("{}\n", point);
    });
    add_cells("Lines", 2, n_lines, [&] {
      for (const auto& [a, b] : faults_->boundary_edges) add("{} {}\n", a, b);
      for (const auto& [a, b] : faults_->non_manifold_edges) add("{} {}\n", a, b);
    });
    add_cells("Polys", 3, surface_->triangles.size(), [&] {
      for (const auto& t : surface_->triangles) add("{} {} {}\n", t[0], t[1], t[2]);
    });
    add("<CellData>\n");
    add_marks();
    add("</CellData>\n</Piece>\n</PolyData>\n</VTKFile>\n");
    return {out_.data(), out_.size()};
  }

 private:
  template <typename... Args>
  void add(fmt::format_string<Args...> format, Args&&... args) {
    fmt::format_to(std::back_inserter(out_), format, std::forward<Args>(args)...);
  }

  template <typename Fill>
  void add_cells(std::string_view name, std::size_t n_corners, std::size_t n_cells, const Fill& fill) {
    add("<{}>\n<DataArray type=\"Int32\" Name=\"connectivity\" format=\"ascii\">\n", name);
    fill();
    add("</DataArray>\n<DataArray type=\"Int32\" Name=\"offsets\" format=\"ascii\">\n");
    for (std::size_t i = 1; i <= n_cells; ++i) add("{}\n", n_corners * i);
    add("</DataArray>\n</{}>\n", name);
  }

  void add_marks() {
    const std::vector<std::uint32_t> none;
    add_array("non_manifold_point", 1, 0, 0, none);
    add_array("open_edge", 0, 1, 0, none);
    add_array("non_manifold_edge", 0, 0, 1, none);
    add_array("flipped", 0, 0, 0, faults_->flipped_faces);
    add_array("duplicated", 0, 0, 0, faults_->duplicated_faces);
    std::vector<std::uint32_t> crossing;
    for (const auto& [a, b] : faults_->intersections) crossing.insert(crossing.end(), {a, b});
    add_array("self_intersection", 0, 0, 0, crossing);
    add_array("degenerate", 0, 0, 0, faults_->degenerate_faces);
    add_array("tiny", 0, 0, 0, faults_->tiny_faces);
    add_array("needle", 0, 0, 0, faults_->needle_faces);
    std::vector<std::uint32_t> crumbs;
    for (std::uint32_t face = 0; face < faults_->shell_of.size(); ++face) {
      const std::uint32_t shell = faults_->shell_of[face];
      if (shell != Faults::no_shell && faults_->shells[shell].is_crumb) crumbs.push_back(face);
    }
    add_array("crumb", 0, 0, 0, crumbs);
    add_numbers("shell", [&](std::size_t face) {
      const std::uint32_t shell = faults_->shell_of[face];
      return shell == Faults::no_shell ? -1 : static_cast<int>(shell);
    });
    add_numbers("patch", [&](std::size_t face) { return static_cast<int>(surface_->patch[face]); });
  }

  /// 0 and 1 in the order of the cells: points, open edges, non-manifold edges, faces.
  void add_array(std::string_view name,
                 int on_points,
                 int on_open,
                 int on_crossing,
                 const std::vector<std::uint32_t>& faces) {
    add("<DataArray type=\"UInt8\" Name=\"{}\" format=\"ascii\">\n", name);
    for (std::size_t i = 0; i < faults_->non_manifold_points.size(); ++i) add("{}\n", on_points);
    for (std::size_t i = 0; i < faults_->boundary_edges.size(); ++i) add("{}\n", on_open);
    for (std::size_t i = 0; i < faults_->non_manifold_edges.size(); ++i) add("{}\n", on_crossing);
    std::vector<char> is_marked(surface_->triangles.size(), 0);
    for (const std::uint32_t face : faces) is_marked[face] = 1;
    for (const char mark : is_marked)
      out_.append(mark != 0 ? std::string_view("1\n") : std::string_view("0\n"));
    add("</DataArray>\n");
  }

  /// A number for each face, -1 for what is no face.
  template <typename Number>
  void add_numbers(std::string_view name, const Number& number) {
    add("<DataArray type=\"Int32\" Name=\"{}\" format=\"ascii\">\n", name);
    const std::size_t n_others = faults_->non_manifold_points.size() + faults_->boundary_edges.size() +
                                 faults_->non_manifold_edges.size();
    for (std::size_t i = 0; i < n_others; ++i) add("-1\n");
    for (std::size_t face = 0; face < surface_->triangles.size(); ++face) add("{}\n", number(face));
    add("</DataArray>\n");
  }

  const shape::Surface* surface_;
  const Faults* faults_;
  fmt::memory_buffer out_{};
};

}  // namespace

void write_faults_vtp(const shape::Surface& surface,
                      const Faults& faults,
                      const std::filesystem::path& path) {
  VtpText file(surface, faults);
  base::write_text(path, file.text());
}

}  // namespace cowlwright::imported
