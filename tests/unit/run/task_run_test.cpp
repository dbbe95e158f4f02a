// SPDX-License-Identifier: GPL-3.0-or-later
//
// Whole tasks with shell scripts in place of OpenFOAM: what is run, what is taken over, and how a task goes
// on after each way of being cut off.
#include "cases/run/task_run.h"

#include "cases/run/mesh_store.h"
#include "cases/run/process.h"
#include "geometry/base/error.h"
#include "geometry/base/manifest.h"
#include "geometry/base/solver_end.h"
#include "tests/unit/run/stand_in_case.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using base::CasePhase;
using base::TaskKind;
using testing::Contains;
using testing::Each;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

class TaskRun : public testing::Test {
 protected:
  testing_support::StandInStudy study_;
};

TEST_F(TaskRun, SolvesACaseFromItsFolderAlone) {
  study_.place(study_.built("a"));
  EXPECT_EQ(study_.solve("a"), 0);
  EXPECT_THAT(study_.trace(),
              ElementsAre("a blockMesh",
                          "a surfaceFeatureExtract",
                          "a snappyHexMesh",
                          "a topoSet",
                          "a checkMesh",
                          "a setFields",
                          "a rhoSimpleFoam"));
  EXPECT_EQ(study_.state("a").phase, CasePhase::Finished);
  EXPECT_THAT(study_.file("a", "4/U"), testing::StartsWith("still 4\n"));
  EXPECT_EQ(base::read_solver_end(study_.case_dir("a"))->iteration, 4);
  EXPECT_EQ(base::read_solver_end(study_.case_dir("a"))->ended_by, base::EndedBy::Ceiling);
}

TEST_F(TaskRun, HasNothingToDoTheSecondTime) {
  study_.place(study_.built("a"));
  study_.solve("a");
  study_.trace();
  EXPECT_EQ(study_.place(study_.built("a")), "all done before");
  EXPECT_EQ(study_.solve("a"), 0);
  EXPECT_THAT(study_.trace(), IsEmpty());
}

TEST_F(TaskRun, MeshesOnceForCasesOfOneMeshKey) {
  study_.place(study_.built("a"));
  foam::Case other = study_.built("b");
  other.keys.solve = "another";
  study_.place(other);
  study_.solve("a");
  study_.trace();
  EXPECT_EQ(study_.solve("b"), 0);
  EXPECT_THAT(study_.trace(), ElementsAre("b setFields", "b rhoSimpleFoam"));
  EXPECT_TRUE(study_.state("b").finished.front().is_reused);
  EXPECT_FALSE(study_.state("a").finished.front().is_reused);
  EXPECT_THAT(study_.file("b", "log.check"), HasSubstr("Mesh OK."));
}

TEST_F(TaskRun, AMeshTaskLeavesTheMeshForTheSolveTasks) {
  study_.place(study_.built("a"));
  base::Sweep sweep;
  sweep.tasks = {{.case_folder = "a", .kind = TaskKind::Mesh}, {.case_folder = "a", .after = {0}}};
  EXPECT_EQ(run::run_task(study_.output(), sweep, 0), 0);
  EXPECT_THAT(study_.trace(), Not(Contains("a rhoSimpleFoam")));
  EXPECT_TRUE(run::has_mesh(study_.output() / "meshes", "mesh"));
  EXPECT_EQ(run::run_task(study_.output(), sweep, 1), 0);
  EXPECT_THAT(study_.trace(), ElementsAre("a setFields", "a rhoSimpleFoam"));
}

TEST_F(TaskRun, MakesTheMeshAnewWhenTheStoresIsDamaged) {
  study_.place(study_.built("a"));
  study_.place(study_.built("b"));
  study_.solve("a");
  study_.trace();
  const std::filesystem::path points = study_.output() / "meshes/mesh/polyMesh/points";
  std::filesystem::remove(points);
  study_.scratch().write("study/meshes/mesh/polyMesh/points", "cut");
  EXPECT_EQ(study_.solve("b"), 0);
  EXPECT_THAT(study_.trace(), Contains("b snappyHexMesh"));
  EXPECT_THAT(study_.file("b", "constant/polyMesh/points"), HasSubstr("(1 0 0)"));
}

TEST_F(TaskRun, MoreIterationsGoOnFromTheLastField) {
  study_.place(study_.built("a", 4));
  study_.solve("a");
  study_.trace();
  foam::Case longer = study_.built("a", 6);
  longer.keys.source = "other";
  EXPECT_EQ(study_.place(longer), "more iterations are wanted");
  EXPECT_EQ(study_.solve("a"), 0);
  EXPECT_THAT(study_.trace(), ElementsAre("a rhoSimpleFoam"));
  EXPECT_EQ(study_.file("a", "log.solve"), "Time = 5\nTime = 6\nEnd\n");
  EXPECT_EQ(study_.state("a").last_iteration, 6);
}

TEST_F(TaskRun, FewerIterationsStand) {
  study_.place(study_.built("a", 4));
  study_.solve("a");
  study_.trace();
  foam::Case shorter = study_.built("a", 2);
  shorter.keys.source = "other";
  study_.place(shorter);
  EXPECT_EQ(study_.solve("a"), 0);
  EXPECT_THAT(study_.trace(), IsEmpty());
  EXPECT_EQ(study_.state("a").last_iteration, 4);  // what the solver was run to
}

TEST_F(TaskRun, AnotherSolveKeyKeepsTheMeshAndStartsOver) {
  study_.place(study_.built("a"));
  study_.solve("a");
  study_.trace();
  foam::Case warmer = study_.built("a");
  warmer.keys = {"other", "mesh", "other"};
  warmer.files["0.orig/U"] = "warm }\n";
  EXPECT_THAT(study_.place(warmer), HasSubstr("solver reads has changed"));
  EXPECT_FALSE(std::filesystem::exists(study_.case_dir("a") / "4"));
  EXPECT_EQ(study_.solve("a"), 0);
  EXPECT_THAT(study_.trace(), ElementsAre("a setFields", "a rhoSimpleFoam"));
  EXPECT_THAT(study_.file("a", "4/U"), testing::StartsWith("warm 4\n"));
}

TEST_F(TaskRun, AnotherMeshKeyStartsTheFolderOver) {
  study_.place(study_.built("a"));
  study_.solve("a");
  study_.trace();
  foam::Case finer = study_.built("a");
  finer.keys = {"other", "finer", "other"};
  EXPECT_THAT(study_.place(finer), HasSubstr("mesh's inputs have changed"));
  EXPECT_EQ(study_.solve("a"), 0);
  EXPECT_THAT(study_.trace(), Contains("a snappyHexMesh"));
}

TEST_F(TaskRun, AKilledSolverIsGoneOnWithInTheSameTask) {
  study_.during("[ $1 = 4 ] && [ ! -e killed ] && touch killed && kill -9 $2; [ $1 != 3 ] || sleep 0.7");
  study_.place(study_.built("a", 6));
  EXPECT_EQ(study_.solve("a"), 0);
  EXPECT_EQ(study_.file("a", "log.solve.1"), "Time = 1\nTime = 2\nTime = 3\nTime = 4\n");
  EXPECT_EQ(study_.file("a", "log.solve"), "Time = 3\nTime = 4\nTime = 5\nTime = 6\nEnd\n");
  EXPECT_EQ(study_.state("a").phase, CasePhase::Finished);
}

TEST_F(TaskRun, ASolverThatIsKilledEachTimeFailsAndTheNextRunGoesOn) {
  study_.during("[ $1 != 4 ] || kill -9 $2");
  study_.place(study_.built("a", 6));
  EXPECT_EQ(study_.solve("a"), 3);
  EXPECT_EQ(study_.state("a").phase, CasePhase::Failed);
  EXPECT_TRUE(study_.state("a").can_go_on);
  study_.during("");
  study_.trace();
  EXPECT_EQ(study_.solve("a"), 0);
  EXPECT_THAT(study_.trace(), ElementsAre("a rhoSimpleFoam"));
  EXPECT_THAT(study_.file("a", "log.solve"), testing::StartsWith("Time = 3\n"));
}

TEST_F(TaskRun, ADivergedSolverFailsAndTheNextRunStartsOver) {
  study_.during("[ $1 != 3 ] || echo 'GAMG:  Solving for p, Initial residual = nan, Final residual = nan'");
  study_.place(study_.built("a"));
  EXPECT_EQ(study_.solve("a"), 3);
  EXPECT_THAT(study_.state("a").message, HasSubstr("nan"));
  EXPECT_FALSE(study_.state("a").can_go_on);
  study_.during("");
  study_.trace();
  EXPECT_EQ(study_.solve("a"), 0);
  EXPECT_THAT(study_.trace(), ElementsAre("a setFields", "a rhoSimpleFoam"));
  EXPECT_THAT(study_.file("a", "log.solve"), testing::StartsWith("Time = 1\n"));
}

TEST_F(TaskRun, StartsFromASolvedCase) {
  study_.place(study_.built("a"));
  study_.place(study_.built("b"));
  study_.solve("a");
  study_.trace();
  EXPECT_EQ(study_.solve("b", 1, "a"), 0);
  EXPECT_THAT(study_.trace(), ElementsAre("b mapFieldsPar", "b rhoSimpleFoam"));
  EXPECT_THAT(study_.file("b", "4/U"), testing::StartsWith("mapped 4\n"));
  EXPECT_EQ(study_.state("b").start_from, "a");
  EXPECT_EQ(base::read_manifest(study_.case_dir("b")).start_from, "a");
}

TEST_F(TaskRun, StartsFromStillAirWhenTheOtherCaseHasNotEndedWell) {
  study_.place(study_.built("a"));
  study_.place(study_.built("b"));
  EXPECT_EQ(study_.solve("b", 1, "a"), 0);
  EXPECT_THAT(study_.trace(), Contains("b setFields"));
  EXPECT_EQ(study_.state("b").start_from, "");
  EXPECT_EQ(base::read_manifest(study_.case_dir("b")).start_from, "");
}

TEST_F(TaskRun, DivergedFromAnothersFieldTriesStillAir) {
  study_.place(study_.built("a"));
  study_.place(study_.built("b"));
  study_.solve("a");
  study_.during(
      "! grep -q mapped 0/U || echo 'GAMG:  Solving for p, Initial residual = nan, Final residual = nan'");
  study_.trace();
  EXPECT_EQ(study_.solve("b", 1, "a"), 0);
  EXPECT_THAT(study_.trace(),
              ElementsAre("b mapFieldsPar", "b rhoSimpleFoam", "b setFields", "b rhoSimpleFoam"));
  EXPECT_EQ(study_.state("b").start_from, "");
}

TEST_F(TaskRun, AskedToStopWritesItsFieldAndGoesOnFromIt) {
  study_.during("[ $1 != 3 ] || [ -e asked ] || { touch asked; kill -TERM " + std::to_string(getpid()) +
                "; while [ ! -e STOP ]; do sleep 0.02; done; }");
  study_.place(study_.built("a", 6));
  EXPECT_THROW(study_.solve("a"), run::Interrupted);
  study_.trace();
  EXPECT_EQ(study_.solve("a"), 0);
  EXPECT_THAT(study_.trace(), ElementsAre("a rhoSimpleFoam"));
  EXPECT_EQ(study_.file("a", "log.solve"), "Time = 4\nTime = 5\nTime = 6\nEnd\n");
}

TEST_F(TaskRun, AMeshThatWasCutOffIsMadeAnew) {
  study_.program("snappyHexMesh", "[ -e ../again ] || { touch ../again; kill -TERM $PPID; sleep 20; }");
  study_.place(study_.built("a"));
  EXPECT_THROW(study_.solve("a"), run::Interrupted);
  study_.trace();
  EXPECT_EQ(study_.solve("a"), 0);
  EXPECT_EQ(study_.trace().front(), "a blockMesh");
}

TEST_F(TaskRun, AMeshThatFailsItsGateSaysSoWithItsExitCode) {
  study_.program("checkMesh",
                 "echo ' ***Zero or negative cell volume detected.'; echo 'Failed 1 mesh checks.'");
  study_.place(study_.built("a"));
  EXPECT_EQ(study_.solve("a"), 4);
  EXPECT_EQ(study_.state("a").phase, CasePhase::Failed);
  EXPECT_THAT(study_.state("a").message, HasSubstr("Zero or negative cell volume"));
  EXPECT_FALSE(run::has_mesh(study_.output() / "meshes", "mesh"));
}

TEST_F(TaskRun, RunsOnTheRanksOfTheSweep) {
  study_.place(study_.built("a"));
  EXPECT_EQ(study_.solve("a", 2), 0);
  EXPECT_THAT(study_.trace(), testing::IsSupersetOf({"a decomposePar", "a mpirun", "a reconstructPar"}));
  EXPECT_THAT(study_.file("a", "Allrun"), HasSubstr("-np 2"));
  EXPECT_THAT(study_.file("a", "4/U"), testing::StartsWith("4\n"));
}

TEST_F(TaskRun, GoesOnOnOtherRanksFromTheJoinedField) {
  study_.place(study_.built("a", 4));
  study_.solve("a", 2);
  study_.trace();
  study_.place(study_.built("a", 6));
  EXPECT_EQ(study_.solve("a", 3), 0);
  EXPECT_THAT(study_.trace(),
              ElementsAre("a reconstructPar", "a decomposePar", "a mpirun", "a reconstructPar"));
  EXPECT_EQ(study_.file("a", "log.solve"), "Time = 5\nTime = 6\nEnd\n");
  EXPECT_TRUE(std::filesystem::exists(study_.case_dir("a") / "processor2/6/U"));
}

TEST_F(TaskRun, ADamagedResultIsGoneOnWithFromTheFieldBefore) {
  study_.place(study_.built("a", 6));
  study_.solve("a");
  study_.trace();
  study_.scratch().write("study/a/6/U", "half");
  EXPECT_EQ(study_.solve("a"), 0);
  EXPECT_THAT(study_.trace(), ElementsAre("a rhoSimpleFoam"));
  EXPECT_EQ(study_.file("a", "log.solve"), "Time = 5\nTime = 6\nEnd\n");
  EXPECT_THAT(study_.file("a", "6/U"), testing::StartsWith("still 6\n"));
}

TEST_F(TaskRun, RefusesACaseThatIsNotThere) {
  EXPECT_THAT([&] { study_.solve("a"); },
              testing::ThrowsMessage<base::InputError>(HasSubstr("is not there. Run the study again")));
}

}  // namespace
