// SPDX-License-Identifier: GPL-3.0-or-later
//
// From what was measured to a list with verdicts. Internal to the folder.
#pragma once

#include "geometry/mold/clearance.h"
#include "geometry/mold/flange.h"
#include "geometry/mold/report.h"
#include "geometry/mold/thickness.h"

namespace cowlwright::mold {

struct Subject {
  const Sheet& sheet;
  const Creases& creases;
  const CornerNormals& normals;
  const Tree& tree;
  const Options& options;
  std::vector<Sight> sights;  ///< of report.pulls
};

Finding mold_side_finding(const Sheet& sheet);
Finding undercut_finding(const Subject& subject, const MoldReport& report);
/// Faults, then warnings.
std::vector<Finding> draft_findings(const Subject& subject, const MoldReport& report);
std::vector<Finding> radius_findings(const Subject& subject, const MoldReport& report);
std::vector<Finding> parting_findings(const Subject& subject, const MoldReport& report);
std::vector<Finding> edge_findings(const Subject& subject, const MoldReport& report);
Finding thickness_finding(const Subject& subject);
std::vector<Finding> extent_findings(const MoldReport& report, const LayUp& lay_up);
Finding clearance_finding(const NearBody& body, const Clearance& clearance);

/// For numbers in messages.
double in_mm(double metres);
double in_degrees(double radians);
/// "0.0123 m2", "85 cm2", "12 mm2": with the unit that reads best.
std::string area_text(double area);
/// "+y", "-z", "(0.2, 0.9, 0.4)": a direction.
std::string direction_text(const Vec3& direction);

}  // namespace cowlwright::mold
