// SPDX-License-Identifier: GPL-3.0-or-later
//
// Plans of small studies: tasks, what each waits for, what is taken over.
#include "cases/verbs/plan_sweep.h"

#include "cases/run/stages.h"
#include "cases/starter.h"
#include "cases/verbs/study_selection.h"
#include "cases/verbs/sweep_report.h"
#include "geometry/base/case_state.h"
#include "geometry/base/error.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace cowlwright::verbs {
namespace {

using base::TaskKind;
using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::ThrowsMessage;
using testing_support::ScratchFolder;

Study draft_study(const std::string& vary, const std::string& grid = "") {
  const std::string text = starter_study_text();
  return parse_study(text.substr(0, text.find("[grid]")) + "[grid]\nlevel = \"draft\"\niterations = 100\n" +
                         "window = 50\n" + grid + "\n[vary]\n" + vary + "\n",
                     "my.toml");
}

/// One second for each mesh, ten for each solve.
run::ScalingModel even_model() {
  run::ScalingModel model;
  model.mesh_seconds_per_cell = 1e-5;
  model.start_seconds = 10.0;
  model.bytes_per_cell = 2000.0;
  model.disk_bytes_per_cell = 1000.0;
  return model;
}

class PlanSweep : public testing::Test {
 protected:
  SweepPlan plan(const Study& study, bool writes = false) {
    PlanOptions options{.variants = selected_variants(study, {}), .output = folder_.path()};
    options.machine = {.cores = 2, .memory = 1e12, .disk = 1e12};
    options.model = even_model();
    options.writes = writes;
    options.on_variant = [this](const std::string& name) { built_.push_back(name); };
    return plan_sweep(study, options);
  }

  ScratchFolder folder_;
  std::vector<std::string> built_;
};

TEST_F(PlanSweep, AStudyNeverRunHasAMeshAndASolveForEachShape) {
  const SweepPlan made = plan(draft_study("\"exit.lip_angle\" = [\"0 deg\", \"30 deg\"]"));
  ASSERT_EQ(made.sweep.tasks.size(), 4U);
  const std::vector<base::Task>& tasks = made.sweep.tasks;
  EXPECT_EQ(tasks[0].kind, TaskKind::Mesh);
  EXPECT_EQ(tasks[0].case_folder, "lip_angle_0_deg");
  EXPECT_EQ(tasks[1].kind, TaskKind::Solve);
  EXPECT_EQ(tasks[1].after.front(), 0U);
  EXPECT_EQ(tasks[1].reason, "new");
  EXPECT_EQ(tasks[3].case_folder, "lip_angle_30_deg");
  EXPECT_GT(tasks[3].expected_cells, 1e4);
  EXPECT_DOUBLE_EQ(tasks[3].expected_disk, 1000.0 * tasks[3].expected_cells);
  EXPECT_FALSE(std::filesystem::exists(folder_.path() / "lip_angle_0_deg"));
}

TEST_F(PlanSweep, CasesThatDifferInTheFlightConditionOnlyShareAMesh) {
  const SweepPlan made = plan(draft_study("\"flight.true_airspeed\" = [\"80 kt\", \"120 kt\"]"));
  ASSERT_EQ(made.sweep.tasks.size(), 3U);
  EXPECT_EQ(made.sweep.tasks[0].kind, TaskKind::Mesh);
  EXPECT_EQ(made.sweep.tasks[1].after.front(), 0U);
  EXPECT_EQ(made.sweep.tasks[2].after.front(), 0U);
}

TEST_F(PlanSweep, TheStudysRanksAreKept) {
  const SweepPlan made = plan(draft_study("\"exit.lip_angle\" = [\"0 deg\"]", "ranks = 2"));
  EXPECT_EQ(made.sweep.tasks.at(1).ranks, 2);
}

TEST_F(PlanSweep, WhatWasWrittenIsNotBuiltAgainUnlessItHasChanged) {
  const std::string vary = "\"exit.lip_angle\" = [\"0 deg\", \"30 deg\"]";
  plan(draft_study(vary), true);
  EXPECT_EQ(built_.size(), 2U);
  plan(draft_study(vary), true);
  EXPECT_EQ(built_.size(), 2U);
  const SweepPlan longer = plan(draft_study("\"exit.lip_angle\" = [\"0 deg\", \"40 deg\"]"), true);
  EXPECT_EQ(built_.size(), 3U);
  EXPECT_EQ(built_.back(), "lip_angle_40_deg");
}

TEST_F(PlanSweep, AVariantThatCannotBeBuiltHasNoTaskAndItsReason) {
  // The propeller cannot take this power at any pitch at this speed: found when the case is built, not when
  // the study is read.
  const SweepPlan made = plan(draft_study("\"engine.rotational_speed\" = [\"2600 rpm\", \"800 rpm\"]"));
  ASSERT_EQ(made.cases.size(), 2U);
  EXPECT_THAT(made.cases[0].failure, IsEmpty());
  EXPECT_THAT(made.cases[1].failure, HasSubstr("propeller"));
  EXPECT_EQ(made.cases[1].failure_code, 4);
  for (const base::Task& task : made.sweep.tasks) EXPECT_EQ(task.case_folder, made.cases[0].folder);
  EXPECT_THAT(case_table(made), AllOf(HasSubstr("cannot be built"), HasSubstr(made.cases[1].failure)));
}

TEST_F(PlanSweep, RefusesADiskThatIsTooSmall) {
  const SweepPlan made = plan(draft_study("\"exit.lip_angle\" = [\"0 deg\"]"));
  EXPECT_NO_THROW(require_disk(made, {.disk = 1e12}, folder_.path()));
  EXPECT_THAT([&] { require_disk(made, {.disk = 1e6}, folder_.path()); },
              ThrowsMessage<base::InputError>(AllOf(HasSubstr("GB of disk"), HasSubstr("--output"))));
}

TEST(SweepSummary, SaysWhenNothingIsLeft) {
  EXPECT_EQ(sweep_summary({}, {}, {}), "Nothing is left to be done.\n");
}

}  // namespace
}  // namespace cowlwright::verbs
