// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/shape/cowl_skin.h"

#include "geometry/base/error.h"
#include "geometry/shape/connectivity.h"
#include "geometry/shape/installation.h"
#include "geometry/shape/layout.h"
#include "geometry/shape/opening.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

namespace cowlwright::shape {
namespace {

using Loop = std::vector<std::uint32_t>;

double triangle_area(const Surface& surface, std::size_t i) {
  const auto& t = surface.triangles[i];
  const base::Vec3& a = surface.points[t[0]];
  return 0.5 * norm(cross(surface.points[t[1]] - a, surface.points[t[2]] - a));
}

double length(const Surface& surface, const Loop& loop) {
  double sum = 0.0;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    sum += norm(surface.points[loop[(i + 1) % loop.size()]] - surface.points[loop[i]]);
  }
  return sum;
}

ShapeSpec styled(OpeningShape opening, RingStyle ring, double diffuser) {
  ShapeSpec spec;
  spec.cowl.face_height_above = 0.20;
  spec.cowl.face_depth_below = 0.20;
  for (InletSpec* in : {&spec.inlets.left, &spec.inlets.right}) {
    in->opening = opening;
    in->ring = ring;
    in->opening_width = 0.14;
    if (ring == RingStyle::None) in->lip_radius = 0.0;
    if (ring == RingStyle::Proud) in->ring_stand = 0.02;
    in->diffuser_length = diffuser;
    in->diffuser_area_ratio = diffuser > 0.0 ? 1.2 : 1.0;
  }
  return spec;
}

class EveryOpeningAndRing : public ::testing::TestWithParam<std::tuple<OpeningShape, RingStyle, double>> {
 protected:
  const ShapeSpec spec = styled(std::get<0>(GetParam()), std::get<1>(GetParam()), std::get<2>(GetParam()));
  const Surface skin = cowl_skin(spec);
};

TEST_P(EveryOpeningAndRing, HasTwoThroatsAndOneRearEdge) {
  const std::vector<Loop> loops = edge_loops(skin);
  ASSERT_EQ(loops.size(), 3U);
  const Layout at = layout(spec);
  int n_throats = 0;
  for (const Loop& loop : loops) {
    const bool is_throat = std::all_of(loop.begin(), loop.end(), [&](std::uint32_t k) {
      return std::abs(skin.points[k].x - spec.plenum.front_station) < 1e-9;
    });
    if (is_throat) {
      ++n_throats;
      // The polygon has the opening's area, so its perimeter is longer than the curve's by 2e-4 at 96 points;
      // of a diffuser's end sqrt(1.2) of it.
      const double grown = std::sqrt(spec.inlets.left.diffuser_area_ratio);
      const double expected = grown * opening_perimeter(spec.inlets.left);
      EXPECT_NEAR(length(skin, loop), expected, 1e-3 * expected);
      continue;
    }
    // Round the firewall, then straight along one line of each side, then along the trailing edge.
    for (const std::uint32_t k : loop) {
      const base::Vec3& p = skin.points[k];
      const bool is_at_firewall = std::abs(p.x - spec.cowl.firewall_station) < 1e-9 && p.z > -0.02;
      const bool is_at_trailing_edge = std::abs(p.x - at.trailing_edge) < 1e-9 && p.z < 0.0;
      const bool is_on_side = std::abs(p.z) < 0.02;  // a facet of the section is 17 mm wide
      EXPECT_TRUE(is_at_firewall || is_at_trailing_edge || is_on_side) << p.x << " " << p.y << " " << p.z;
    }
  }
  EXPECT_EQ(n_throats, 2);
}

TEST_P(EveryOpeningAndRing, NamesItsPatchesAndNoOthers) {
  std::vector<std::string> expected{"cowl", "inlet_left", "inlet_right"};
  if (std::get<1>(GetParam()) != RingStyle::None) {
    expected.push_back("ring_left");
    expected.push_back("ring_right");
  }
  EXPECT_EQ(skin.patch_names, expected);
  for (const std::string& name : expected) EXPECT_GT(surface_area(skin, name), 0.0) << name;
}

TEST_P(EveryOpeningAndRing, IsItsOwnMirrorImageInArea) {
  double left = 0.0;
  double right = 0.0;
  for (std::size_t i = 0; i < skin.triangles.size(); ++i) {
    const auto& t = skin.triangles[i];
    const double y = skin.points[t[0]].y + skin.points[t[1]].y + skin.points[t[2]].y;
    (y < 0.0 ? left : right) += triangle_area(skin, i);
  }
  // Rounding of some thousand sums, and the nose face's fan cut alike but triangulated freely.
  EXPECT_NEAR(left, right, 1e-9);
}

TEST_P(EveryOpeningAndRing, IsTheInstallationsSkinButForTheSpinner) {
  ShapeSpec without_lip = spec;
  without_lip.exit.lip_length = 0.0;
  const Surface wetted = build_installation(without_lip).wetted;
  const double trailing_edge = layout(spec).trailing_edge;
  double ahead_of_step = 0.0;
  for (std::size_t i = 0; i < wetted.triangles.size(); ++i) {
    const auto& t = wetted.triangles[i];
    const bool is_skin = wetted.patch_names[wetted.patch[i]] == "cowl" &&
                         std::all_of(t.begin(), t.end(), [&](std::uint32_t k) {
                           return wetted.points[k].x < trailing_edge + 1e-9;
                         });
    if (is_skin) ahead_of_step += triangle_area(wetted, i);
  }
  // The nose face under the spinner is whole; its polygon has the true circle's area.
  const double under_spinner = 0.25 * std::numbers::pi * spec.spinner.diameter * spec.spinner.diameter;
  EXPECT_NEAR(surface_area(skin, "cowl"), ahead_of_step + under_spinner, 1e-9);
  for (const std::string name : {"ring_left", "ring_right"}) {
    EXPECT_NEAR(surface_area(skin, name), surface_area(wetted, name), 1e-9);
  }
}

INSTANTIATE_TEST_SUITE_P(
    All,
    EveryOpeningAndRing,
    ::testing::Combine(::testing::Values(OpeningShape::Round, OpeningShape::Oval, OpeningShape::Rectangular),
                       ::testing::Values(RingStyle::None, RingStyle::Flush, RingStyle::Proud),
                       ::testing::Values(0.0, 0.08)));

TEST(CowlSkin, OfTheClosedReferenceIsTheSame) {
  ShapeSpec spec;
  const Surface open = cowl_skin(spec);
  spec.is_closed = true;
  EXPECT_EQ(cowl_skin(spec).triangles, open.triangles);
}

TEST(CowlSkin, HasItsNormalsOutward) {
  const Surface skin = cowl_skin({});
  // Flow of the field (0, y, z) out of the sheet: the sides count, the flat nose does not, so it is positive
  // when normals point away from the shaft line. Of a cylinder it would be 2 pi r^2 per length.
  double flux = 0.0;
  for (const auto& t : skin.triangles) {
    const base::Vec3& a = skin.points[t[0]];
    const base::Vec3 n = cross(skin.points[t[1]] - a, skin.points[t[2]] - a);
    flux += 0.5 * (n.y * a.y + n.z * a.z);
  }
  EXPECT_GT(flux, 0.5);
}

TEST(CowlSkin, RefusesDimensionsInConflict) {
  ShapeSpec spec;
  spec.inlets.spacing = 0.05;
  EXPECT_THAT([&] { cowl_skin(spec); },
              ::testing::ThrowsMessage<base::InputError>(::testing::HasSubstr("spacing")));
}

}  // namespace
}  // namespace cowlwright::shape
