// SPDX-License-Identifier: GPL-3.0-or-later
//
// Colours of the pictures: what a screen can show, evenness to the eye, and to an eye without green cones.
#include "post/pictures/colour_map.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace cowlwright::post {
namespace {

constexpr std::array<ColourMap, 4> all_maps{
    ColourMap::Diverging, ColourMap::Loss, ColourMap::Speed, ColourMap::Heat};
constexpr std::array<ColourMap, 3> one_way_maps{ColourMap::Loss, ColourMap::Speed, ColourMap::Heat};

double linear_of(double coded) {
  return coded <= 0.04045 ? coded / 12.92 : std::pow((coded + 0.055) / 1.055, 2.4);
}
double coded_of(double linear) {
  const double value = std::clamp(linear, 0.0, 1.0);
  return value <= 0.0031308 ? 12.92 * value : 1.055 * std::pow(value, 1.0 / 2.4) - 0.055;
}

/// As an eye without green cones sees it. Source: Machado, Oliveira, Fernandes, IEEE Trans. Visualization and
/// Computer Graphics 15(6), 2009, table of matrices for linear RGB, deuteranomaly of severity 1.
Colour without_green_cones(const Colour& colour) {
  const double r = linear_of(colour[0]);
  const double g = linear_of(colour[1]);
  const double b = linear_of(colour[2]);
  return {coded_of(0.367322 * r + 0.860646 * g - 0.227968 * b),
          coded_of(0.280085 * r + 0.672501 * g + 0.047413 * b),
          coded_of(-0.011820 * r + 0.042940 * g + 0.968881 * b)};
}

// Source: CIE 15; the corners of sRGB in CIELAB under D65 as printed in handbooks, to 2 digits: white (100,
// 0, 0), red (53.24, 80.09, 67.20), blue (32.30, 79.19, -107.86). The matrices have 4 digits, hence 0.05.
TEST(ColourMap, CielabOfWhiteRedAndBlueAgreesWithHandbooks) {
  constexpr double tolerance = 0.05;
  const Lab white = to_lab({1.0, 1.0, 1.0});
  EXPECT_NEAR(white.lightness, 100.0, tolerance);
  EXPECT_NEAR(std::hypot(white.green_red, white.blue_yellow), 0.0, tolerance);
  EXPECT_LT(difference(to_lab({1.0, 0.0, 0.0}), {53.24, 80.09, 67.20}), 2.0 * tolerance);
  EXPECT_LT(difference(to_lab({0.0, 0.0, 1.0}), {32.30, 79.19, -107.86}), 2.0 * tolerance);
}

TEST(ColourMap, ThereAndBackIsTheSameColour) {
  const Colour colour{0.2, 0.55, 0.7};
  const Colour back = to_colour(to_lab(colour));
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_NEAR(back[i], colour[i], 1e-3) << i;  // matrices of 4 digits
  }
}

TEST(ColourMap, EveryColourOfEveryCurveCanBeShownWithoutClipping) {
  for (const ColourMap map : all_maps) {
    for (const Colour& colour : map_colours(map, 200)) {
      const std::array<double, 3> linear = to_linear(to_lab(colour));
      for (const double part : linear) {
        EXPECT_GT(part, 1e-4);  // a clipped part would be 0
        EXPECT_LT(part, 0.999);
      }
    }
  }
}

TEST(ColourMap, LightnessNeverTurnsBackInOneWayMaps) {
  for (const ColourMap map : one_way_maps) {
    const std::vector<Colour> colours = map_colours(map, 64);
    const double sense = map == ColourMap::Heat ? -1.0 : 1.0;
    for (std::size_t i = 1; i < colours.size(); ++i) {
      EXPECT_GT(sense * (to_lab(colours[i]).lightness - to_lab(colours[i - 1]).lightness), 0.1) << i;
    }
  }
}

TEST(ColourMap, TheDivergingMapIsLightestAndWithoutHueInItsMiddleAndFallsOnBothSides) {
  const std::vector<Colour> colours = map_colours(ColourMap::Diverging, 65);
  const Lab middle = to_lab(colours[32]);
  EXPECT_NEAR(middle.lightness, 94.0, 0.2);
  EXPECT_LT(std::hypot(middle.green_red, middle.blue_yellow), 1.0);
  for (std::size_t i = 1; i <= 32; ++i) {
    EXPECT_GT(to_lab(colours[i]).lightness, to_lab(colours[i - 1]).lightness) << i;
    EXPECT_GT(to_lab(colours[64 - i]).lightness, to_lab(colours[65 - i]).lightness) << i;
  }
  EXPECT_LT(to_lab(colours.front()).blue_yellow, -30.0);  // blue below
  EXPECT_GT(to_lab(colours.back()).green_red, 30.0);      // red above
}

// Chords of 1/63 of a bent curve are shorter than its arc by far less than the 4-digit matrices' error.
TEST(ColourMap, StepsAreEquallyFarApartToTheEye) {
  for (const ColourMap map : one_way_maps) {
    const std::vector<Colour> colours = map_colours(map, 64);
    std::vector<double> steps;
    for (std::size_t i = 1; i < colours.size(); ++i) {
      steps.push_back(difference(to_lab(colours[i - 1]), to_lab(colours[i])));
    }
    const double mean = std::accumulate(steps.begin(), steps.end(), 0.0) / static_cast<double>(steps.size());
    EXPECT_GT(*std::min_element(steps.begin(), steps.end()), 0.95 * mean);
    EXPECT_LT(*std::max_element(steps.begin(), steps.end()), 1.05 * mean);
  }
}

// A difference of 2.3 is just noticeable (Mahy et al., Color Res. Appl. 19, 1994).
TEST(ColourMap, NeighbouringBandsDifferAlsoWithoutGreenCones) {
  for (const ColourMap map : one_way_maps) {
    const std::vector<Colour> colours = map_colours(map, 20);
    for (std::size_t i = 1; i < colours.size(); ++i) {
      EXPECT_GT(
          difference(to_lab(without_green_cones(colours[i - 1])), to_lab(without_green_cones(colours[i]))),
          2.3)
          << i;
    }
  }
}

TEST(ColourMap, SuctionAndPressureStayApartWithoutGreenCones) {
  const std::vector<Colour> colours = map_colours(ColourMap::Diverging, 31);
  for (std::size_t i = 0; i < 13; ++i) {  // all but the two bands next to the middle
    EXPECT_GT(
        difference(to_lab(without_green_cones(colours[i])), to_lab(without_green_cones(colours[30 - i]))),
        10.0)
        << i;
  }
}

}  // namespace
}  // namespace cowlwright::post
