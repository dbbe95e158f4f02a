// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/polygon.h"

#include <cmath>
#include <numeric>

namespace cowlwright::imported {

namespace {

struct Flat {
  double u = 0;
  double v = 0;
};

/// Twice the area vector (Newell's sum), taken about the first corner.
base::Vec3 area_vector(std::span<const base::Vec3> corners) {
  base::Vec3 sum;
  for (std::size_t i = 1; i + 1 < corners.size(); ++i) {
    sum = sum + cross(corners[i] - corners[0], corners[i + 1] - corners[0]);
  }
  return sum;
}

/// Drops the coordinate along which the area vector is longest, keeping the polygon counter-clockwise.
std::vector<Flat> flattened(std::span<const base::Vec3> corners) {
  const base::Vec3 n = area_vector(corners);
  const double x = std::abs(n.x);
  const double y = std::abs(n.y);
  const double z = std::abs(n.z);
  std::vector<Flat> flat;
  flat.reserve(corners.size());
  for (const base::Vec3& p : corners) {
    if (x >= y && x >= z) {
      flat.push_back(n.x >= 0 ? Flat{p.y, p.z} : Flat{p.z, p.y});
    } else if (y >= z) {
      flat.push_back(n.y >= 0 ? Flat{p.z, p.x} : Flat{p.x, p.z});
    } else {
      flat.push_back(n.z >= 0 ? Flat{p.x, p.y} : Flat{p.y, p.x});
    }
  }
  return flat;
}

double turn(const Flat& a, const Flat& b, const Flat& c) {
  return (b.u - a.u) * (c.v - a.v) - (b.v - a.v) * (c.u - a.u);
}

bool is_ear(const std::vector<Flat>& flat, const std::vector<std::size_t>& ring, std::size_t k) {
  const std::size_t n = ring.size();
  const Flat& a = flat[ring[(k + n - 1) % n]];
  const Flat& b = flat[ring[k]];
  const Flat& c = flat[ring[(k + 1) % n]];
  if (!(turn(a, b, c) > 0)) return false;
  for (std::size_t step = 2; step + 1 < n; ++step) {
    const Flat& p = flat[ring[(k + step) % n]];
    if (turn(a, b, p) >= 0 && turn(b, c, p) >= 0 && turn(c, a, p) >= 0) return false;
  }
  return true;
}

double distance_squared(const base::Vec3& a, const base::Vec3& b) {
  return dot(a - b, a - b);
}

}  // namespace

std::vector<std::array<std::size_t, 3>> cut_polygon(std::span<const base::Vec3> corners) {
  if (corners.size() == 3) return {{0, 1, 2}};
  const std::vector<Flat> flat = flattened(corners);
  std::vector<std::size_t> ring(corners.size());
  std::iota(ring.begin(), ring.end(), 0);
  std::vector<std::array<std::size_t, 3>> triangles;
  triangles.reserve(corners.size() - 2);
  std::size_t next = 0;
  if (corners.size() == 4) {  // the shorter diagonal first, when both will do
    next = distance_squared(corners[0], corners[2]) <= distance_squared(corners[1], corners[3]) ? 1 : 0;
  }
  while (ring.size() > 3) {
    const std::size_t n = ring.size();
    std::size_t k = next % n;
    std::size_t tried = 0;
    while (tried < n && !is_ear(flat, ring, k)) {
      k = (k + 1) % n;
      ++tried;
    }
    triangles.push_back({ring[(k + n - 1) % n], ring[k], ring[(k + 1) % n]});
    ring.erase(ring.begin() + static_cast<std::ptrdiff_t>(k));
    next = k + 1;  // not the ear's neighbour: a fan of needles would grow there
  }
  triangles.push_back({ring[0], ring[1], ring[2]});
  return triangles;
}

}  // namespace cowlwright::imported
