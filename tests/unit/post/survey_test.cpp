// SPDX-License-Identifier: GPL-3.0-or-later
//
// Means over survey discs in the duct of 4 x 2 x 2 cells of 0.5 m; the shaft runs along its lower left edge,
// y = z = 0. VTK stores single precision: relative rounding 6e-8, so 1e-6 is asked for.
#include "post/extract/survey.h"

#include "geometry/base/error.h"
#include "tests/support/scratch_folder.h"
#include "tests/unit/post/synthetic_case.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

namespace cowlwright::post {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;
using testing_support::ScratchFolder;
using namespace cowlwright::post::synthetic;

constexpr double single_precision = 1e-6;

base::PlaneRecord disc_at(const base::Vec3& origin, double radius) {
  base::PlaneRecord disc;
  disc.name = "ahead_right";
  disc.origin = origin;
  disc.normal = {1.0, 0.0, 0.0};
  disc.area = std::numbers::pi * radius * radius;
  disc.radius = radius;
  return disc;
}

Duct duct_with(std::function<base::Vec3(const base::Vec3&)> velocity) {
  Duct duct;
  duct.encoding = Encoding::Binary;
  duct.pressure = [](const base::Vec3& c) { return 1000.0 + 100.0 * c.x; };
  duct.density = [](const base::Vec3&) { return 1.2; };
  duct.velocity = std::move(velocity);
  return duct;
}

SurveyMean survey(const ScratchFolder& folder, const base::PlaneRecord& disc) {
  base::Manifest manifest;
  manifest.flight = {.true_airspeed = 10.0, .pressure = 1000.0, .temperature = 300.0, .density = 1.2};
  manifest.surveys = {disc};
  return read_field_means(find_results(folder.path()), manifest).surveys.at(0);
}

/// 8 rad/s clockwise as the pilot sees it: at the top (+z) to the right (+y).
base::Vec3 clockwise_rotation(const base::Vec3& c) {
  return {10.0, 8.0 * c.z, -8.0 * c.y};
}

// Equal areas: the mean square of the distance from the middle is half the square of the radius; no first
// moment.
TEST(SurveyPoints, CoverTheDiscEvenly) {
  const base::Vec3 origin{1.0, 0.3, 0.1};
  const std::vector<base::Vec3> points = survey_points(disc_at(origin, 0.07));
  base::Vec3 sum;
  double squares = 0.0;
  for (const base::Vec3& point : points) {
    const base::Vec3 arm = point - origin;
    EXPECT_NEAR(arm.x, 0.0, 1e-15);
    EXPECT_LT(base::norm(arm), 0.07);
    sum = sum + arm;
    squares += base::dot(arm, arm);
  }
  const auto n = static_cast<double>(points.size());
  EXPECT_NEAR(base::norm(sum) / n, 0.0, 1e-15);
  EXPECT_NEAR(squares / n, 0.5 * 0.07 * 0.07, 1e-15);
}

// So that a mirrored installation gives mirrored means.
TEST(SurveyPoints, OfAnInletsDiscAreMirroredByTheOtherInlets) {
  const std::vector<base::Vec3> left = survey_points(disc_at({0.0, -0.28, 0.02}, 0.07));
  for (const base::Vec3& point : survey_points(disc_at({0.0, 0.28, 0.02}, 0.07))) {
    const auto is_mirror = [&point](const base::Vec3& other) {
      return base::norm(other - base::Vec3{point.x, -point.y, point.z}) < 1e-12;
    };
    EXPECT_TRUE(std::any_of(left.begin(), left.end(), is_mirror));
  }
}

TEST(SurveyPoints, OfADiscAcrossZLieInIt) {
  base::PlaneRecord disc = disc_at({}, 1.0);
  disc.normal = {0.0, 0.0, -1.0};
  for (const base::Vec3& point : survey_points(disc)) {
    EXPECT_NEAR(point.z, 0.0, 1e-15);
  }
}

// Within one cell with its middle at y = z = 0.25 m, 0.353553 m from the shaft: 8 * 0.353553 m/s, and p + 0.5
// rho (10² + 2.828427²) = 1125 + 0.6 * 108.
TEST(Survey, OfARigidRotationHasItsSpeedAboutTheShaft) {
  const ScratchFolder folder;
  write_duct(duct_with(clockwise_rotation), folder.path(), "100");
  const SurveyMean mean = survey(folder, disc_at({1.25, 0.2, 0.3}, 0.1));
  EXPECT_TRUE(mean.is_complete());
  EXPECT_NEAR(mean.axial_velocity, 10.0, 10.0 * single_precision);
  EXPECT_NEAR(mean.clockwise_velocity, 2.8284271, 3.0 * single_precision);
  EXPECT_NEAR(mean.total_pressure, 1189.8, 1189.8 * single_precision);
}

// A quarter of the points in each of four cells, 0.353553, twice 0.790569 and 1.060660 m from the shaft: mean
// 0.748838 m, to 6 digits.
TEST(Survey, AcrossFourCellsTakesAQuarterOfEach) {
  const ScratchFolder folder;
  write_duct(duct_with(clockwise_rotation), folder.path(), "100");
  const SurveyMean mean = survey(folder, disc_at({1.25, 0.5, 0.5}, 0.2));
  EXPECT_NEAR(mean.clockwise_velocity, 8.0 * 0.748838, 1e-5);
}

TEST(Survey, OfAnAnticlockwiseRotationIsNegative) {
  const ScratchFolder folder;
  write_duct(duct_with([](const base::Vec3& c) {
               return base::Vec3{10.0, -8.0 * c.z, 8.0 * c.y};
             }),
             folder.path(),
             "100");
  EXPECT_NEAR(survey(folder, disc_at({1.25, 0.2, 0.3}, 0.1)).clockwise_velocity, -2.8284271, 3e-6);
}

// A stream that runs away from the shaft does not go round it.
TEST(Survey, OfARadialStreamHasNoSpeedAboutTheShaft) {
  const ScratchFolder folder;
  write_duct(duct_with([](const base::Vec3& c) {
               return base::Vec3{10.0, 8.0 * c.y, 8.0 * c.z};
             }),
             folder.path(),
             "100");
  EXPECT_NEAR(survey(folder, disc_at({1.25, 0.5, 0.5}, 0.2)).clockwise_velocity, 0.0, 1e-5);
}

TEST(Survey, IsTheSameForACaseInTwoRanks) {
  const ScratchFolder folder;
  write_split_duct(duct_with(clockwise_rotation), 2, folder.path(), "100");
  EXPECT_NEAR(survey(folder, disc_at({1.25, 0.2, 0.3}, 0.1)).clockwise_velocity, 2.8284271, 3e-6);
}

// 0.8 m below the duct's floor; a cell's diagonal is 0.87 m.
TEST(Survey, OutsideTheMeshCountsItsPointsAsOutside) {
  const ScratchFolder folder;
  write_duct(duct_with(clockwise_rotation), folder.path(), "100");
  const SurveyMean mean = survey(folder, disc_at({1.25, 0.5, -0.8}, 0.1));
  EXPECT_EQ(mean.n_outside, mean.n_points);
  EXPECT_FALSE(mean.is_complete());
}

TEST(Survey, OfAValueThatIsNotANumberIsAnErrorNamingIt) {
  const ScratchFolder folder;
  write_duct(duct_with([](const base::Vec3&) {
               return base::Vec3{std::numeric_limits<double>::quiet_NaN(), 0.0, 0.0};
             }),
             folder.path(),
             "100");
  EXPECT_THAT(
      [&] {
        survey(folder, disc_at({1.25, 0.2, 0.3}, 0.1));
      },
      ThrowsMessage<base::ResultError>(AllOf(HasSubstr("survey ahead_right"), HasSubstr("not finite"))));
}

}  // namespace
}  // namespace cowlwright::post
