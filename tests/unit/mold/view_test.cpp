// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/view.h"

#include "geometry/base/error.h"
#include "geometry/base/text_file.h"
#include "geometry/mold/raster.h"
#include "tests/support/mold_bodies.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace cowlwright::mold {
namespace {

using testing::HasSubstr;

struct Checked {
  Checked() : sheet(make_sheet(testing_support::stepped_block(2), MoldSide::Outside)) {
    options.pulls = {{0, 0, 1}};
    report = check_mold(sheet, options, {});
  }
  Sheet sheet;
  Options options;
  MoldReport report;
};

TEST(MoldViews, AreThreeSheetsAsPngAndSvg) {
  const Checked block;
  const testing_support::ScratchFolder folder;
  const auto files = write_views(block.sheet, block.report, block.options, "block.stl", folder.path());
  ASSERT_EQ(files.size(), 6U);
  for (const auto& file : files) {
    const std::string bytes = base::read_text(file);
    EXPECT_GT(bytes.size(), 10000U) << file;
    EXPECT_THAT(bytes.substr(0, 200), HasSubstr(file.extension() == ".png" ? "PNG" : "<svg")) << file;
  }
}

TEST(MoldViews, RefuseAFolderThatIsNotThere) {
  const Checked block;
  EXPECT_THROW(write_views(block.sheet, block.report, block.options, "block", "/no/such/folder"),
               base::ExternalError);
}

// The arrays' bytes follow the XML, each after its length: their sizes add up to the file's.
TEST(MoldVtp, HoldsEveryArrayWithItsSize) {
  const Checked block;
  const testing_support::ScratchFolder folder;
  write_check_vtp(block.sheet, block.report, folder.path() / "check.vtp");
  const std::string bytes = base::read_text(folder.path() / "check.vtp");
  for (const char* name : {"\"draft\"", "\"undercut\"", "\"radius\"", "\"half\"", "\"patch\""}) {
    EXPECT_THAT(bytes, HasSubstr(name));
  }
  const std::size_t start = bytes.find("encoding=\"raw\">\n_") + 17;
  const std::size_t end = bytes.rfind("\n</AppendedData>");
  const std::size_t n = block.sheet.n_faces();
  EXPECT_EQ(end - start, 8 * 8 + 24 * block.sheet.points.size() + n * (3 * 4 + 4 + 3 * 4 + 2 * 4));
}

// From the right (towards +y) the picture's right is ahead (-x); from above it is aft, and up is the pilot's
// right.
TEST(Camera, LooksAsStated) {
  const Camera side = camera_from({0, 1, 0});
  EXPECT_NEAR(side.right.x, -1.0, 1e-12);
  EXPECT_NEAR(side.up.z, 1.0, 1e-12);
  const Camera above = camera_from({0, 0, 1});
  EXPECT_NEAR(above.right.x, 1.0, 1e-12);
  EXPECT_NEAR(above.up.y, 1.0, 1e-12);
}

TEST(Raster, ShowsTheNearerOfTwoFaces) {
  const Sheet box = make_sheet(testing_support::box({0, 0, 0}, {1, 1, 1}), MoldSide::Outside);
  std::vector<Colour> colours(12, Colour{0, 0, 200});
  colours[2] = colours[3] = {200, 0, 0};  // the top
  Raster raster(camera_from({0, 0, 1}), box.low, box.high, 100, 100);
  raster.draw(box, colours);
  EXPECT_EQ(raster.image()[50 * 100 + 50], 0xFFC80000U);
  EXPECT_EQ(raster.image()[0], 0U);  // nothing in the corner
  EXPECT_TRUE(raster.is_seen({0.5, 0.5, 1.0}, 1e-6));
  EXPECT_FALSE(raster.is_seen({0.5, 0.5, 0.0}, 1e-6));
}

}  // namespace
}  // namespace cowlwright::mold
