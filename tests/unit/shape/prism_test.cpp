// SPDX-License-Identifier: GPL-3.0-or-later
//
// The prism over a measurement plane, by the volume formula base area times height.
#include "geometry/shape/prism.h"

#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace cowlwright::shape {
namespace {

/// Rectangle 2 m by 3 m in the plane x = 0, normal +x.
Surface rectangle() {
  Surface surface;
  surface.points = {{0, 0, 0}, {0, 2, 0}, {0, 2, 3}, {0, 0, 3}};
  surface.triangles = {{0, 1, 2}, {0, 2, 3}};
  surface.patch = {0, 0};
  surface.patch_names = {"plane"};
  return surface;
}

TEST(Prism, HoldsBaseAreaTimesHeightAndLooksOutward) {
  EXPECT_NEAR(enclosed_volume(prism(rectangle(), {0.5, 0, 0}, "box")), 3.0, 1e-12);
  EXPECT_NEAR(enclosed_volume(prism(rectangle(), {-0.25, 0, 0}, "box")), 1.5, 1e-12);
}

TEST(Prism, HasTheSurfaceOfTheBox) {
  // 2 * (2*3) + 0.5 * (2 + 3) * 2
  EXPECT_NEAR(surface_area(prism(rectangle(), {0.5, 0, 0}, "box")), 17.0, 1e-12);
}

TEST(Prism, RefusesAnOffsetInThePlane) {
  EXPECT_THAT(
      [] {
        prism(rectangle(), {0, 1, 0}, "flat");
      },
      testing::ThrowsMessage<base::InputError>(testing::HasSubstr("must not be 0")));
}

TEST(Prism, RefusesAnEmptySurface) {
  EXPECT_THROW(prism({}, {1, 0, 0}, "none"), base::InputError);
}

}  // namespace
}  // namespace cowlwright::shape
