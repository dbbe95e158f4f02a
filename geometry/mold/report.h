// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a mold check found.
#pragma once

#include "geometry/mold/openings.h"
#include "geometry/mold/options.h"
#include "geometry/mold/radii.h"

namespace cowlwright::mold {

/// Info: stated, not judged.
enum class Verdict { Info, Pass, Warn, Fail };

struct Place {
  int number = 0;  ///< as in the pictures, from 1
  Vec3 point;
  std::string text;  ///< what is there, without the place
};

struct Finding {
  std::string key = {};    ///< "undercut"
  std::string title = {};  ///< "Undercut"
  Verdict verdict = Verdict::Info;
  double value = 0.0;              ///< in `unit`; NaN: none
  std::string unit = {};           ///< "m2", "mm", "deg", ...; empty: none
  std::string limit = {};          ///< with its unit: ">= 3 mm"; empty: none
  std::string text = {};           ///< what was found, with units
  std::vector<Place> places = {};  ///< the worst first
};

struct MoldReport {
  std::vector<Finding> findings;  ///< in the order of a mold maker's questions
  std::vector<Vec3> pulls;        ///< those the faces were divided between
  Halves halves;                  ///< (n_faces)
  std::vector<double> draft;      ///< (n_faces) [rad]
  std::vector<double> undercut;   ///< (n_faces) share, 0 to 1
  Curvatures curvatures;          ///< (n_faces)
  PartingLine parting;
  bool is_parting_given = false;
  std::vector<TrimEdge> edges;
  Extent extent;
  std::vector<std::array<Vec3, 2>> sharp_edges;  ///< of the facets

  Verdict worst() const;
};

/// Everything there is to find, places numbered in the order of the list.
MoldReport check_mold(const Sheet& sheet, const Options& options, std::span<const NearBody> bodies);

/// "pass", "WARN", "FAIL", "info".
const char* verdict_name(Verdict verdict);

/// The list for the screen.
std::string report_text(const MoldReport& report);

/// The list as JSON, lengths in the units written in the keys.
std::string report_json(const MoldReport& report, const Sheet& sheet, const Options& options);

/// VTK XML PolyData with the face arrays draft [deg], undercut [share], radius [mm, the smaller of both
/// kinds, negative on the mold's edges, 1e6 where flat], half and patch.
/// @throws ExternalError  when the file cannot be written.
void write_check_vtp(const Sheet& sheet, const MoldReport& report, const std::filesystem::path& path);

}  // namespace cowlwright::mold
