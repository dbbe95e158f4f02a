// SPDX-License-Identifier: GPL-3.0-or-later
//
// Undercuts, draft and radii.
#include "geometry/mold/findings.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace cowlwright::mold {
namespace {

constexpr std::size_t most_places = 6;
constexpr double picked_share = 0.02;  // of a face's area from which it belongs to a place
constexpr double shortest_sharp =
    0.01;  // run of sharp edges that is listed; shorter ones are flaws of facets [m]
constexpr double radius_area = 2e-5;  // of the surface that a smallest radius needs [m²]

std::string more_text(std::size_t n_all) {
  return n_all > most_places ? fmt::format(", the largest {} listed", most_places) : std::string{};
}

std::string count_text(std::size_t n) {
  return n == 1 ? "1 place" : fmt::format("{} places", n);
}

std::vector<Region> large_enough(std::vector<Region> regions, double least_area) {
  std::erase_if(regions, [&](const Region& r) { return r.area < least_area; });
  return regions;
}

double sum_of(const Sheet& sheet, const std::vector<double>& share) {
  double sum = 0.0;
  for (std::size_t f = 0; f < share.size(); ++f) sum += share[f] * sheet.area[f];
  return sum;
}

const std::string& patch_at(const Sheet& sheet, std::size_t face) {
  static const std::string none;
  return face < sheet.patch.size() && sheet.patch[face] < sheet.patch_names.size()
             ? sheet.patch_names[sheet.patch[face]]
             : none;
}

/// What hides a region: the face most of it names.
std::string hidden_text(const Subject& subject, const MoldReport& report, const Region& region) {
  const Sheet& sheet = subject.sheet;
  const Sight& sight = subject.sights[report.halves[region.faces.front()]];
  double away = 0.0, behind = 0.0;
  std::uint32_t example = region.faces.front();
  double nearest = std::numeric_limits<double>::infinity();
  for (const std::uint32_t f : region.faces) {
    const bool is_behind = sight.hidden_by[f] >= 0;
    (is_behind ? behind : away) += sheet.area[f] * report.undercut[f];
    if (!is_behind || norm(sheet.centroid[f] - region.place) >= nearest) continue;
    nearest = norm(sheet.centroid[f] - region.place);
    example = f;
  }
  const std::string pull = direction_text(report.pulls[report.halves[region.faces.front()]]);
  std::string text = fmt::format("{} on {}", area_text(region.area), patch_at(sheet, example));
  if (away > behind) return text + fmt::format(", faces away from the pull {}", pull);
  const auto hider = static_cast<std::size_t>(sight.hidden_by[example]);
  return text + fmt::format(", hidden along {} by {} at {}",
                            pull,
                            patch_at(sheet, hider),
                            place_text(sheet.centroid[hider]));
}

/// Regions that do not reach across from one half to another.
std::vector<Region> regions_by_half(const Sheet& sheet,
                                    const MoldReport& report,
                                    const std::vector<double>& share,
                                    double picked_from) {
  std::vector<Region> all;
  for (std::size_t half = 0; half < report.pulls.size(); ++half) {
    std::vector<bool> is_picked(sheet.n_faces());
    for (std::size_t f = 0; f < sheet.n_faces(); ++f) {
      is_picked[f] = report.halves[f] == half && share[f] > picked_from;
    }
    for (Region& r : connected_regions(sheet, is_picked, share)) all.push_back(std::move(r));
  }
  std::stable_sort(all.begin(), all.end(), [](const Region& a, const Region& b) { return a.area > b.area; });
  return all;
}

/// Mean height of a region along its pull: its area over its length across the pull, which is half of its
/// outline seen along the pull; at most its extent along the pull.
double height_along_pull(const Sheet& sheet,
                         const MoldReport& report,
                         const Region& region,
                         const std::vector<double>& share) {
  constexpr double infinity = std::numeric_limits<double>::infinity();
  const std::uint8_t half = report.halves[region.faces.front()];
  const Vec3& pull = report.pulls[half];
  double low = infinity, high = -infinity, outline = 0.0;
  for (const std::uint32_t f : region.faces) {
    for (std::size_t k = 0; k < 3; ++k) {
      low = std::min(low, dot(sheet.corner(f, k), pull));
      high = std::max(high, dot(sheet.corner(f, k), pull));
      const std::int32_t n = sheet.neighbour[f][k];
      const auto other = static_cast<std::size_t>(n);
      if (n >= 0 && report.halves[other] == half && share[other] > picked_share) continue;
      const Vec3 edge = sheet.corner(f, k + 1) - sheet.corner(f, k);
      outline += norm(edge - dot(edge, pull) * pull);
    }
  }
  return outline > 0.0 ? std::min(high - low, 2.0 * region.area / outline) : high - low;
}

/// Area with a draft between two limits [rad].
Finding draft_finding(const Subject& subject, const MoldReport& report, Verdict verdict) {
  const Sheet& sheet = subject.sheet;
  const Limits& limits = subject.options.limits;
  const bool is_error = verdict == Verdict::Fail;
  const double limit = is_error ? limits.draft_error : limits.draft_warning;
  const auto below = [&](double angle) {
    return share_below(sheet, subject.normals, report.pulls, report.halves, angle);
  };
  std::vector<double> share = below(limit);
  const std::vector<double> listed_before =
      is_error ? std::vector<double>(share.size(), 0.0) : below(limits.draft_error);
  for (std::size_t f = 0; f < share.size(); ++f)
    share[f] = (share[f] - listed_before[f]) * (1.0 - report.undercut[f]);
  const double area = sum_of(sheet, share);
  const std::vector<Region> regions =
      large_enough(regions_by_half(sheet, report, share, picked_share), limits.least_area);
  Finding finding{.key = is_error ? "draft_error" : "draft_warning",
                  .title = is_error ? fmt::format("Draft below {:.3g} deg", in_degrees(limit))
                                    : fmt::format("Draft {:.3g} to {:.3g} deg",
                                                  in_degrees(limits.draft_error),
                                                  in_degrees(limit)),
                  .verdict = Verdict::Pass,
                  .value = area,
                  .unit = "m2",
                  .limit = fmt::format(">= {:.3g} deg", in_degrees(limit))};
  double highest = 0.0;
  for (const Region& region : regions) {
    const Vec3& pull = report.pulls[report.halves[region.faces.front()]];
    const double height = height_along_pull(sheet, report, region, share);
    highest = std::max(highest, height);
    if (finding.places.size() == most_places) continue;
    finding.places.push_back({0,
                              region.place,
                              fmt::format("{} on {}, {:.0f} mm high along the pull {}",
                                          area_text(region.area),
                                          patch_at(sheet, region.faces.front()),
                                          in_mm(height),
                                          direction_text(pull))});
  }
  if (!regions.empty()) finding.verdict = highest > limits.wall_height ? verdict : Verdict::Warn;
  finding.text = regions.empty()
                     ? fmt::format("{}, nowhere over {}", area_text(area), area_text(limits.least_area))
                     : fmt::format("{} in {}{}; up to {:.0f} mm high along the pull",
                                   area_text(area),
                                   count_text(regions.size()),
                                   more_text(regions.size()),
                                   in_mm(highest));
  return finding;
}

Finding radius_finding(const Subject& subject, const MoldReport& report, Bend bend) {
  const bool is_hollow = bend == Bend::Hollow;
  const Limits& limits = subject.options.limits;
  const double limit = is_hollow ? limits.inside_radius : limits.outside_radius;
  const SmallestRadius smallest = smallest_radius(subject.sheet, report.curvatures, bend, limit, radius_area);
  std::vector<SharpRun> runs = sharp_runs(subject.sheet, subject.creases, bend);
  const std::size_t n_short =
      std::erase_if(runs, [](const SharpRun& run) { return run.length < shortest_sharp; });
  Finding finding{.key = is_hollow ? "inside_radius" : "outside_radius",
                  .title = is_hollow ? "Inside radius" : "Outside radius",
                  .verdict = Verdict::Pass,
                  .value = smallest.is_found ? in_mm(smallest.radius) : std::nan(""),
                  .unit = "mm",
                  .limit = fmt::format(">= {:.3g} mm", in_mm(limit))};
  finding.text =
      is_hollow ? "hollows of the mold, edges of the part: " : "edges of the mold, hollows of the part: ";
  finding.text +=
      smallest.is_found ? fmt::format("smallest {:.3g} mm", in_mm(smallest.radius)) : "no curved surface";
  if (smallest.area_below >= limits.least_area) {
    finding.text += fmt::format(", {} below the limit", area_text(smallest.area_below));
  }
  if (smallest.is_found) {
    finding.places.push_back({0,
                              smallest.place,
                              fmt::format("radius {:.3g} mm (facets here show {:.3g} mm and more)",
                                          in_mm(smallest.radius),
                                          in_mm(smallest.resolvable))});
  }
  double sharp_length = 0.0;
  for (const SharpRun& run : runs) sharp_length += run.length;
  if (!runs.empty()) {
    finding.text += fmt::format("; sharp in the facets over {:.0f} mm in {}{}",
                                in_mm(sharp_length),
                                count_text(runs.size()),
                                more_text(runs.size()));
  }
  if (n_short > 0)
    finding.text +=
        fmt::format("; {} sharp spots shorter than {:.0f} mm passed over", n_short, in_mm(shortest_sharp));
  for (std::size_t i = 0; i < std::min(runs.size(), most_places); ++i) {
    finding.places.push_back(
        {0,
         runs[i].place,
         fmt::format("sharp edge, {:.0f} mm long, turns up to {:.0f} deg: radius below {:.3g} mm, more the "
                     "facets do not tell",
                     in_mm(runs[i].length),
                     in_degrees(runs[i].turn),
                     in_mm(runs[i].resolvable))});
  }
  const bool is_small = smallest.is_found && smallest.radius < limit;
  if (is_small || !runs.empty() || smallest.area_unresolved >= limits.least_area)
    finding.verdict = Verdict::Warn;
  return finding;
}

/// The radius that facets over half of the area can show.
Finding resolution_finding(const Subject& subject, const MoldReport& report) {
  std::vector<std::uint32_t> order(subject.sheet.n_faces());
  for (std::uint32_t f = 0; f < order.size(); ++f) order[f] = f;
  const std::vector<double>& resolvable = report.curvatures.resolvable;
  std::sort(order.begin(), order.end(), [&](auto a, auto b) { return resolvable[a] < resolvable[b]; });
  double area = 0.0;
  double median = 0.0;
  for (const std::uint32_t f : order) {
    area += subject.sheet.area[f];
    median = resolvable[f];
    if (area >= 0.5 * report.extent.area) break;
  }
  double unresolved = 0.0;
  for (std::size_t f = 0; f < resolvable.size(); ++f) {
    const double curvature = std::max(report.curvatures.hollow[f], report.curvatures.edge[f]);
    if (curvature * resolvable[f] > 1.0) unresolved += subject.sheet.area[f];
  }
  Finding finding{
      .key = "resolved_radius", .title = "Radius the facets show", .value = in_mm(median), .unit = "mm"};
  finding.text = fmt::format(
      "over half of the surface the facets show radii of {:.3g} mm and more, the finest {:.3g} mm",
      in_mm(median),
      in_mm(resolvable[order.front()]));
  if (unresolved >= subject.options.limits.least_area) {
    finding.verdict = Verdict::Warn;
    finding.text += fmt::format("; on {} they are too coarse for the curvature there", area_text(unresolved));
  }
  return finding;
}

}  // namespace

double in_mm(double metres) {
  return 1000.0 * metres;
}
double in_degrees(double radians) {
  return radians / one_degree;
}

std::string area_text(double area) {
  if (!(area > 0.0)) return "0 m2";
  if (area < 1e-4) return fmt::format("{:.2g} mm2", 1e6 * area);
  if (area < 1e-2) return fmt::format("{:.3g} cm2", 1e4 * area);
  return fmt::format("{:.4g} m2", area);
}

std::string direction_text(const Vec3& d) {
  const std::array<double, 3> v{d.x, d.y, d.z};
  for (std::size_t k = 0; k < 3; ++k) {
    if (std::abs(v[k]) > 1.0 - 1e-9) return fmt::format("{}{}", v[k] < 0.0 ? '-' : '+', "xyz"[k]);
  }
  return fmt::format("({:.3g}, {:.3g}, {:.3g})", d.x, d.y, d.z);
}

Finding undercut_finding(const Subject& subject, const MoldReport& report) {
  const Sheet& sheet = subject.sheet;
  const Limits& limits = subject.options.limits;
  const double area = sum_of(sheet, report.undercut);
  const std::vector<Region> regions =
      large_enough(regions_by_half(sheet, report, report.undercut, picked_share), limits.least_area);
  Finding finding{.key = "undercut",
                  .title = "Undercut",
                  .verdict = regions.empty() ? Verdict::Pass : Verdict::Fail,
                  .value = area,
                  .unit = "m2",
                  .limit = fmt::format("< {} a place", area_text(limits.least_area))};
  finding.text = regions.empty()
                     ? fmt::format("{}, nowhere over {}", area_text(area), area_text(limits.least_area))
                     : fmt::format("{} ({:.2g} %) in {}{}",
                                   area_text(area),
                                   100.0 * area / report.extent.area,
                                   count_text(regions.size()),
                                   more_text(regions.size()));
  for (std::size_t i = 0; i < std::min(regions.size(), most_places); ++i) {
    finding.places.push_back({0, regions[i].place, hidden_text(subject, report, regions[i])});
  }
  return finding;
}

std::vector<Finding> draft_findings(const Subject& subject, const MoldReport& report) {
  return {draft_finding(subject, report, Verdict::Fail), draft_finding(subject, report, Verdict::Warn)};
}

std::vector<Finding> radius_findings(const Subject& subject, const MoldReport& report) {
  return {radius_finding(subject, report, Bend::Hollow),
          radius_finding(subject, report, Bend::Edge),
          resolution_finding(subject, report)};
}

}  // namespace cowlwright::mold
