// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/sheet.h"

#include "geometry/base/error.h"
#include "tests/support/mold_bodies.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>

namespace cowlwright::mold {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::ThrowsMessage;

auto refuses(const shape::Surface& surface) {
  return [surface] { make_sheet(surface, MoldSide::Outside); };
}

TEST(MoldSheet, KnowsWhetherItIsClosed) {
  EXPECT_TRUE(make_sheet(testing_support::box({0, 0, 0}, {0.1, 0.2, 0.3}), MoldSide::Outside).is_closed);
  EXPECT_FALSE(make_sheet(testing_support::cone_side(0.1, 12, 2), MoldSide::Outside).is_closed);
}

TEST(MoldSheet, TurnsItsNormalsToTheMoldsSide) {
  const shape::Surface box = testing_support::box({0, 0, 0}, {0.1, 0.2, 0.3});
  const Sheet outside = make_sheet(box, MoldSide::Outside);
  const Sheet inside = make_sheet(box, MoldSide::Inside);
  for (std::size_t f = 0; f < outside.n_faces(); ++f) {
    EXPECT_GT(dot(outside.normal[f], outside.centroid[f] - Vec3{0.05, 0.1, 0.15}), 0.0);
    EXPECT_LT(dot(inside.normal[f], inside.centroid[f] - Vec3{0.05, 0.1, 0.15}), 0.0);
  }
}

TEST(MoldSheet, RefusesASurfaceWithoutTriangles) {
  EXPECT_THAT(refuses({}), ThrowsMessage<base::InputError>(HasSubstr("no triangles")));
}

TEST(MoldSheet, RefusesACoordinateThatIsNoNumber) {
  shape::Surface box = testing_support::box({0, 0, 0}, {0.1, 0.2, 0.3});
  box.points[3].y = std::numeric_limits<double>::quiet_NaN();
  EXPECT_THAT(refuses(box),
              ThrowsMessage<base::InputError>(AllOf(HasSubstr("point 3"), HasSubstr("inspect"))));
}

TEST(MoldSheet, RefusesATriangleWithoutItsPoint) {
  shape::Surface box = testing_support::box({0, 0, 0}, {0.1, 0.2, 0.3});
  box.triangles[5][1] = 8;
  EXPECT_THAT(refuses(box),
              ThrowsMessage<base::InputError>(AllOf(HasSubstr("triangle 5"), HasSubstr("8 points"))));
}

TEST(MoldSheet, RefusesAnEdgeOfThreeFacesNamingItsPlace) {
  shape::Surface box = testing_support::box({0, 0, 0}, {0.1, 0.2, 0.3});
  box.points.push_back({0.5, 0.0, 0.0});
  box.triangles.push_back({0, 1, 8});
  box.patch.push_back(0);
  EXPECT_THAT(refuses(box),
              ThrowsMessage<base::InputError>(
                  AllOf(HasSubstr("1 edges with three"), HasSubstr("FS"), HasSubstr("cowlwright repair"))));
}

TEST(MoldSheet, RefusesFacesTurnedAgainstEachOther) {
  shape::Surface box = testing_support::box({0, 0, 0}, {0.1, 0.2, 0.3});
  std::swap(box.triangles[4][1], box.triangles[4][2]);
  EXPECT_THAT(refuses(box), ThrowsMessage<base::InputError>(HasSubstr("3 edges between faces turned")));
}

TEST(MoldSheet, RefusesASizeOfAWrongUnit) {
  EXPECT_THAT(refuses(testing_support::box({0, 0, 0}, {1000, 200, 300})),
              ThrowsMessage<base::InputError>(AllOf(HasSubstr("50 m"), HasSubstr("unit"))));
}

TEST(PlaceText, IsInStationsAndWholeMillimetres) {
  EXPECT_EQ(place_text({0.3124, -0.1404, -0.0001}), "FS 312 BL -140 WL 0");
}

TEST(ConnectedRegions, AreSplitWhereNothingIsPickedAndTheLargestComesFirst) {
  const Sheet sheet = make_sheet(testing_support::box({0, 0, 0}, {0.1, 0.2, 0.3}), MoldSide::Outside);
  std::vector<bool> picked(12, false);
  for (const std::size_t f : {0U, 1U, 10U, 11U}) picked[f] = true;  // bottom 0.1 x 0.2, side 0.2 x 0.3
  picked[11] = false;                                               // bottom and half a side touch by an edge
  const auto regions = connected_regions(sheet, picked, std::vector<double>(12, 1.0));
  double area = 0.0;
  for (const Region& r : regions) area += r.area;
  EXPECT_NEAR(area, 0.02 + 0.03, 1e-12);  // rounding only
  for (std::size_t i = 1; i < regions.size(); ++i) EXPECT_GE(regions[i - 1].area, regions[i].area);
}

}  // namespace
}  // namespace cowlwright::mold
