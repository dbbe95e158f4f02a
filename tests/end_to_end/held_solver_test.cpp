// SPDX-License-Identifier: GPL-3.0-or-later
//
// The real solver is ended when its monitors have held, its result is there, and the table says so.
#include "geometry/base/case_state.h"
#include "geometry/base/solver_end.h"
#include "tests/end_to_end/program_run.h"
#include "tests/support/openfoam.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace {

using namespace cowlwright;
using namespace cowlwright::testing_support;
using testing::Contains;
using testing::HasSubstr;

class HeldSolver : public OpenFoamTest {};

// 5 % over 30 iterations is no result to use, but one that the draft grid gives within some 100 iterations.
TEST_F(HeldSolver, EndsAheadOfItsCeilingAndTheRowSaysSo) {
  const ScratchFolder folder;
  std::string study = draft_study(300, 30, "\"exit.lip_angle\" = [\"0 deg\"]");
  const std::string to_ceiling = "stop_when_held = false";
  study.replace(
      study.find(to_ceiling), to_ceiling.size(), "settled_tolerance = \"10 %\"\nstop_tolerance = \"5 %\"");
  folder.write("my.toml", study);
  const std::filesystem::path case_dir = folder.path() / "my-study" / "lip_angle_0_deg";

  const ProgramRun first =
      run_program({program("cowlwright"), "run", "--tables-only", "my.toml"}, folder.path());
  ASSERT_EQ(first.exit_code, 0) << first.output;
  EXPECT_THAT(first.output, HasSubstr("solver held: widest half band"));
  const auto end = base::read_solver_end(case_dir);
  ASSERT_TRUE(end.has_value());
  EXPECT_EQ(end->ended_by, base::EndedBy::Held);
  EXPECT_LT(end->iteration, 300);
  const auto state = base::read_case_state(case_dir);
  ASSERT_TRUE(state.has_value());
  EXPECT_EQ(state->phase, base::CasePhase::Finished);

  // The fields are those of the iteration it was ended at.
  const nlohmann::json row = read_results(folder.path() / "my-study")["variants"][0];
  EXPECT_EQ(row["fields_iteration"], end->iteration);
  EXPECT_NE(row["status"], "failed") << row["status_reason"];
  EXPECT_THAT(row["notes"].get<std::vector<std::string>>(), Contains(HasSubstr("solver stopped: held")));

  const ProgramRun second =
      run_program({program("cowlwright"), "run", "--tables-only", "my.toml"}, folder.path());
  EXPECT_EQ(second.exit_code, 0) << second.output;
  EXPECT_THAT(second.output, HasSubstr("all done before"));
}

}  // namespace
