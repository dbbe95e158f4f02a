// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/wrap.h"

#include "geometry/base/error.h"
#include "geometry/shape/boolean.h"
#include "tests/support/bodies.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace cowlwright::imported {
namespace {

using shape::Surface;
using testing_support::divided_box;

/// 0.2 m cube with a square hole of 40 mm in its top, 56.6 mm across.
Surface cube_with_hole() {
  Surface cube = divided_box({0, 0, 0}, {0.2, 0.2, 0.2}, 10);
  for (std::size_t i = cube.triangles.size(); i-- > 0;) {
    const auto& t = cube.triangles[i];
    const base::Vec3 m = (1.0 / 3.0) * (cube.points[t[0]] + cube.points[t[1]] + cube.points[t[2]]);
    if (m.z > 0.1999 && m.x > 0.08 && m.x < 0.12 && m.y > 0.08 && m.y < 0.12)
      testing_support::remove_triangle(cube, i);
  }
  return cube;
}

// The wrap stands 1 mm off a cube of 0.2 m: between the cube itself and a cube of 0.202 m.
TEST(Wrap, OfABodyIsTheBodyOneOffsetLarger) {
  const WrappedSurface wrapped = wrap(divided_box({0, 0, 0}, {0.2, 0.2, 0.2}, 2), {.tolerance = 0.01});
  EXPECT_EQ(wrapped.kind, WrapKind::Body);
  EXPECT_DOUBLE_EQ(wrapped.alpha, 0.01);
  EXPECT_DOUBLE_EQ(wrapped.offset, 0.001);
  const shape::SurfaceProof proof = shape::prove_surface(wrapped.surface);
  EXPECT_TRUE(proof.bounds_a_volume) << proof.first_fault;
  EXPECT_GT(proof.volume, 0.2 * 0.2 * 0.2);
  EXPECT_LT(proof.volume, 0.202 * 0.202 * 0.202);
  EXPECT_EQ(wrapped.broken_tolerance, "");
  EXPECT_NEAR(wrapped.deviation.figures.mean, 0.001, 1e-4);
  EXPECT_GT(surface_area(wrapped.surface, "z_high"), 0.9 * 0.04);
}

TEST(Wrap, ClosesAHoleItsBallDoesNotFitThrough) {
  const WrappedSurface wrapped = wrap(cube_with_hole(), {.tolerance = 0.03, .deviation_limit = 0.03});
  EXPECT_EQ(wrapped.kind, WrapKind::Body);
  EXPECT_GT(wrapped.after.volume, 0.2 * 0.2 * 0.2);
}

TEST(Wrap, ThatEntersAHoleIsRefusedNamingTheHolesSize) {
  EXPECT_THAT([] { wrap(cube_with_hole(), {.tolerance = 0.01}); },
              testing::ThrowsMessage<base::ResultError>(
                  testing::AllOf(testing::HasSubstr("went in through an opening"),
                                 testing::HasSubstr("56.6 mm across at FS 100, BL 100, WL 200 mm"),
                                 testing::HasSubstr("--fill-holes \"57 mm\""))));
}

/// A box of 0.2 x 0.2 x 0.05 m without its top: an open sheet.
Surface tray() {
  Surface cube = divided_box({0, 0, 0}, {0.2, 0.2, 0.05}, 5);
  for (std::size_t i = cube.triangles.size(); i-- > 0;)
    if (cube.patch[i] == 5) testing_support::remove_triangle(cube, i);
  return cube;
}

TEST(Wrap, OfAnOpenSheetIsRefusedUnlessAShellIsAskedFor) {
  EXPECT_THROW(wrap(tray(), {.tolerance = 0.01}), base::ResultError);
  const WrappedSurface wrapped =
      wrap(tray(), {.tolerance = 0.01, .accept_shell = true, .deviation_limit = 0.01});
  EXPECT_EQ(wrapped.kind, WrapKind::Shell);
  EXPECT_TRUE(shape::prove_surface(wrapped.surface).bounds_a_volume);
  // Two offsets of 1 mm, and in 1 m of inside edges a fillet of at most half a square of the ball's radius:
  // 0.5 cm² over the 800 cm² of one side, 0.6 mm; the rim adds its half circles, 0.8 m by 1.6 mm² over the
  // same: 0.02 mm.
  EXPECT_GT(wrapped.thickness, 0.002);
  EXPECT_LT(wrapped.thickness, 0.002 + 0.0006 + 0.0002);
}

TEST(Wrap, RefusesAShellOfAClosedBody) {
  EXPECT_THROW(wrap(divided_box({0, 0, 0}, {0.2, 0.2, 0.2}, 1), {.tolerance = 0.02, .accept_shell = true}),
               base::ResultError);
}

// Two boxes joined by a slot of 5 mm: the slot is filled, which is further from the original than 2 mm.
TEST(Wrap, SaysWhenItHasClosedWhatIsNoHole) {
  Surface pair = divided_box({0, 0, 0}, {0.1, 0.1, 0.1}, 1);
  testing_support::append(pair, divided_box({0, 0.105, 0}, {0.1, 0.2, 0.1}, 1));
  const WrappedSurface wrapped = wrap(pair, {.tolerance = 0.01, .deviation_limit = 0.002});
  EXPECT_THAT(wrapped.broken_tolerance, testing::HasSubstr("inside the result"));
}

TEST(Wrap, RefusesATolerancesThatWouldGiveTooManyTriangles) {
  EXPECT_THAT(
      [] {
        wrap(divided_box({0, 0, 0}, {10, 10, 10}, 1), {.tolerance = 0.001});
      },
      testing::ThrowsMessage<base::InputError>(testing::HasSubstr("million triangles, limit 20 million")));
  EXPECT_THROW(wrap(tray(), {.tolerance = -1.0}), base::InputError);
}

}  // namespace
}  // namespace cowlwright::imported
