// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/verbs/verbs.h"
#include "geometry/base/error.h"
#include "geometry/shape/builder.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <string>

namespace cowlwright::verbs {
namespace {

using ::testing::HasSubstr;
using ::testing::ThrowsMessage;

class TemplatesVerb : public ::testing::Test {
 protected:
  TemplatesVerb() {
    shape::write_stl(shape::box_surface({0.0, -0.2, -0.1}, {1.0, 0.2, 0.1}, shape::Patch::Cowl), file());
  }

  std::filesystem::path file() const { return folder_.path() / "box.stl"; }
  std::filesystem::path output() const { return folder_.path() / "out"; }

  int draw(const Words& more) const {
    Words words{file().string(), "-o", output().string(), "--unit", "m", "--axes=x y z"};
    words.insert(words.end(), more.begin(), more.end());
    return write_templates(words);
  }

  void expect_refused(const Words& more, const std::string& what) const {
    EXPECT_THAT([&] { draw(more); }, ThrowsMessage<base::InputError>(HasSubstr(what)));
    EXPECT_FALSE(std::filesystem::exists(output())) << "something was written before the refusal";
  }

 private:
  testing_support::ScratchFolder folder_;
};

TEST_F(TemplatesVerb, WritesThreeFilesForEachPlane) {
  ASSERT_EQ(draw({"--stations", "300 mm, 0.5 m", "--buttlines", "-1 in"}), 0);
  for (const char* stem : {"FS_300", "FS_500", "BL_-25.4"}) {
    for (const char* end : {".dxf", ".svg", ".pdf"}) {
      EXPECT_TRUE(std::filesystem::exists(output() / (std::string(stem) + end))) << stem << end;
    }
  }
  EXPECT_THAT(testing_support::text_of(output() / "FS_300.svg"), HasSubstr("box.stl, unit m, axes x y z."));
}

TEST_F(TemplatesVerb, LeavesPaperOutWhenToldTo) {
  ASSERT_EQ(draw({"--waterlines", "0 mm", "--paper", "none"}), 0);
  EXPECT_TRUE(std::filesystem::exists(output() / "WL_0.dxf"));
  EXPECT_FALSE(std::filesystem::exists(output() / "WL_0.pdf"));
}

TEST_F(TemplatesVerb, RefusesALengthWithoutUnit) {
  expect_refused({"--stations", "300"}, "--stations");
  expect_refused({"--stations", "300 mm, 500"}, "--stations");
}

TEST_F(TemplatesVerb, RefusesAPlaneBesideTheSurfaceBeforeWritingAny) {
  expect_refused({"--stations", "300 mm, 3000 mm"},
                 "FS 3000.0 mm: misses the surface, which lies from 0.0 to 1000.0 mm");
}

TEST_F(TemplatesVerb, RefusesUnknownPaper) {
  expect_refused({"--stations", "300 mm", "--paper", "a2"}, "--paper = a2: must be a4, letter or a3");
}

TEST_F(TemplatesVerb, RefusesTooManyPlanes) {
  std::string list = "1 mm";
  for (int i = 2; i <= 101; ++i) list += ", " + std::to_string(i) + " mm";
  expect_refused({"--stations", list}, "101 planes: at most 100");
}

TEST_F(TemplatesVerb, RefusesToDrawNothing) {
  expect_refused({}, "nothing to draw");
  expect_refused({"--stations", ""}, "--stations is empty");
}

TEST_F(TemplatesVerb, RefusesWhatBelongsToAStudy) {
  expect_refused({"--patterns"}, "--patterns belongs to a study");
  expect_refused({"--stations", "300 mm", "--k-factor", "0.4"}, "--k-factor belongs to --patterns");
}

TEST_F(TemplatesVerb, RefusesAnInsetThatLeavesNothing) {
  expect_refused({"--stations", "300 mm", "--inset", "150 mm"},
                 "FS 300 mm: --inset = 150 mm: leaves nothing");
}

}  // namespace
}  // namespace cowlwright::verbs
