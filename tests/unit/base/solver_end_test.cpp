// SPDX-License-Identifier: GPL-3.0-or-later
//
// How the solver ended, on disk and in words.
#include "geometry/base/solver_end.h"

#include "tests/support/scratch_folder.h"

#include <gtest/gtest.h>

namespace cowlwright::base {
namespace {

using testing_support::ScratchFolder;

TEST(SolverEnd, ComesBackFromItsFile) {
  const ScratchFolder folder;
  for (const EndedBy ended_by : {EndedBy::Held, EndedBy::Ceiling, EndedBy::Asked}) {
    write_solver_end({ended_by, 412, "widest half band 0.31 %"}, folder.path());
    const auto end = read_solver_end(folder.path());
    ASSERT_TRUE(end.has_value());
    EXPECT_EQ(end->ended_by, ended_by);
    EXPECT_EQ(end->iteration, 412);
    EXPECT_EQ(end->reason, "widest half band 0.31 %");
  }
}

TEST(SolverEnd, IsUnknownWithoutAFileOrWithAForeignOne) {
  const ScratchFolder folder;
  EXPECT_FALSE(read_solver_end(folder.path()));
  folder.write(solver_end_file_name, "{\"ended_by\": ");
  EXPECT_FALSE(read_solver_end(folder.path()));
  folder.write(solver_end_file_name,
               "{\"format\": \"another\", \"ended_by\": \"held\", \"iteration\": 1, \"reason\": \"\"}");
  EXPECT_FALSE(read_solver_end(folder.path()));
  folder.write(solver_end_file_name, "{\"format\": \"cowlwright solver end\", \"ended_by\": \"luck\"}");
  EXPECT_FALSE(read_solver_end(folder.path()));
}

TEST(SolverEnd, SaysWhichOfTheThreeItWas) {
  EXPECT_EQ(solver_end_text({EndedBy::Held, 412, "0.31 %"}), "held: 0.31 %");
  EXPECT_EQ(solver_end_text({EndedBy::Ceiling, 800, "flow drifts"}), "ceiling: 800 iterations; flow drifts");
  EXPECT_EQ(solver_end_text({EndedBy::Asked, 300, "flow drifts"}),
            "asked to stop at iteration 300; flow drifts");
}

}  // namespace
}  // namespace cowlwright::base
