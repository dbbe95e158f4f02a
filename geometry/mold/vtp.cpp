// SPDX-License-Identifier: GPL-3.0-or-later
//
// The coloured surface: VTK XML PolyData with its arrays behind the XML as they are in memory (VTK's
// "appended raw" form), so that half a million faces take a second, not a minute.
#include "geometry/base/text_file.h"
#include "geometry/mold/findings.h"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>

namespace cowlwright::mold {
namespace {

static_assert(std::endian::native == std::endian::little, "the file says LittleEndian");

/// The part behind the XML: each array after its size in bytes.
class Appendix {
 public:
  template <class T>
  std::string add(const std::string& name, const char* type, int n_components, const std::vector<T>& values) {
    const std::uint64_t size = values.size() * sizeof(T);
    const std::string entry = fmt::format(
        "<DataArray type=\"{}\" Name=\"{}\" NumberOfComponents=\"{}\" format=\"appended\" offset=\"{}\"/>\n",
        type,
        name,
        n_components,
        bytes_.size());
    const std::size_t at = bytes_.size();
    bytes_.resize(at + sizeof(size) + size);
    std::memcpy(bytes_.data() + at, &size, sizeof(size));
    if (size > 0) std::memcpy(bytes_.data() + at + sizeof(size), values.data(), size);
    return entry;
  }
  const std::string& bytes() const { return bytes_; }

 private:
  std::string bytes_;
};

/// The smaller radius [mm] of both kinds, negative on the mold's edges.
float shown_radius(const Curvatures& c, std::size_t f) {
  constexpr double flat = 1e6;
  const bool is_edge = c.edge[f] > c.hollow[f];
  const double curvature = is_edge ? c.edge[f] : c.hollow[f];
  const double radius = std::min(flat, curvature > 0.0 ? in_mm(1.0 / curvature) : flat);
  return static_cast<float>(is_edge && radius < flat ? -radius : radius);
}

}  // namespace

void write_check_vtp(const Sheet& sheet, const MoldReport& report, const std::filesystem::path& path) {
  const std::size_t n = sheet.n_faces();
  std::vector<double> places;
  for (const Vec3& p : sheet.points) places.insert(places.end(), {p.x, p.y, p.z});
  std::vector<std::int32_t> corners, offsets;
  std::vector<float> draft, undercut, radius;
  std::vector<std::int32_t> half, patch;
  for (std::size_t f = 0; f < n; ++f) {
    for (const std::uint32_t k : sheet.faces[f]) corners.push_back(static_cast<std::int32_t>(k));
    offsets.push_back(static_cast<std::int32_t>(3 * (f + 1)));
    draft.push_back(static_cast<float>(in_degrees(report.draft[f])));
    undercut.push_back(static_cast<float>(report.undercut[f]));
    radius.push_back(shown_radius(report.curvatures, f));
    half.push_back(report.halves[f]);
    patch.push_back(f < sheet.patch.size() ? sheet.patch[f] : 0);
  }
  Appendix data;
  std::string xml =
      "<?xml version=\"1.0\"?>\n<VTKFile type=\"PolyData\" version=\"1.0\" byte_order=\"LittleEndian\" "
      "header_type=\"UInt64\">\n<PolyData>\n";
  xml +=
      fmt::format("<Piece NumberOfPoints=\"{}\" NumberOfPolys=\"{}\">\n<Points>\n", sheet.points.size(), n);
  xml += data.add("Points", "Float64", 3, places) + "</Points>\n<Polys>\n";
  xml += data.add("connectivity", "Int32", 1, corners) + data.add("offsets", "Int32", 1, offsets);
  xml += "</Polys>\n<CellData Scalars=\"draft\">\n";
  xml += data.add("draft", "Float32", 1, draft) + data.add("undercut", "Float32", 1, undercut) +
         data.add("radius", "Float32", 1, radius) + data.add("half", "Int32", 1, half) +
         data.add("patch", "Int32", 1, patch);
  xml += "</CellData>\n</Piece>\n</PolyData>\n<AppendedData encoding=\"raw\">\n_";
  base::write_text(path, xml + data.bytes() + "\n</AppendedData>\n</VTKFile>\n");
}

}  // namespace cowlwright::mold
