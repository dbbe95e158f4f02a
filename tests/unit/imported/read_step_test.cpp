// SPDX-License-Identifier: GPL-3.0-or-later
//
// STEP bodies of known volume, through the converter in its own process.
#include "geometry/base/error.h"
#include "geometry/imported/faults.h"
#include "geometry/imported/read_surface.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <numbers>

namespace cowlwright::imported {
namespace {

using std::numbers::pi;
using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::ThrowsMessage;

const std::string data = std::string(COWLWRIGHT_TEST_DATA) + "/surfaces/";

TEST(StepFile, OfACylinderHasItsVolumeWithinTheDeflectionAndIsClosed) {
  const SurfaceFile file = read_surface_file(data + "cylinder.step", read_placement("mm", "x y z", "0 0 0"));
  EXPECT_EQ(file.format, "STEP");
  EXPECT_EQ(file.stated_unit, "mm");
  EXPECT_THAT(file.surface.patch_names, ElementsAre("body_1"));
  // Radius 50 mm, height 120 mm. Chords lie inside by at most the deflection of 0.1 mm.
  const double volume = shape::enclosed_volume(file.surface);
  EXPECT_LE(volume, pi * 0.050 * 0.050 * 0.120);
  EXPECT_GE(volume, pi * 0.0499 * 0.0499 * 0.120);
  const Faults faults = diagnose(file.surface);
  EXPECT_TRUE(faults.is_closed());
  EXPECT_TRUE(faults.intersections.empty());
  EXPECT_EQ(faults.n_disagreeing_edges, 0U);
}

TEST(StepFile, IsFinerWithASmallerDeflection) {
  ReadOptions fine;
  fine.step = {.deflection = 1e-5, .angle = 0.05};
  const SurfaceFile file =
      read_surface_file(data + "cylinder.step", read_placement("mm", "x y z", "0 0 0"), fine);
  EXPECT_GE(shape::enclosed_volume(file.surface), pi * 0.04999 * 0.04999 * 0.120);
}

TEST(StepFile, InInchesKeepsItsBodiesAndSizes) {
  const SurfaceFile file =
      read_surface_file(data + "two_bodies_inch.step", read_placement("in", "x y z", "0 0 0"));
  EXPECT_EQ(file.stated_unit, "in");
  EXPECT_THAT(file.surface.patch_names, ElementsAre("body_1", "body_2"));
  // A cylinder of 50.8 x 127 mm and a torus of radii 60 and 20 mm, whose triangles lie off it by up to 0.1 mm
  // either way.
  const double cylinder = pi * 0.0508 * 0.0508 * 0.127;
  const double low = pi * 0.0507 * 0.0507 * 0.127 + 2 * pi * pi * 0.060 * 0.0199 * 0.0199;
  const double high = cylinder + 2 * pi * pi * 0.060 * 0.0201 * 0.0201;
  const double volume = shape::enclosed_volume(file.surface);
  EXPECT_GT(volume, low);
  EXPECT_LT(volume, high);
  EXPECT_TRUE(diagnose(file.surface).is_closed());
}

TEST(StepFile, WhoseUnitIsNotTheOneGivenIsRefusedNamingBoth) {
  EXPECT_THAT(
      [] { read_surface(data + "two_bodies_inch.step", read_placement("mm", "x y z", "0 0 0")); },
      ThrowsMessage<base::InputError>(
          AllOf(HasSubstr("two_bodies_inch.step"), HasSubstr("(0.0254 m)"), HasSubstr("--unit as 0.001 m"))));
}

TEST(StepFile, GivesItsUnitToTheProposal) {
  const PlacementProposal proposal = propose_placement(data + "two_bodies_inch.step");
  EXPECT_EQ(proposal.unit, "in");
  EXPECT_EQ(proposal.unit_reason, "the file states it");
}

TEST(StepFile, ThatIsCutShortOrNonsenseIsRefusedByName) {
  for (const char* name : {"truncated.step", "not_step.step"}) {
    EXPECT_THAT([&] { read_surface(data + name, read_placement("mm", "x y z", "0 0 0")); },
                ThrowsMessage<base::InputError>(
                    AllOf(HasSubstr(data + name + ": STEP: "), HasSubstr("Export it again"))));
  }
}

TEST(StepFile, BeyondTheTriangleLimitIsRefusedNamingIt) {
  ReadOptions few;
  few.limits.most_triangles = 20;
  EXPECT_THAT([&] { read_surface_file(data + "cylinder.step", read_placement("mm", "x y z", "0 0 0"), few); },
              ThrowsMessage<base::InputError>(HasSubstr("more than 20 triangles at this deflection")));
}

}  // namespace
}  // namespace cowlwright::imported
