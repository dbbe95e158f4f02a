// SPDX-License-Identifier: GPL-3.0-or-later
//
// The cost model against the runs it stands on, and its correction by solved cases.
#include "cases/run/packing.h"
#include "geometry/base/case_state.h"
#include "geometry/base/manifest.h"
#include "geometry/base/solver_end.h"
#include "tests/support/scratch_folder.h"

#include <gtest/gtest.h>

namespace cowlwright::run {
namespace {

using testing_support::ScratchFolder;

constexpr double cells = 71602.0;

// Measured: 16.58 s on one core, 18.32 s for two cases at a time, 11.70 s on two ranks, each 45 iterations.
// The model has two digits of each, and few seconds beside the iterations: 5 %.
TEST(ScalingModel, GivesBackTheRunsItStandsOn) {
  const ScratchFolder folder;
  const ScalingModel model = measured_scaling(folder.path());
  const auto iterations = [&](int ranks) {
    return model.solve_seconds(cells, 45.0, ranks) - model.start_seconds;
  };
  EXPECT_NEAR(iterations(1), 16.58, 0.05 * 16.58);
  EXPECT_NEAR(iterations(1) * (1.0 + model.shared_slowdown), 18.32, 0.05 * 18.32);
  EXPECT_NEAR(iterations(2) * (1.0 + model.shared_slowdown), 11.70, 0.05 * 11.70);
  EXPECT_EQ(model.n_cases_measured, 0);
}

// From them: two cases beside each other on one core each do 1.28 times the work of one after the other on
// two ranks.
TEST(ScalingModel, MakesTwoCasesASideBySidePackingOnTwoCores) {
  const ScratchFolder folder;
  const Work work{.cells = cells, .iterations = 400.0};
  const Schedule schedule = pack({work, work}, {.cores = 2, .memory = 8e9}, measured_scaling(folder.path()));
  EXPECT_EQ(schedule.most_at_a_time, 2);
  EXPECT_EQ(schedule.ranks[0], 1);
}

/// A case whose stages took `factor` times what the model expects of them.
void write_solved_case(const std::filesystem::path& folder, const ScalingModel& model, double factor) {
  std::filesystem::create_directories(folder);
  base::Manifest manifest;
  manifest.expected_cells = cells;
  base::write_manifest(manifest, folder);
  const double busy = 1.0 + model.shared_slowdown;
  base::CaseState state;
  state.finished = {{"snap", factor * busy * model.mesh_seconds(cells)},
                    {"solve", factor * busy * model.solve_seconds(cells, 300.0, 1)}};
  base::write_case_state(state, folder);
  base::write_solver_end({base::EndedBy::Held, 300, ""}, folder);
}

TEST(ScalingModel, IsCorrectedByTheMedianOfSolvedCases) {
  const ScratchFolder folder;
  const ScalingModel before = measured_scaling(folder.path());
  write_solved_case(folder.path() / "a", before, 2.0);
  write_solved_case(folder.path() / "b", before, 2.0);
  write_solved_case(folder.path() / "c", before, 5.0);
  const ScalingModel after = measured_scaling(folder.path());
  EXPECT_EQ(after.n_cases_measured, 3);
  EXPECT_NEAR(after.mesh_seconds(cells), 2.0 * before.mesh_seconds(cells), 1e-6);
  EXPECT_NEAR(after.solve_seconds(cells, 100.0, 2), 2.0 * before.solve_seconds(cells, 100.0, 2), 1e-6);
}

TEST(ScalingModel, LearnsNothingFromASolverThatWasGoneOnWithOrAMeshThatWasReused) {
  const ScratchFolder folder;
  const ScalingModel before = measured_scaling(folder.path());
  write_solved_case(folder.path() / "a", before, 3.0);
  folder.write("a/log.solve.1", "Time = 1\n");
  base::CaseState state = *base::read_case_state(folder.path() / "a");
  state.finished[0].is_reused = true;
  base::write_case_state(state, folder.path() / "a");
  const ScalingModel after = measured_scaling(folder.path());
  EXPECT_EQ(after.n_cases_measured, 0);
  EXPECT_DOUBLE_EQ(after.mesh_seconds(cells), before.mesh_seconds(cells));
  EXPECT_DOUBLE_EQ(after.solve_seconds(cells, 100.0, 1), before.solve_seconds(cells, 100.0, 1));
}

}  // namespace
}  // namespace cowlwright::run
