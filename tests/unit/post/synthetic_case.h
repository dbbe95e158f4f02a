// SPDX-License-Identifier: GPL-3.0-or-later
//
// Tiny solved cases for the tests: a straight duct of cubic cells along x, written in OpenFOAM's format by
// our own few lines, with fluxes and fields that the test chooses. No solver is involved, so every expected
// number is known by hand.
#pragma once

#include "geometry/base/manifest.h"
#include "geometry/base/vec3.h"

#include <filesystem>
#include <functional>
#include <map>
#include <string>
#include <vector>

namespace cowlwright::post::synthetic {

enum class Encoding { Ascii, Binary, Gzip };  ///< Gzip: compressed ascii

/// A face of the duct as the test sees it.
struct DuctFace {
  base::Vec3 centre;  ///< [m]
  base::Vec3 area;    ///< along the face's own normal [m²]
};

/// nx * ny * nz cells of edge `cell`, from `origin` on. Patches: "front" (lowest x), "back", "sides".
struct Duct {
  int nx = 4;
  int ny = 2;
  int nz = 2;
  double cell = 0.5;  ///< [m]
  base::Vec3 origin;  ///< [m]
  Encoding encoding = Encoding::Ascii;
  int label_bytes = 4;  ///< of binary files

  /// Name -> which faces.
  std::map<std::string, std::function<bool(const DuctFace&)>> face_zones;
  /// Flip marks of all zones; by default every zone looks along +x, +y or +z.
  std::function<bool(const DuctFace&)> is_flipped = [](const DuctFace& face) {
    return face.area.x + face.area.y + face.area.z < 0.0;
  };
  /// Name -> which cells, by centre.
  std::map<std::string, std::function<bool(const base::Vec3&)>> cell_zones;

  /// Mass flux [kg/s] along a face's own normal.
  std::function<double(const DuctFace&)> flux = [](const DuctFace&) { return 0.0; };
  std::string flux_dimensions = "[1 0 -1 0 0 0 0]";
  /// Cell fields by centre; a field without function is not written.
  std::function<double(const base::Vec3&)> pressure;
  std::function<double(const base::Vec3&)> temperature;
  std::function<double(const base::Vec3&)> density;
  std::function<base::Vec3(const base::Vec3&)> velocity;
  std::string force_name;  ///< of a vector field with `force`
  std::function<base::Vec3(const base::Vec3&)> force;
  std::string force_dimensions = "[1 -2 -2 0 0 0 0]";
};

/// Faces whose normal is along x at this x.
std::function<bool(const DuctFace&)> faces_at_x(double x);
/// Cells with x between two bounds.
std::function<bool(const base::Vec3&)> cells_between(double low, double high);

/// Writes the whole duct into `dir` as one rank's case: constant/polyMesh, <time>/, system/controlDict.
void write_duct(const Duct& duct, const std::filesystem::path& dir, const std::string& time);

/// Writes it as two ranks, cut at column `split` of cells: processor0 and processor1.
void write_split_duct(const Duct& duct, int split, const std::filesystem::path& dir, const std::string& time);

/// Writes text, making folders.
void put_text(const std::filesystem::path& path, const std::string& text);

}  // namespace cowlwright::post::synthetic
