// SPDX-License-Identifier: GPL-3.0-or-later
//
// Curves through CIELAB and the way from there to a screen.
#include "post/pictures/colour_map.h"

#include <algorithm>
#include <cmath>

namespace cowlwright::post {

namespace {

constexpr std::array<double, 3> white{0.95047, 1.0, 1.08883};  // D65
// Linear sRGB to XYZ and back, IEC 61966-2-1.
constexpr std::array<std::array<double, 3>, 3> rgb_to_xyz{
    {{0.4124, 0.3576, 0.1805}, {0.2126, 0.7152, 0.0722}, {0.0193, 0.1192, 0.9505}}};
constexpr std::array<std::array<double, 3>, 3> xyz_to_rgb{
    {{3.2406, -1.5372, -0.4986}, {-0.9689, 1.8758, 0.0415}, {0.0557, -0.2040, 1.0570}}};
constexpr double bend = 6.0 / 29.0;  // where CIELAB's cube root turns into a straight line

std::array<double, 3> product(const std::array<std::array<double, 3>, 3>& matrix,
                              const std::array<double, 3>& vector) {
  std::array<double, 3> result{};
  for (std::size_t i = 0; i < 3; ++i) {
    result[i] = matrix[i][0] * vector[0] + matrix[i][1] * vector[1] + matrix[i][2] * vector[2];
  }
  return result;
}

double root(double t) {
  return t > bend * bend * bend ? std::cbrt(t) : t / (3.0 * bend * bend) + 4.0 / 29.0;
}

double unroot(double t) {
  return t > bend ? t * t * t : 3.0 * bend * bend * (t - 4.0 / 29.0);
}

double coded(double linear) {
  const double value = std::clamp(linear, 0.0, 1.0);
  return value <= 0.0031308 ? 12.92 * value : 1.055 * std::pow(value, 1.0 / 2.4) - 0.055;
}

double decoded(double value) {
  return value <= 0.04045 ? value / 12.92 : std::pow((value + 0.055) / 1.055, 2.4);
}

Lab mixed(const Lab& a, const Lab& b, double share) {
  return {std::lerp(a.lightness, b.lightness, share),
          std::lerp(a.green_red, b.green_red, share),
          std::lerp(a.blue_yellow, b.blue_yellow, share)};
}

/// Bezier curve at 0..1, by de Casteljau's steps.
Lab on_curve(std::vector<Lab> points, double share) {
  while (points.size() > 1) {
    for (std::size_t i = 0; i + 1 < points.size(); ++i) {
      points[i] = mixed(points[i], points[i + 1], share);
    }
    points.pop_back();
  }
  return points.front();
}

/// All curves of a map as one polyline.
std::vector<Lab> polyline(ColourMap map) {
  constexpr int n_steps = 500;
  std::vector<Lab> line;
  for (const std::vector<Lab>& curve : map_curves(map)) {
    for (int i = line.empty() ? 0 : 1; i <= n_steps; ++i) {
      line.push_back(on_curve(curve, static_cast<double>(i) / n_steps));
    }
  }
  return line;
}

}  // namespace

Lab to_lab(const Colour& colour) {
  const std::array<double, 3> xyz =
      product(rgb_to_xyz, {decoded(colour[0]), decoded(colour[1]), decoded(colour[2])});
  const double x = root(xyz[0] / white[0]);
  const double y = root(xyz[1] / white[1]);
  const double z = root(xyz[2] / white[2]);
  return {116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)};
}

std::array<double, 3> to_linear(const Lab& lab) {
  const double y = (lab.lightness + 16.0) / 116.0;
  const double x = y + lab.green_red / 500.0;
  const double z = y - lab.blue_yellow / 200.0;
  return product(xyz_to_rgb, {white[0] * unroot(x), white[1] * unroot(y), white[2] * unroot(z)});
}

Colour to_colour(const Lab& lab) {
  const std::array<double, 3> linear = to_linear(lab);
  return {coded(linear[0]), coded(linear[1]), coded(linear[2])};
}

double difference(const Lab& a, const Lab& b) {
  return std::hypot(a.lightness - b.lightness, a.green_red - b.green_red, a.blue_yellow - b.blue_yellow);
}

std::vector<std::vector<Lab>> map_curves(ColourMap map) {
  switch (map) {
    case ColourMap::Loss:
      return {{{16, 14, -32}, {56, -22, -26}, {66, -44, 58}, {93, -12, 66}}};
    case ColourMap::Speed:
      return {{{18, 6, -30}, {45, 4, -28}, {70, -8, 16}, {91, -5, 46}}};
    case ColourMap::Heat:
      return {{{88, 0, 46}, {66, 28, 60}, {44, 66, 42}, {18, 32, 6}}};
    case ColourMap::Diverging:
      break;
  }
  return {{{33, 16, -47}, {52, 0, -44}, {74, -7, -25}, {94, 0, 0}},
          {{94, 0, 0}, {78, 22, 42}, {55, 55, 60}, {30, 46, 36}}};
}

std::vector<Colour> map_colours(ColourMap map, int n) {
  const std::vector<Lab> line = polyline(map);
  std::vector<double> length(line.size(), 0.0);
  for (std::size_t i = 1; i < line.size(); ++i) {
    length[i] = length[i - 1] + difference(line[i - 1], line[i]);
  }
  // The diverging map's middle is its middle colour, however long its two arms are.
  const std::size_t middle = map == ColourMap::Diverging ? line.size() / 2 : line.size() - 1;
  std::vector<Colour> colours;
  for (int i = 0; i < n; ++i) {
    const double share = static_cast<double>(i) / (n - 1);
    double wanted = share * length.back();
    if (middle + 1 < line.size()) {
      wanted = share < 0.5 ? 2.0 * share * length[middle]
                           : length[middle] + (2.0 * share - 1.0) * (length.back() - length[middle]);
    }
    const auto after = std::lower_bound(length.begin() + 1, length.end() - 1, wanted);
    const auto end = static_cast<std::size_t>(after - length.begin());
    const double step = length[end] - length[end - 1];
    const double part = step > 0.0 ? std::clamp((wanted - length[end - 1]) / step, 0.0, 1.0) : 0.0;
    colours.push_back(to_colour(mixed(line[end - 1], line[end], part)));
  }
  return colours;
}

}  // namespace cowlwright::post
