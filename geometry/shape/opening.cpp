// SPDX-License-Identifier: GPL-3.0-or-later
//
// Circles, ellipses and rounded rectangles.
#include "geometry/shape/opening.h"

#include "geometry/shape/own_cowl.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace cowlwright::shape {

namespace {

constexpr double pi = std::numbers::pi;

std::vector<ContourPoint> ellipse_contour(double half_width, double half_height, int n_around) {
  std::vector<ContourPoint> contour;
  const double step = 2.0 * pi / n_around;
  for (int k = 0; k < n_around; ++k) {
    const double angle = step * (k + 0.5);
    const double c = std::cos(angle);
    const double s = std::sin(angle);
    const double length = std::hypot(half_height * c, half_width * s);
    contour.push_back({half_width * c, half_height * s, half_height * c / length, half_width * s / length});
  }
  return contour;
}

/// Corner by corner, each followed by the inner points of the side after it. Sides have an odd number of
/// intervals, so that no point lies in a plane of symmetry.
std::vector<ContourPoint> rectangle_contour(const InletSpec& in, int n_around) {
  const double r = std::min({in.corner_radius, 0.5 * in.opening_width, 0.5 * in.opening_height});
  const double y = 0.5 * in.opening_width - r;
  const double z = 0.5 * in.opening_height - r;
  const int n_corner = std::max(3, n_around / 8);
  const double pitch = opening_perimeter(in) / n_around;
  std::vector<ContourPoint> contour;
  for (int corner = 0; corner < 4; ++corner) {
    const double centre_y = corner == 0 || corner == 3 ? y : -y;
    const double centre_z = corner < 2 ? z : -z;
    for (int i = 0; i <= n_corner; ++i) {
      const double angle = 0.5 * pi * (corner + static_cast<double>(i) / n_corner);
      const double c = std::cos(angle);
      const double s = std::sin(angle);
      contour.push_back({centre_y + r * c, centre_z + r * s, c, s});
    }
    const double side = 2.0 * (corner % 2 == 0 ? y : z);
    const int n_side = 2 * static_cast<int>(0.5 * side / pitch) + 1;
    const ContourPoint start = contour.back();
    for (int i = 1; i < n_side; ++i) {
      const double run = side * i / n_side;  // a quarter turn on from the normal
      contour.push_back(
          {start.y - run * start.normal_z, start.z + run * start.normal_y, start.normal_y, start.normal_z});
    }
  }
  return contour;
}

/// Extent of an outline along y or z.
double extent(const OwnOpening& opening, double ContourPoint::*coordinate) {
  const auto [low, high] = std::minmax_element(
      opening.contour.begin(), opening.contour.end(), [&](const ContourPoint& a, const ContourPoint& b) {
        return a.*coordinate < b.*coordinate;
      });
  return *high.*coordinate - *low.*coordinate;
}

/// Sum over the edges of an outline.
template <typename Term>
double sum_over_edges(const std::vector<ContourPoint>& contour, Term term) {
  double sum = 0.0;
  for (std::size_t i = 0; i < contour.size(); ++i) sum += term(contour[i], contour[(i + 1) % contour.size()]);
  return sum;
}

double polygon_area(const std::vector<ContourPoint>& contour) {
  return 0.5 * sum_over_edges(contour, [](const ContourPoint& a, const ContourPoint& b) {
           return a.y * b.z - a.z * b.y;
         });
}

}  // namespace

double opening_width(const InletSpec& inlet) {
  if (inlet.own) return extent(*inlet.own, &ContourPoint::y);
  return inlet.opening == OpeningShape::Round ? inlet.diameter : inlet.opening_width;
}

double opening_height(const InletSpec& inlet) {
  if (inlet.own) return extent(*inlet.own, &ContourPoint::z);
  return inlet.opening == OpeningShape::Round ? inlet.diameter : inlet.opening_height;
}

double opening_area(const InletSpec& inlet) {
  if (inlet.own) return polygon_area(inlet.own->contour);
  const double box = opening_width(inlet) * opening_height(inlet);
  if (inlet.opening == OpeningShape::Rectangular) {
    return box - (4.0 - pi) * inlet.corner_radius * inlet.corner_radius;
  }
  return 0.25 * pi * box;
}

double opening_perimeter(const InletSpec& inlet) {
  if (inlet.own) {
    return sum_over_edges(inlet.own->contour, [](const ContourPoint& a, const ContourPoint& b) {
      return std::hypot(b.y - a.y, b.z - a.z);
    });
  }
  const double width = opening_width(inlet);
  const double height = opening_height(inlet);
  if (inlet.opening == OpeningShape::Rectangular) {
    return 2.0 * (width + height) - (8.0 - 2.0 * pi) * inlet.corner_radius;
  }
  // Complete elliptic integral of the second kind of the eccentricity; pi/2 for a circle.
  const double shape = std::min(width, height) / std::max(width, height);
  return 2.0 * std::max(width, height) * std::comp_ellint_2(std::sqrt(1.0 - shape * shape));
}

double hydraulic_diameter(const InletSpec& inlet) {
  return 4.0 * opening_area(inlet) / opening_perimeter(inlet);
}

double opening_reach(const InletSpec& inlet) {
  if (inlet.own) {
    double reach = 0.0;
    for (const ContourPoint& p : inlet.own->contour) reach = std::max(reach, std::hypot(p.y, p.z));
    return reach;
  }
  const double half_width = 0.5 * opening_width(inlet);
  const double half_height = 0.5 * opening_height(inlet);
  if (inlet.opening != OpeningShape::Rectangular) return std::max(half_width, half_height);
  const double r = inlet.corner_radius;
  return r + std::hypot(half_width - r, half_height - r);
}

double diffuser_angle(const InletSpec& inlet) {
  if (!(inlet.diffuser_length > 0.0)) return 0.0;
  const double radius = std::sqrt(opening_area(inlet) / pi);
  const double growth = radius * (std::sqrt(inlet.diffuser_area_ratio) - 1.0);
  return 2.0 * std::atan(growth / inlet.diffuser_length);
}

std::vector<ContourPoint> opening_contour(const InletSpec& inlet, int n_around) {
  if (inlet.own) return inlet.own->contour;
  if (inlet.opening == OpeningShape::Rectangular) return rectangle_contour(inlet, n_around);
  return ellipse_contour(0.5 * opening_width(inlet), 0.5 * opening_height(inlet), n_around);
}

LoftSection opening_section(const InletSpec& inlet,
                            const std::array<double, 2>& centre_yz,
                            double x,
                            double scale,
                            double offset,
                            int n_around) {
  if (!inlet.own && inlet.opening == OpeningShape::Round) {
    return circle_section(centre_yz, {x, 0.5 * inlet.diameter * scale + offset}, n_around);
  }
  const std::vector<ContourPoint> contour = opening_contour(inlet, n_around);
  const double widening = std::sqrt(opening_area(inlet) / polygon_area(contour));
  LoftSection section{x, {}};
  for (const ContourPoint& p : contour) {
    section.yz.push_back({centre_yz[0] + widening * (scale * p.y + offset * p.normal_y),
                          centre_yz[1] + widening * (scale * p.z + offset * p.normal_z)});
  }
  return section;
}

}  // namespace cowlwright::shape
