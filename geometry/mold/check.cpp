// SPDX-License-Identifier: GPL-3.0-or-later
//
// The order of the whole check.
#include "geometry/mold/findings.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <iterator>
#include <utility>

namespace cowlwright::mold {
namespace {

std::vector<Sight> sights_along(const Subject& subject, std::span<const Vec3> pulls) {
  std::vector<Sight> sights;
  for (const Vec3& pull : pulls) {
    sights.push_back(sight_along(subject.sheet, subject.normals, subject.creases, subject.tree, pull));
  }
  return sights;
}

PartingCosts costs_of(const Limits& limits) {
  return {.error_limit = limits.draft_error, .warning_limit = limits.draft_warning};
}

/// A mold in one piece may still be better in two.
Finding two_halves_finding(const Subject& subject) {
  const Vec3 pull = subject.options.pulls.front();
  const std::vector<Vec3> pulls{pull, -1.0 * pull};
  const std::vector<Sight> sights = sights_along(subject, pulls);
  const Halves halves =
      proposed_halves(subject.sheet, subject.normals, pulls, sights, costs_of(subject.options.limits));
  const std::vector<double> hidden = undercut_shares(subject.sheet, halves, sights);
  double area = 0.0;
  for (std::size_t f = 0; f < hidden.size(); ++f) area += hidden[f] * subject.sheet.area[f];
  const PartingLine line = line_between(subject.sheet, halves);
  Finding finding{.key = "two_halves", .title = "If split in two", .value = area, .unit = "m2"};
  finding.text = "drawn " + direction_text(pull) + " and " + direction_text(-1.0 * pull) + ": undercut " +
                 area_text(area) + " left, parting line " + std::to_string(std::lround(in_mm(line.length))) +
                 " mm; give both as --pull";
  return finding;
}

void divide(const Subject& subject, MoldReport& report) {
  const Options& options = subject.options;
  report.is_parting_given = options.split.has_value();
  if (options.split) {
    report.halves = halves_by_plane(subject.sheet, report.pulls, subject.sights, *options.split);
    report.parting = line_of_plane(subject.sheet, *options.split);
    return;
  }
  report.halves =
      proposed_halves(subject.sheet, subject.normals, report.pulls, subject.sights, costs_of(options.limits));
  report.parting = line_between(subject.sheet, report.halves);
}

std::vector<std::array<Vec3, 2>> sharp_lines(const Sheet& sheet, const Creases& creases) {
  std::vector<std::array<Vec3, 2>> lines;
  for (std::size_t f = 0; f < sheet.n_faces(); ++f) {
    for (std::size_t k = 0; k < 3; ++k) {
      const bool is_first = sheet.neighbour[f][k] > static_cast<std::int32_t>(f);
      if (creases.is_sharp[f][k] && is_first) lines.push_back({sheet.corner(f, k), sheet.corner(f, k + 1)});
    }
  }
  return lines;
}

void append(std::vector<Finding>& list, std::vector<Finding> more) {
  list.insert(list.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
}

void number_places(std::vector<Finding>& findings) {
  int number = 0;
  for (Finding& finding : findings) {
    for (Place& place : finding.places) place.number = ++number;
  }
}

}  // namespace

Verdict MoldReport::worst() const {
  Verdict worst = Verdict::Info;
  for (const Finding& finding : findings) worst = std::max(worst, finding.verdict);
  return worst;
}

MoldReport check_mold(const Sheet& sheet, const Options& options, std::span<const NearBody> bodies) {
  assert(!options.pulls.empty());
  const Creases creases = find_creases(sheet);
  const CornerNormals normals = corner_normals(sheet, creases);
  const Tree tree(sheet.points, sheet.faces);
  Subject subject{sheet, creases, normals, tree, options, {}};
  MoldReport report;
  report.pulls = options.pulls;
  if (options.split && report.pulls.size() == 1) report.pulls.push_back(-1.0 * report.pulls.front());
  subject.sights = sights_along(subject, report.pulls);
  divide(subject, report);
  report.draft = draft_angles(sheet, normals, report.pulls, report.halves);
  report.undercut = undercut_shares(sheet, report.halves, subject.sights);
  report.curvatures = fit_curvatures(sheet, creases, normals, options.radius_window);
  report.edges = trim_edges(sheet);
  report.sharp_edges = sharp_lines(sheet, creases);
  report.extent = measure_extent(sheet, report.halves, report.pulls.size(), options.lay_up);

  std::vector<Finding>& list = report.findings;
  list.push_back(mold_side_finding(sheet));
  list.push_back(undercut_finding(subject, report));
  if (report.pulls.size() == 1) list.push_back(two_halves_finding(subject));
  append(list, draft_findings(subject, report));
  append(list, radius_findings(subject, report));
  append(list, parting_findings(subject, report));
  append(list, edge_findings(subject, report));
  list.push_back(thickness_finding(subject));
  for (const NearBody& body : bodies) {
    list.push_back(clearance_finding(body, clearance_to(sheet, tree, body.surface)));
  }
  append(list, extent_findings(report, options.lay_up));
  number_places(list);
  return report;
}

}  // namespace cowlwright::mold
