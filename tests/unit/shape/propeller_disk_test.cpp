// SPDX-License-Identifier: GPL-3.0-or-later
//
// The propeller's zone.
#include "geometry/shape/boolean.h"
#include "geometry/shape/installation.h"

#include <gtest/gtest.h>

#include <numbers>

namespace cowlwright::shape {
namespace {

// Annulus of 1.8 m and 0.4 m, 0.1 m thick: pi/4 (1.8² - 0.4²) 0.1 m³; the polygon has the circles' areas.
TEST(PropellerDisk, HasTheVolumeOfItsAnnulus) {
  const double expected = 0.25 * std::numbers::pi * (1.8 * 1.8 - 0.4 * 0.4) * 0.1;
  const Zone disk = propeller_disk(0.4, 1.8, 0.1);
  EXPECT_NEAR(disk.record.volume, expected, 1e-12);
  EXPECT_NEAR(enclosed_volume(disk.surface), expected, 1e-12);
}

TEST(PropellerDisk, IsAClosedRingAboutThePropellerPlane) {
  const Zone disk = propeller_disk(0.4, 1.8, 0.1);
  const SurfaceProof proof = prove_surface(disk.surface);
  EXPECT_TRUE(proof.is_closed && proof.is_free_of_self_intersections && proof.bounds_a_volume);
  EXPECT_EQ(proof.genus, 1);
  const Box box = bounding_box(disk.surface);
  EXPECT_DOUBLE_EQ(box.low.x, -0.05);
  EXPECT_DOUBLE_EQ(box.high.x, 0.05);
  EXPECT_EQ(disk.record.role, base::ZoneRole::PropellerDisk);
}

TEST(PropellerDisk, StaysOffASpinnerOfTheHubsDiameter) {
  double nearest = 1.0;
  for (const base::Vec3& p : propeller_disk(0.4, 1.8, 0.1).surface.points) {
    nearest = std::min(nearest, std::hypot(p.y, p.z));
  }
  // 96 corners: the flats lie at cos(pi/96) of the corners' radius.
  EXPECT_GT(nearest * std::cos(std::numbers::pi / 96.0), 0.2 * 0.999);
}

}  // namespace
}  // namespace cowlwright::shape
