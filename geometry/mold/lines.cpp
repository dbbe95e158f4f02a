// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/lines.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <unordered_map>
#include <utility>

namespace cowlwright::mold {
namespace {

using Matrix = std::array<std::array<double, 3>, 3>;

/// Eigenvector of the smallest eigenvalue of a symmetric matrix, by Jacobi's rotations.
Vec3 smallest_direction(Matrix a) {
  Matrix v{{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}};
  for (int sweep = 0; sweep < 30; ++sweep) {
    for (std::size_t p = 0; p < 2; ++p) {
      for (std::size_t q = p + 1; q < 3; ++q) {
        if (a[p][q] == 0.0) continue;
        const double angle = 0.5 * std::atan2(2.0 * a[p][q], a[q][q] - a[p][p]);
        const double c = std::cos(angle), s = std::sin(angle);
        for (std::size_t k = 0; k < 3; ++k) {
          const double kp = a[k][p], kq = a[k][q];
          a[k][p] = c * kp - s * kq;
          a[k][q] = s * kp + c * kq;
        }
        for (std::size_t k = 0; k < 3; ++k) {
          const double pk = a[p][k], qk = a[q][k];
          a[p][k] = c * pk - s * qk;
          a[q][k] = s * pk + c * qk;
          const double vp = v[k][p], vq = v[k][q];
          v[k][p] = c * vp - s * vq;
          v[k][q] = s * vp + c * vq;
        }
      }
    }
  }
  const std::size_t least = a[0][0] <= a[1][1] && a[0][0] <= a[2][2] ? 0 : a[1][1] <= a[2][2] ? 1 : 2;
  return {v[0][least], v[1][least], v[2][least]};
}

Vec3 turned_positive(const Vec3& n) {
  const double ax = std::abs(n.x), ay = std::abs(n.y), az = std::abs(n.z);
  const double main = ax >= ay && ax >= az ? n.x : ay >= az ? n.y : n.z;
  return main < 0.0 ? -1.0 * n : n;
}

void step_to_mean(std::vector<Vec3>& line, double share, bool is_closed) {
  const std::vector<Vec3> old = line;
  const std::size_t last = line.size() - 1;
  for (std::size_t i = 0; i <= last; ++i) {
    if (!is_closed && (i == 0 || i == last)) continue;
    const Vec3& before = i == 0 ? old[last - 1] : old[i - 1];
    const Vec3& after = i == last ? old[1] : old[i + 1];
    line[i] = old[i] + share * (0.5 * (before + after) - old[i]);
  }
}

}  // namespace

std::vector<std::vector<std::uint64_t>> join_segments(
    std::span<const std::array<std::uint64_t, 2>> segments) {
  std::unordered_map<std::uint64_t, std::vector<std::size_t>> at;
  for (std::size_t i = 0; i < segments.size(); ++i) {
    at[segments[i][0]].push_back(i);
    at[segments[i][1]].push_back(i);
  }
  std::vector<bool> is_used(segments.size(), false);
  const auto follow = [&](std::size_t first, std::uint64_t from) {
    std::vector<std::uint64_t> chain{from};
    for (std::size_t i = first;;) {
      is_used[i] = true;
      const std::uint64_t to = segments[i][0] == chain.back() ? segments[i][1] : segments[i][0];
      chain.push_back(to);
      const std::vector<std::size_t>& next = at[to];
      if (next.size() != 2) return chain;
      i = next[0] == i ? next[1] : next[0];
      if (is_used[i]) return chain;
    }
  };
  std::vector<std::vector<std::uint64_t>> chains;
  // Open chains from their ends first, then what is left: loops.
  for (std::size_t i = 0; i < segments.size(); ++i) {
    for (const std::uint64_t end : segments[i]) {
      if (!is_used[i] && at[end].size() != 2) chains.push_back(follow(i, end));
    }
  }
  for (std::size_t i = 0; i < segments.size(); ++i) {
    if (!is_used[i]) chains.push_back(follow(i, segments[i][0]));
  }
  return chains;
}

double line_length(std::span<const Vec3> line) {
  double sum = 0.0;
  for (std::size_t i = 1; i < line.size(); ++i) sum += norm(line[i] - line[i - 1]);
  return sum;
}

std::vector<Vec3> smoothed(std::vector<Vec3> line) {
  constexpr int n_rounds = 20;
  constexpr double furthest = 0.010;  // large facets have no stairs to take out [m]
  if (line.size() < 4) return line;
  const bool is_closed = line.front() == line.back();
  const std::vector<Vec3> steps = line;
  for (int i = 0; i < n_rounds; ++i) {
    step_to_mean(line, 0.5, is_closed);
    step_to_mean(line, -0.53, is_closed);
  }
  for (std::size_t i = 0; i < line.size(); ++i) {
    const Vec3 moved = line[i] - steps[i];
    if (norm(moved) > furthest) line[i] = steps[i] + (furthest / norm(moved)) * moved;
  }
  return line;
}

FittedPlane fit_plane(std::span<const std::vector<Vec3>> lines) {
  FittedPlane plane;
  double total = 0.0;
  const auto for_each_piece = [&](auto&& take) {
    for (const std::vector<Vec3>& line : lines) {
      for (std::size_t i = 1; i < line.size(); ++i) {
        take(0.5 * (line[i] + line[i - 1]), norm(line[i] - line[i - 1]));
      }
    }
  };
  for_each_piece([&](const Vec3& p, double w) {
    plane.point = plane.point + w * p;
    total += w;
  });
  if (!(total > 0.0)) return plane;
  plane.point = (1.0 / total) * plane.point;
  Matrix spread{};
  for_each_piece([&](const Vec3& p, double w) {
    const Vec3 r = p - plane.point;
    const std::array<double, 3> d{r.x, r.y, r.z};
    for (std::size_t i = 0; i < 3; ++i) {
      for (std::size_t j = 0; j < 3; ++j) spread[i][j] += w * d[i] * d[j];
    }
  });
  plane.normal = turned_positive(smallest_direction(spread));
  for (const std::vector<Vec3>& line : lines) {
    for (const Vec3& p : line)
      plane.off_plane = std::max(plane.off_plane, std::abs(dot(p - plane.point, plane.normal)));
  }
  return plane;
}

}  // namespace cowlwright::mold
