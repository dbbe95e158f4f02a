// SPDX-License-Identifier: GPL-3.0-or-later
//
// Candidates come from a tree of boxes, what decides are CGAL's exact predicates, on all cores. The library's
// own search wants a manifold mesh, which the surfaces to be judged are not.
#include "geometry/imported/intersections.h"

#include "geometry/imported/box_tree.h"

#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>

#include <algorithm>
#include <atomic>
#include <thread>

namespace cowlwright::imported {

namespace {

using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Point = Kernel::Point_3;
using Corners = std::array<std::uint32_t, 3>;

Point to_point(const base::Vec3& p) {
  return {p.x, p.y, p.z};
}

class PairTest {
 public:
  explicit PairTest(const shape::Surface& surface) : surface_(&surface) {}

  bool is_crossing(std::uint32_t face_a, std::uint32_t face_b) const {
    Corners a = surface_->triangles[face_a];
    Corners b = surface_->triangles[face_b];
    // Shared corners to the front, in one order.
    std::size_t n_shared = 0;
    for (std::size_t i = 0; i < 3 && n_shared < 3; ++i) {
      const auto at = std::find(b.begin() + static_cast<std::ptrdiff_t>(n_shared), b.end(), a[i]);
      if (at == b.end()) continue;
      std::swap(a[i], a[n_shared]);
      std::swap(*at, b[n_shared]);
      ++n_shared;
    }
    if (n_shared == 3) return false;  // a copy, which is another fault
    if (n_shared == 2) return is_folded(a, b);
    if (n_shared == 1) return meet_beyond_corner(a, b);
    return CGAL::do_intersect(triangle(a), triangle(b));
  }

 private:
  Point point(std::uint32_t i) const { return to_point(surface_->points[i]); }
  Kernel::Triangle_3 triangle(const Corners& t) const { return {point(t[0]), point(t[1]), point(t[2])}; }

  /// Both share corners 0 and 1: they overlap when they lie in one plane, on the same side of the edge.
  bool is_folded(const Corners& a, const Corners& b) const {
    const Point p = point(a[0]);
    const Point q = point(a[1]);
    const Point r = point(a[2]);
    const Point s = point(b[2]);
    if (CGAL::orientation(p, q, r, s) != CGAL::COPLANAR) return false;
    return CGAL::coplanar_orientation(p, q, r, s) == CGAL::POSITIVE;
  }

  /// Both share corner 0: they meet elsewhere when the edge opposite to it of one meets the other.
  bool meet_beyond_corner(const Corners& a, const Corners& b) const {
    const Point p = point(a[0]);
    const Point a1 = point(a[1]);
    const Point a2 = point(a[2]);
    const Point b1 = point(b[1]);
    const Point b2 = point(b[2]);
    // Neighbours round a point are mostly on one side of each other's plane, which is quick to see.
    const CGAL::Orientation side_1 = CGAL::orientation(p, a1, a2, b1);
    if (side_1 != CGAL::COPLANAR && side_1 == CGAL::orientation(p, a1, a2, b2)) return false;
    return CGAL::do_intersect(triangle(a), Kernel::Segment_3(b1, b2)) ||
           CGAL::do_intersect(triangle(b), Kernel::Segment_3(a1, a2));
  }

  const shape::Surface* surface_;
};

std::vector<std::uint8_t> without_area(const shape::Surface& surface,
                                       std::span<const std::uint8_t> left_out) {
  std::vector<std::uint8_t> passed_over(left_out.begin(), left_out.end());
  for (std::size_t i = 0; i < passed_over.size(); ++i) {
    const auto& t = surface.triangles[i];
    if (passed_over[i] != 0) continue;
    if (CGAL::collinear(
            to_point(surface.points[t[0]]), to_point(surface.points[t[1]]), to_point(surface.points[t[2]]))) {
      passed_over[i] = 1;
    }
  }
  return passed_over;
}

}  // namespace

Intersections find_intersections(const shape::Surface& surface,
                                 std::span<const std::uint8_t> left_out,
                                 const FaultLimits& limits) {
  const BoxTree tree(surface, without_area(surface, left_out));
  const PairTest test(surface);
  const auto items = tree.items();
  const std::size_t most_tests = limits.most_tests_per_face * std::max<std::size_t>(items.size(), 1000);
  constexpr std::size_t block = 1024;
  std::atomic<std::size_t> next{0};
  std::atomic<std::size_t> n_tests{0};
  std::atomic<std::size_t> n_found{0};
  std::atomic<bool> has_ended_early{false};

  const unsigned n_threads = std::max(1U, std::thread::hardware_concurrency());
  std::vector<std::vector<std::array<std::uint32_t, 2>>> found(n_threads);
  const auto work = [&](std::vector<std::array<std::uint32_t, 2>>& pairs) {
    for (std::size_t begin = next.fetch_add(block); begin < items.size(); begin = next.fetch_add(block)) {
      for (std::size_t i = begin; i < std::min(begin + block, items.size()) && !has_ended_early; ++i) {
        std::size_t tests_here = 0;
        const std::size_t found_before = pairs.size();
        tree.for_each_above(items[i].face, items[i].box, [&](std::uint32_t other) {
          if (has_ended_early) return;
          if (++tests_here % block == 0 && n_tests + tests_here > most_tests) has_ended_early = true;
          if (test.is_crossing(items[i].face, other)) pairs.push_back({items[i].face, other});
        });
        if ((n_tests += tests_here) > most_tests) has_ended_early = true;
        if ((n_found += pairs.size() - found_before) > limits.most_intersections) has_ended_early = true;
      }
    }
  };
  std::vector<std::thread> threads;
  for (unsigned k = 1; k < n_threads; ++k) threads.emplace_back(work, std::ref(found[k]));
  work(found[0]);
  for (std::thread& thread : threads) thread.join();

  Intersections result;
  result.is_complete = !has_ended_early;
  for (const auto& pairs : found) result.pairs.insert(result.pairs.end(), pairs.begin(), pairs.end());
  std::sort(result.pairs.begin(), result.pairs.end());
  return result;
}

}  // namespace cowlwright::imported
