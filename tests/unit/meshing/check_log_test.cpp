// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading of checkMesh's verdict from logs in the form OpenFOAM 1912 prints.
#include "geometry/base/error.h"
#include "meshing/quality_gate.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>

namespace cowlwright::meshing {
namespace {

class CheckLog : public testing::Test {
 protected:
  std::filesystem::path write(const std::string& text) {
    const std::filesystem::path path = std::filesystem::path(testing::TempDir()) / "log.check";
    std::ofstream(path) << text;
    return path;
  }
};

constexpr const char* good_log =
    "Mesh stats\n"
    "    points:           150000\n"
    "    cells:            123456\n"
    "Checking geometry...\n"
    "    Max aspect ratio = 8.25 OK.\n"
    "    Mesh non-orthogonality Max: 62.7 average: 9.5\n"
    "    Non-orthogonality check OK.\n"
    "    Max skewness = 3.31 OK.\n"
    "    Min volume = 2.06e-08. Max volume = 0.218.  Total volume = 1014.77.  Cell volumes OK.\n"
    "\n"
    "Mesh OK.\n"
    "\n"
    "End\n";

TEST_F(CheckLog, GivesFiguresAndVerdictOfAGoodMesh) {
  const MeshReport report = read_check_log(write(good_log));
  EXPECT_TRUE(report.is_ok);
  EXPECT_TRUE(report.faults.empty());
  EXPECT_EQ(report.n_cells, 123456);
  EXPECT_DOUBLE_EQ(report.max_non_orthogonality, 62.7);
  EXPECT_DOUBLE_EQ(report.mean_non_orthogonality, 9.5);
  EXPECT_DOUBLE_EQ(report.max_skewness, 3.31);
  EXPECT_DOUBLE_EQ(report.max_aspect_ratio, 8.25);
  EXPECT_DOUBLE_EQ(report.volume, 1014.77);
}

TEST_F(CheckLog, ListsEachFailedCheckWithItsLineAndSet) {
  const MeshReport report = read_check_log(write(
      "    cells:            10\n"
      " ***Max skewness = 5.2, 3 highly skew faces detected which may impair the quality of the results\n"
      "  <<Writing 3 skew faces to set skewFaces\n"
      "    Coupled point location match (average 0) OK.\n"
      "\n"
      "Failed 1 mesh checks.\n"));
  EXPECT_FALSE(report.is_ok);
  ASSERT_EQ(report.faults.size(), 1u);
  EXPECT_EQ(report.faults[0].line, 2);
  EXPECT_EQ(report.faults[0].set, "skewFaces");
  EXPECT_THAT(report.faults[0].text, testing::HasSubstr("3 highly skew faces"));
  EXPECT_DOUBLE_EQ(report.max_skewness, 5.2);
}

TEST_F(CheckLog, RefusesALogWithoutVerdict) {
  EXPECT_THAT([&] { read_check_log(write("Mesh stats\n    cells:            10\n")); },
              testing::ThrowsMessage<base::ResultError>(testing::HasSubstr("checkMesh did not finish")));
}

TEST_F(CheckLog, RefusesAMissingLogNamingIt) {
  EXPECT_THAT([] { read_check_log("no/such/log.check"); },
              testing::ThrowsMessage<base::ResultError>(testing::HasSubstr("no/such/log.check")));
}

}  // namespace
}  // namespace cowlwright::meshing
