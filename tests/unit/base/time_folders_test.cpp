// SPDX-License-Identifier: GPL-3.0-or-later
//
// Which names are time folders, and their order.
#include "geometry/base/time_folders.h"

#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace cowlwright::base {
namespace {

using testing::IsEmpty;
using testing_support::ScratchFolder;

TEST(TimeFolders, AreNamesThatAreNumbers) {
  EXPECT_EQ(time_of("0"), 0.0);
  EXPECT_EQ(time_of("120"), 120.0);
  EXPECT_EQ(time_of("0.5"), 0.5);
  for (const char* other : {"", "0.orig", "-1", "inf", "nan", "12x", " 1", "processor0", "constant"})
    EXPECT_FALSE(time_of(other).has_value()) << other;
}

TEST(TimeFolders, ComeEarliestFirstAndFilesAreNone) {
  const ScratchFolder folder;
  for (const char* name : {"100", "20", "0", "constant"})
    std::filesystem::create_directory(folder.path() / name);
  folder.write("7", "a file");
  std::vector<std::string> names;
  for (const TimeFolder& time : time_folders(folder.path())) names.push_back(time.name);
  EXPECT_EQ(names, (std::vector<std::string>{"0", "20", "100"}));
  EXPECT_THAT(time_folders(folder.path() / "missing"), IsEmpty());
}

}  // namespace
}  // namespace cowlwright::base
