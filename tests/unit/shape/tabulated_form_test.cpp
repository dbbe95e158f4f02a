// SPDX-License-Identifier: GPL-3.0-or-later
//
// The tabulated form against bodies whose sections are known: cylinder, cone, a box with a step in it.
#include "geometry/shape/tabulated_form.h"

#include "geometry/base/error.h"
#include "geometry/shape/builder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numbers>
#include <vector>

namespace cowlwright::shape {
namespace {

using ::testing::HasSubstr;
using ::testing::ThrowsMessage;

constexpr double pi = std::numbers::pi;

Surface revolved(double front_radius, double rear_radius) {
  const std::array rings{Ring{0.0, front_radius}, Ring{1.0, rear_radius}};
  return revolved_surface(0.0, 0.0, rings, std::array{Patch::Cowl}, 400);
}

// 400 chords of a circle of 0.3 m, widened to its area: within 0.3 * (pi / 400)^2 = 0.02 mm of the circle.
constexpr double chord = 2e-5;

TEST(TabulatedForm, OfACylinderHasItsRadiusInEveryDirection) {
  const TabulatedForm form(revolved(0.3, 0.3), 0.1, 0.9, 0.9, 0.012);
  for (const double angle : {-0.5 * pi, -0.9, 0.0, 0.4, 0.5 * pi}) {
    const base::Vec3 p = form.point(0.43, angle, 0.0);
    EXPECT_NEAR(std::hypot(p.y, p.z), 0.3, chord) << angle;
    EXPECT_NEAR(std::atan2(p.z, p.y), angle, 1e-9);
  }
  EXPECT_NEAR(form.upper_z(0.43, 0.1, 0.0), std::sqrt(0.09 - 0.01), 1e-4);
  EXPECT_NEAR(form.lower_z(0.43, -0.1, 0.0), -std::sqrt(0.09 - 0.01), 1e-4);
  EXPECT_NEAR(form.half_width_at(0.43, 0.2, 0.0), std::sqrt(0.09 - 0.04), 1e-4);
  EXPECT_NEAR(form.angle_at_height(0.43, 0.15, 0.0), std::asin(0.5), 1e-3);
  EXPECT_NEAR(form.lower_angle_at(0.43, 0.15, 0.0), -std::acos(0.5), 1e-3);
  EXPECT_LT(form.asymmetry(), chord);
}

TEST(TabulatedForm, OutsideTheSectionHasNoHeightAndNoWidth) {
  const TabulatedForm form(revolved(0.3, 0.3), 0.1, 0.9, 0.9, 0.012);
  EXPECT_EQ(form.half_width_at(0.43, 0.31, 0.0), 0.0);
  EXPECT_EQ(form.upper_z(0.43, 0.31, 0.0), 0.0);
  EXPECT_EQ(form.lower_z(0.43, 0.31, 0.0), 0.0);
}

// The inner form keeps the thickness at right angles to the skin: along the ray of a cone of half angle a
// that is thickness / cos a.
TEST(TabulatedForm, InsetKeepsTheThicknessAtRightAnglesToTheSkin) {
  const double half_angle = std::atan(0.2);
  const TabulatedForm form(revolved(0.2, 0.4), 0.1, 0.9, 0.9, 0.012);
  const double outer = norm(form.point(0.5, 0.0, 0.0) - base::Vec3{0.5, 0.0, 0.0});
  const double inner = norm(form.point(0.5, 0.0, 0.012) - base::Vec3{0.5, 0.0, 0.0});
  EXPECT_NEAR(outer, 0.3, chord);
  EXPECT_NEAR(outer - inner, 0.012 / std::cos(half_angle), 1e-4);  // 0.05 mm of play, and chords
  const double half_way = norm(form.point(0.5, 0.0, 0.006) - base::Vec3{0.5, 0.0, 0.0});
  EXPECT_NEAR(half_way, 0.5 * (outer + inner), 1e-9);
}

TEST(TabulatedForm, OfUnevenSidesTakesTheSmaller) {
  const Surface box = box_surface({0.0, -0.30, -0.25}, {1.0, 0.28, 0.25}, Patch::Cowl);
  const TabulatedForm form(box, 0.1, 0.9, 0.9, 0.012);
  EXPECT_NEAR(form.half_width_at(0.5, 0.05, 0.0), 0.28, 1e-6);
  // Most where the ray to the wider side's corner leaves through that side: 0.02 over the cosine.
  EXPECT_GT(form.asymmetry(), 0.02);
  EXPECT_LT(form.asymmetry(), 0.03);
}

TEST(TabulatedForm, RefusesASectionWithAGapNamingDirectionAndStation) {
  Surface box = box_surface({0.0, -0.3, -0.25}, {1.0, 0.3, 0.25}, Patch::Cowl);
  Surface open = box;
  open.triangles.clear();
  for (const auto& t : box.triangles) {
    const bool is_right = box.points[t[0]].y > 0.0 && box.points[t[1]].y > 0.0 && box.points[t[2]].y > 0.0;
    if (!is_right) open.triangles.push_back(t);
  }
  open.patch.assign(open.triangles.size(), 0);
  EXPECT_THAT([&] { TabulatedForm(open, 0.1, 0.9, 0.9, 0.012); },
              ThrowsMessage<base::InputError>(
                  testing::AllOf(HasSubstr("no skin on the right"), HasSubstr("FS 100 mm"))));
}

// A tube whose upper half ends at FS 1 m and whose lower half at 1.2 m, as a cowl between firewall and
// trailing edge.
TEST(TabulatedForm, AboveTheShaftGoesOnBehindItsRearEdge) {
  const std::array rings{Ring{0.0, 0.3}, Ring{1.0, 0.3}, Ring{1.2, 0.3}};
  Surface tube = revolved_surface(0.0, 0.0, rings, std::array{Patch::Cowl, Patch::Cowl}, 400);
  std::erase_if(tube.triangles, [&](const auto& t) {
    const auto all = [&](auto holds) {
      return holds(tube.points[t[0]]) && holds(tube.points[t[1]]) && holds(tube.points[t[2]]);
    };
    const bool is_end = all([](const base::Vec3& p) { return p.x == 0.0; }) ||
                        all([](const base::Vec3& p) { return p.x == 1.2; });
    return is_end || all([](const base::Vec3& p) { return p.x >= 1.0 && p.z > 0.0; });
  });
  tube.patch.assign(tube.triangles.size(), 0);
  const TabulatedForm form(tube, 0.1, 1.2, 1.0, 0.012);
  EXPECT_NEAR(form.upper_z(1.15, 0.0, 0.0), 0.3, chord);
  EXPECT_NEAR(form.lower_z(1.15, 0.0, 0.0), -0.3, chord);
  EXPECT_NEAR(form.upper_z(1.15, 0.0, 0.012), 0.288, 1e-4);
}

}  // namespace
}  // namespace cowlwright::shape
