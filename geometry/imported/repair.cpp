// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/repair.h"

#include "geometry/base/error.h"
#include "geometry/imported/cross_shells.h"
#include "geometry/imported/orient.h"
#include "geometry/imported/remesh.h"
#include "geometry/imported/self_intersections.h"
#include "geometry/imported/uncross.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace cowlwright::imported {

namespace {

using base::Vec3;
using shape::Surface;

constexpr double nan = std::numeric_limits<double>::quiet_NaN();

/// Triangles lower than a nanometre have no direction: coordinates of a metre keep 1e-16 m in double and 1e-7
/// m in the single precision of most files, so such a triangle is three points on a line, not a small shape.
constexpr double least_height = 1e-9;

std::string place(const Vec3& p) {
  return fmt::format("FS {:.1f} mm, BL {:.1f} mm, WL {:.1f} mm", 1e3 * p.x, 1e3 * p.y, 1e3 * p.z);
}

void check(const Surface& given, const RepairSettings& settings) {
  const auto refuse = [](const char* name, double value, const char* rule) {
    throw base::InputError(fmt::format("repair: {} = {} mm: {}.", name, 1e3 * value, rule));
  };
  if (!(settings.weld >= 0.0 && settings.weld <= 0.1)) refuse("weld", settings.weld, "must be 0 to 100 mm");
  if (!(settings.fill_holes >= 0.0 && std::isfinite(settings.fill_holes)))
    refuse("fill-holes", settings.fill_holes, "must be >= 0 mm");
  if (!(settings.tolerance > 0.0 && std::isfinite(settings.tolerance)))
    refuse("tolerance", settings.tolerance, "must be > 0 mm");
  if (settings.remesh_edge && !(*settings.remesh_edge >= 1e-4))
    refuse("remesh", *settings.remesh_edge, "must be >= 0.1 mm");
  if (!(settings.crumb_share >= 0.0 && settings.crumb_share < 0.5)) {
    throw base::InputError(
        fmt::format("repair: crumbs = {} %: must be 0 to 50 % of the area.", 100.0 * settings.crumb_share));
  }
  if (given.triangles.empty()) throw base::InputError("repair: the surface has no triangle. Check the file.");
  for (const Vec3& p : given.points) {
    if (std::isfinite(p.x) && std::isfinite(p.y) && std::isfinite(p.z)) continue;
    throw base::InputError("repair: a coordinate is not a finite number. Write the file again.");
  }
}

/// Leaves out the smallest triangle at each edge that has more than two or two of one sense. @return their
/// number.
std::size_t drop_crowding(TracedSurface& traced) {
  const Surface& surface = traced.surface;
  const auto area = [&](const EdgeUse& use) {
    const auto& t = surface.triangles[use.triangle];
    const Vec3& a = surface.points[t[0]];
    return norm(cross(surface.points[t[1]] - a, surface.points[t[2]] - a));
  };
  std::vector<char> is_kept(surface.triangles.size(), 1);
  for_each_edge(edge_uses(surface), [&](std::span<const EdgeUse> edge) {
    if (edge.size() == 1 || (edge.size() == 2 && edge[0].runs_up != edge[1].runs_up)) return;
    const auto smallest = std::min_element(
        edge.begin(), edge.end(), [&](const EdgeUse& a, const EdgeUse& b) { return area(a) < area(b); });
    is_kept[smallest->triangle] = 0;
  });
  return traced.keep(is_kept);
}

/// The surface on its way, and the record.
class Repair {
 public:
  Repair(const Surface& given, const RepairSettings& settings)
      : given_(given), settings_(settings), traced_(given) {
    result_.before = condition_of(given);
    result_.tolerance = settings.tolerance;
  }
  RepairedSurface run() &&;

 private:
  RepairStep& record(std::string name, std::string did, std::size_t count, double greatest = 0.0);
  void hang_together();
  void drop_crumbs();
  void close_holes();
  void unite_shells();
  void take_out_crossings();
  void remesh_evenly();
  void compare();
  void list_faults();

  const Surface& given_;
  const RepairSettings& settings_;
  TracedSurface traced_;
  bool is_oriented_ = false;
  std::size_t n_crossings_ = 0;
  Surface to_cover_;  ///< what the result must still have
  RepairedSurface result_;
};

RepairStep& Repair::record(std::string name, std::string did, std::size_t count, double greatest) {
  const double volume = is_oriented_ ? lidded_volume(traced_.surface) : nan;
  result_.steps.push_back(
      {std::move(name), std::move(did), count, greatest, surface_area(traced_.surface), volume, {}});
  return result_.steps.back();
}

void Repair::hang_together() {
  const Moved welded = weld(traced_, settings_.weld);
  record("weld", "points joined", welded.count, welded.greatest);
  const Moved split = split_at_hanging_points(traced_, settings_.weld);
  record("stitch", "points set into an open edge across a crack", split.count, split.greatest);
  record("degenerate", "triangles with equal corners dropped", drop_collapsed(traced_));
  record("duplicates", "triangles dropped that were there already", drop_duplicates(traced_));
  record("flat", "triangles without height dropped or turned", drop_flat(traced_, least_height));
  if (traced_.surface.triangles.empty())
    throw base::ResultError("repair: no triangle has an area. Check the unit and the weld tolerance.");
  Oriented oriented = orient(traced_.surface);
  // Fans that meet again round a crowded edge cannot be taken apart at their points: the smallest triangle
  // there goes.
  std::size_t n_dropped = 0;
  constexpr int most_passes = 20;
  for (int pass = 0; pass < most_passes; ++pass) {
    const std::size_t n = drop_crowding(traced_);
    if (n == 0) break;
    n_dropped += n;
    const Oriented again = orient(traced_.surface);
    oriented.n_turned += again.n_turned;
    oriented.n_split_points += again.n_split_points;
  }
  is_oriented_ = oriented.n_crowded_edges == 0 || condition_of(traced_.surface).n_crowded_edges == 0;
  record("orient", "triangles turned to agree with their neighbours", oriented.n_turned);
  RepairStep& split_step =
      record("split", "edges with more than two triangles taken apart", oriented.n_crowded_edges);
  if (oriented.n_split_points > 0)
    split_step.note = fmt::format("{} points doubled", oriented.n_split_points);
  if (n_dropped > 0) split_step.note += fmt::format("; {} triangles dropped there", n_dropped);
  if (oriented.n_one_sided > 0)
    split_step.note += fmt::format("; {} edges cut, for the shell had one side only", oriented.n_one_sided);
}

void Repair::drop_crumbs() {
  const Surface& surface = traced_.surface;
  const std::vector<std::uint32_t> label = shells(surface);
  std::vector<Crumb> all(1 + *std::max_element(label.begin(), label.end()));
  constexpr double far = std::numeric_limits<double>::infinity();
  std::vector<shape::Box> boxes(all.size(), {{far, far, far}, {-far, -far, -far}});
  for (std::size_t i = 0; i < label.size(); ++i) {
    Crumb& crumb = all[label[i]];
    shape::Box& box = boxes[label[i]];
    const auto& t = surface.triangles[i];
    const Vec3& a = surface.points[t[0]];
    ++crumb.n_triangles;
    crumb.area += 0.5 * norm(cross(surface.points[t[1]] - a, surface.points[t[2]] - a));
    for (const std::uint32_t k : t) {
      const Vec3& p = surface.points[k];
      box.low = {std::min(box.low.x, p.x), std::min(box.low.y, p.y), std::min(box.low.z, p.z)};
      box.high = {std::max(box.high.x, p.x), std::max(box.high.y, p.y), std::max(box.high.z, p.z)};
    }
  }
  const double least = settings_.crumb_share * surface_area(surface);
  std::vector<char> is_kept(label.size());
  for (std::size_t i = 0; i < label.size(); ++i) is_kept[i] = all[label[i]].area >= least;
  for (std::size_t s = 0; s < all.size(); ++s) {
    if (all[s].area >= least) continue;
    all[s].extent = norm(boxes[s].high - boxes[s].low);
    all[s].centre = 0.5 * (boxes[s].high + boxes[s].low);
    result_.crumbs.push_back(all[s]);
  }
  std::stable_sort(result_.crumbs.begin(), result_.crumbs.end(), [](const Crumb& a, const Crumb& b) {
    return a.area > b.area;
  });
  traced_.keep(is_kept);
  drop_unused_points(traced_.surface);
  double greatest = 0.0;
  for (const Crumb& crumb : result_.crumbs) greatest = std::max(greatest, crumb.extent);
  record("crumbs", "loose pieces left out", result_.crumbs.size(), greatest);
  // What is left stands for all triangles that were given, but those of crumbs and of duplicates.
  to_cover_ = {given_.points, {}, {}, given_.patch_names};
  std::vector<char> is_listed(given_.triangles.size(), 0);
  for (const std::uint32_t source : traced_.source) {
    if (std::exchange(is_listed[source], 1)) continue;
    to_cover_.triangles.push_back(given_.triangles[source]);
    to_cover_.patch.push_back(given_.patch[source]);
  }
}

void Repair::close_holes() {
  const Filled filled = fill_holes(traced_, settings_.fill_holes);
  RepairStep& step = record("fill", "holes closed", filled.n_holes, filled.greatest);
  if (filled.n_holes > 0)
    step.note = fmt::format("{} triangles, {:.1f} cm², flat between border points: patch {}",
                            filled.n_triangles,
                            1e4 * filled.area,
                            filled_patch);
  if (filled.n_left_over > 0) step.note += fmt::format(" ({} small borders left open)", filled.n_left_over);
  result_.reference = given_;
  Surface& reference = result_.reference;
  const auto offset = static_cast<std::uint32_t>(reference.points.size());
  if (filled.n_holes == 0) return;
  reference.points.insert(
      reference.points.end(), traced_.surface.points.begin(), traced_.surface.points.end());
  for (std::size_t i = 0; i < traced_.source.size(); ++i) {
    if (traced_.source[i] != TracedSurface::made) continue;
    auto t = traced_.surface.triangles[i];
    for (std::uint32_t& k : t) k += offset;
    reference.triangles.push_back(t);
    reference.patch.push_back(0);
  }
}

void Repair::unite_shells() {
  const UnitedShells united = unite_crossing_shells(traced_.surface);
  n_crossings_ = united.n_crossings_left;
  RepairStep& step = record("unite", "shells that crossed made one", united.n_united);
  step.note = united.note;
  if (united.n_united == 0) return;
  traced_ = TracedSurface(united.surface);
  to_cover_ = traced_.surface;
  RepairStep& after = result_.steps.back();
  after.area = surface_area(traced_.surface);
  after.volume = lidded_volume(traced_.surface);
}

void Repair::take_out_crossings() {
  const std::size_t before = n_crossings_;
  std::string note;
  if (before > 0 && settings_.remove_crossings) {
    Uncrossed uncrossed = remove_crossings(traced_.surface, before);
    n_crossings_ = uncrossed.n_left;
    if (n_crossings_ < before) {
      take_patches(uncrossed.surface, traced_.surface);
      traced_ = TracedSurface(std::move(uncrossed.surface));
    }
    if (n_crossings_ > 0) note = fmt::format("{} pairs are left", n_crossings_);
  } else if (before > 0) {
    note = "left as they are: not asked for";
  }
  record("uncross", "pairs of triangles that crossed taken out", before - std::min(before, n_crossings_))
      .note = note;
}

void Repair::remesh_evenly() {
  if (!settings_.remesh_edge) return;
  traced_ = TracedSurface(remesh(traced_.surface, *settings_.remesh_edge));
  n_crossings_ = crossing_triangles(traced_.surface).size();
  record("remesh", "triangles now", traced_.surface.triangles.size());
}

void Repair::compare() {
  result_.deviation = deviation(result_.surface, result_.reference);
  result_.coverage = coverage(to_cover_, result_.surface, sample_spacing(to_cover_));
  result_.broken_tolerance =
      tolerance_breach(result_.deviation.figures, result_.coverage, settings_.tolerance);
}

void Repair::list_faults() {
  const SurfaceCondition& after = result_.after;
  const auto fault = [&](std::size_t n, const char* what) {
    if (n > 0) result_.faults.push_back(fmt::format("{} {}", n, what));
  };
  fault(after.n_crowded_edges, "edges with more than two triangles");
  fault(after.n_opposed_edges, "edges whose triangles disagree in sense");
  fault(n_crossings_, "pairs of triangles cross or touch");
}

RepairedSurface Repair::run() && {
  hang_together();
  drop_crumbs();
  const std::size_t n_outward = turn_outward(traced_.surface);
  record("outward", "triangles of whole shells turned outward", n_outward);
  close_holes();
  if (traced_.surface.triangles.empty())
    throw base::ResultError("repair: nothing is left. Lower the share of crumbs.");
  unite_shells();
  take_out_crossings();
  remesh_evenly();
  result_.surface = std::move(traced_.surface);
  drop_unused_points(result_.surface);
  result_.after = condition_of(result_.surface);
  result_.after.n_crossings = n_crossings_;
  result_.openings = result_.after.n_crowded_edges == 0 ? openings(result_.surface) : std::vector<Opening>{};
  compare();
  list_faults();
  return std::move(result_);
}

}  // namespace

SurfaceCondition condition_of(const Surface& surface) {
  SurfaceCondition condition;
  condition.n_points = surface.points.size();
  condition.n_triangles = surface.triangles.size();
  condition.area = surface_area(surface);
  const std::vector<std::uint32_t> label = shells(surface);
  if (!label.empty()) condition.n_shells = 1 + *std::max_element(label.begin(), label.end());
  for_each_edge(edge_uses(surface), [&](std::span<const EdgeUse> edge) {
    if (edge.size() == 1) ++condition.n_open_edges;
    if (edge.size() > 2) ++condition.n_crowded_edges;
    if (edge.size() == 2 && edge[0].runs_up == edge[1].runs_up) ++condition.n_opposed_edges;
  });
  const bool agrees = condition.n_crowded_edges + condition.n_opposed_edges == 0;
  condition.volume = agrees ? lidded_volume(surface) : nan;
  return condition;
}

std::string tolerance_breach(const DeviationFigures& deviation,
                             const DeviationFigures& coverage,
                             double tolerance) {
  std::string breach;
  if (!(deviation.greatest() <= tolerance)) {
    const bool out = deviation.outward >= deviation.inward;
    breach = fmt::format("the result lies {:.3f} mm {} the original at {}: limit {:.3f} mm",
                         1e3 * deviation.greatest(),
                         out ? "outside" : "inside",
                         place(out ? deviation.outward_at : deviation.inward_at),
                         1e3 * tolerance);
  }
  if (!(coverage.greatest() <= tolerance)) {
    const bool out = coverage.outward >= coverage.inward;
    if (!breach.empty()) breach += "; ";
    breach += fmt::format("the original has a place {:.3f} mm {} the result, at {}: limit {:.3f} mm",
                          1e3 * coverage.greatest(),
                          out ? "outside" : "inside",
                          place(out ? coverage.outward_at : coverage.inward_at),
                          1e3 * tolerance);
  }
  return breach;
}

RepairedSurface repair(const Surface& given, const RepairSettings& settings) {
  check(given, settings);
  return Repair(given, settings).run();
}

}  // namespace cowlwright::imported
