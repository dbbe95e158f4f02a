// SPDX-License-Identifier: GPL-3.0-or-later
//
// Surfaces as files: ASCII STL with one solid per patch (the form the mesher reads patch names from) and VTK
// XML PolyData. Nine significant digits: 1e-9 of a metre-sized part.
#include "geometry/base/text_file.h"
#include "geometry/shape/surface.h"

#include <fmt/format.h>

#include <iterator>
#include <string_view>

namespace cowlwright::shape {

namespace {

base::Vec3 unit_normal(const base::Vec3& a, const base::Vec3& b, const base::Vec3& c) {
  const base::Vec3 n = cross(b - a, c - a);
  const double length = norm(n);
  return length > 0.0 ? (1.0 / length) * n : base::Vec3{};
}

}  // namespace

std::string stl_text(const Surface& surface) {
  fmt::memory_buffer out;
  auto end = std::back_inserter(out);
  for (std::size_t patch = 0; patch < surface.patch_names.size(); ++patch) {
    bool is_open = false;
    for (std::size_t i = 0; i < surface.triangles.size(); ++i) {
      if (surface.patch[i] != patch) continue;
      if (!is_open) fmt::format_to(end, "solid {}\n", surface.patch_names[patch]);
      is_open = true;
      const auto& t = surface.triangles[i];
      const base::Vec3 n = unit_normal(surface.points[t[0]], surface.points[t[1]], surface.points[t[2]]);
      fmt::format_to(end, "facet normal {:.6g} {:.6g} {:.6g}\nouter loop\n", n.x, n.y, n.z);
      for (const std::uint32_t k : t) {
        const base::Vec3& p = surface.points[k];
        fmt::format_to(end, "vertex {:.9g} {:.9g} {:.9g}\n", p.x, p.y, p.z);
      }
      fmt::format_to(end, "endloop\nendfacet\n");
    }
    if (is_open) fmt::format_to(end, "endsolid {}\n", surface.patch_names[patch]);
  }
  return fmt::to_string(out);
}

void write_stl(const Surface& surface, const std::filesystem::path& path) {
  base::write_text(path, stl_text(surface));
}

void write_vtp(const Surface& surface, const std::filesystem::path& path) {
  fmt::memory_buffer out;
  auto end = std::back_inserter(out);
  fmt::format_to(end,
                 "<?xml version=\"1.0\"?>\n<VTKFile type=\"PolyData\" version=\"1.0\" "
                 "byte_order=\"LittleEndian\">\n<PolyData>\n<FieldData>\n"
                 "<Array type=\"String\" Name=\"patch_names\" NumberOfTuples=\"{}\" format=\"ascii\">\n",
                 surface.patch_names.size());
  // The format wants strings as character codes, each ended by 0.
  for (const std::string& name : surface.patch_names) {
    for (const char c : name) fmt::format_to(end, "{} ", static_cast<int>(c));
    fmt::format_to(end, "0\n");
  }
  fmt::format_to(end,
                 "</Array>\n</FieldData>\n<Piece NumberOfPoints=\"{}\" NumberOfPolys=\"{}\">\n<Points>\n"
                 "<DataArray type=\"Float64\" NumberOfComponents=\"3\" format=\"ascii\">\n",
                 surface.points.size(),
                 surface.triangles.size());
  for (const base::Vec3& p : surface.points) fmt::format_to(end, "{:.9g} {:.9g} {:.9g}\n", p.x, p.y, p.z);
  fmt::format_to(end,
                 "</DataArray>\n</Points>\n<Polys>\n"
                 "<DataArray type=\"Int32\" Name=\"connectivity\" format=\"ascii\">\n");
  for (const auto& t : surface.triangles) fmt::format_to(end, "{} {} {}\n", t[0], t[1], t[2]);
  fmt::format_to(end, "</DataArray>\n<DataArray type=\"Int32\" Name=\"offsets\" format=\"ascii\">\n");
  for (std::size_t i = 1; i <= surface.triangles.size(); ++i) fmt::format_to(end, "{}\n", 3 * i);
  fmt::format_to(end,
                 "</DataArray>\n</Polys>\n<CellData Scalars=\"patch\">\n"
                 "<DataArray type=\"Int32\" Name=\"patch\" format=\"ascii\">\n");
  for (const std::uint16_t p : surface.patch) fmt::format_to(end, "{}\n", p);
  fmt::format_to(end, "</DataArray>\n</CellData>\n</Piece>\n</PolyData>\n</VTKFile>\n");
  base::write_text(path, std::string_view(out.data(), out.size()));
}

}  // namespace cowlwright::shape
