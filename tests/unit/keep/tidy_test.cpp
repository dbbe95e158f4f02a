// SPDX-License-Identifier: GPL-3.0-or-later
//
// What the keep policies take and leave.
#include "cases/keep/tidy.h"

#include "geometry/base/error.h"
#include "geometry/base/folder_lock.h"
#include "tests/unit/keep/solved_study.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

namespace fs = std::filesystem;

using namespace cowlwright;
using keep::Keep;
using keep::tidy_case;
using keep::tidy_study;
using testing::HasSubstr;
using testing::ThrowsMessage;
using testing_support::SolvedStudy;

std::string kept(const SolvedStudy& study, const std::string& case_folder) {
  return base::read_case_state(study.folder() / case_folder)->kept;
}

TEST(Tidy, AllRemovesNothingAndTellsSizes) {
  const SolvedStudy study;
  const auto before = study.files();
  const keep::TidiedStudy tidied = tidy_study(study.folder(), Keep::All);
  EXPECT_EQ(study.files(), before);
  ASSERT_EQ(tidied.cases.size(), 3U);
  EXPECT_GT(tidied.cases[0].before, 0.0);
  EXPECT_EQ(tidied.cases[0].after, tidied.cases[0].before);
  EXPECT_GT(tidied.meshes.before, 0.0);
}

TEST(Tidy, LastLeavesMeshStartAndLastFieldsAndAllThatIsSmall) {
  const SolvedStudy study;
  const keep::Tidied tidied = tidy_case(study.folder(), "lip_0", Keep::Last);
  EXPECT_EQ(tidied.note, "");
  EXPECT_LT(tidied.after, tidied.before);
  EXPECT_EQ(kept(study, "lip_0"), "last");
  for (const char* gone : {"lip_0/processor0", "lip_0/processor1", "lip_0/280"})
    EXPECT_FALSE(study.has(gone)) << gone;
  for (const char* here : {"lip_0/0/phi",
                           "lip_0/350/phi",
                           "lip_0/constant/polyMesh/points",
                           "lip_0/constant/triSurface/cowl.stl",
                           "lip_0/postProcessing/flow_exit/0/surfaceFieldValue.dat",
                           "lip_0/log.solve",
                           "lip_0/field_readings.json",
                           "lip_0/system/controlDict",
                           "lip_30/processor0/350/phi"})
    EXPECT_TRUE(study.has(here)) << here;
}

TEST(Tidy, TablesTakesMeshSurfacesAndFieldsAndLeavesWhatMakesTheRows) {
  const SolvedStudy study;
  EXPECT_EQ(tidy_case(study.folder(), "lip_30", Keep::Tables).note, "");
  EXPECT_EQ(kept(study, "lip_30"), "tables");
  std::set<std::string> left;
  for (const std::string& file : study.files()) {
    if (file.starts_with("lip_30/")) left.insert(file);
  }
  EXPECT_THAT(left,
              testing::UnorderedElementsAre("lip_30/manifest.json",
                                            "lip_30/log.solve",
                                            "lip_30/field_readings.json",
                                            "lip_30/solver_end.json",
                                            "lip_30/progress.json",
                                            "lip_30/case.lock",
                                            "lip_30/run_state.json",
                                            "lip_30/checkpoints.json",
                                            "lip_30/constant/fvOptions",
                                            "lip_30/system/controlDict",
                                            "lip_30/postProcessing/flow_exit/0/surfaceFieldValue.dat"));
}

TEST(Tidy, TablesLeavesTheFieldsThatACaseNotYetSolvedStartsFrom) {
  const SolvedStudy study;
  base::Sweep sweep;
  sweep.tasks.push_back({.case_folder = "lip_30", .is_done = true});
  sweep.tasks.push_back({.case_folder = "lip_45", .after = {0}, .start_from = "lip_30"});
  base::write_sweep(sweep, study.folder());
  EXPECT_THAT(tidy_case(study.folder(), "lip_30", Keep::Tables).note,
              HasSubstr("lip_45, not solved yet, starts"));
  EXPECT_TRUE(study.has("lip_30/350/phi"));
  EXPECT_FALSE(study.has("lip_30/processor0"));
  EXPECT_EQ(kept(study, "lip_30"), "last");
  study.state("lip_45", base::CasePhase::Finished, SolvedStudy::mesh_b);
  EXPECT_EQ(tidy_case(study.folder(), "lip_30", Keep::Tables).note, "");
  EXPECT_FALSE(study.has("lip_30/350"));
}

TEST(Tidy, TablesLeavesTheFieldsOfACaseThatWasNeverRead) {
  const SolvedStudy study;
  fs::remove(study.folder() / "lip_0/field_readings.json");
  EXPECT_THAT(tidy_case(study.folder(), "lip_0", Keep::Tables).note, HasSubstr("no readings"));
  EXPECT_TRUE(study.has("lip_0/350/phi"));
}

TEST(Tidy, LeavesACaseThatIsNotSolvedOrInUse) {
  const SolvedStudy study;
  const auto before = study.files();
  EXPECT_EQ(tidy_case(study.folder(), "lip_45", Keep::Tables).note, "not solved: left as it is");
  const base::FolderLock lock(study.folder() / "lip_0", base::case_lock_name, "cowlwright task lip 3");
  EXPECT_THAT(tidy_case(study.folder(), "lip_0", Keep::Last).note,
              AllOf(HasSubstr("in use by cowlwright task lip 3"), HasSubstr("left as it is")));
  EXPECT_EQ(study.files(), before);
}

TEST(Tidy, LeavesACaseWhoseLastFieldsAreOnlyInItsSplitFolders) {
  const SolvedStudy study;
  study.write("lip_0/processor0/400/phi", "field");
  EXPECT_EQ(tidy_case(study.folder(), "lip_0", Keep::Last).note,
            "iteration 400 is not joined: left as it is");
  EXPECT_TRUE(study.has("lip_0/processor1/280/phi"));
}

TEST(Tidy, LeavesACaseWhoseLastFieldsDoNotMatchTheirSeal) {
  const SolvedStudy study;
  study.write("lip_0/350/phi", "2\n// *** //\n");
  EXPECT_THAT(tidy_case(study.folder(), "lip_0", Keep::Tables).note,
              AllOf(HasSubstr("damaged"), HasSubstr("350")));
  EXPECT_TRUE(study.has("lip_0/processor0/350/phi"));
  EXPECT_EQ(kept(study, "lip_0"), "all");
}

TEST(Tidy, CompletesATidyingThatWasBrokenOff) {
  const SolvedStudy study;
  base::CaseState state = *base::read_case_state(study.folder() / "lip_0");
  state.kept = "tables";  // written before anything goes
  base::write_case_state(state, study.folder() / "lip_0");
  fs::remove_all(study.folder() / "lip_0/350");
  EXPECT_EQ(tidy_case(study.folder(), "lip_0", Keep::Tables).note, "");
  EXPECT_FALSE(study.has("lip_0/280"));
  EXPECT_FALSE(study.has("lip_0/processor0"));
}

TEST(Tidy, MeshesOfNoCaseAndThoseOnlyOfTablesGo) {
  const SolvedStudy study;
  const keep::TidiedStudy last = tidy_study(study.folder(), Keep::Last);
  EXPECT_LT(last.meshes.after, last.meshes.before);
  EXPECT_TRUE(study.has("meshes/" + SolvedStudy::mesh_a));
  EXPECT_TRUE(study.has("meshes/" + SolvedStudy::mesh_b));
  EXPECT_FALSE(study.has("meshes/" + SolvedStudy::mesh_c));
  tidy_study(study.folder(), Keep::Tables);
  EXPECT_FALSE(study.has("meshes/" + SolvedStudy::mesh_a));
  EXPECT_TRUE(study.has("meshes/" + SolvedStudy::mesh_b));  // lip_45 is not solved yet
}

TEST(Tidy, KeepsOutOfAFolderThatADriverWorksIn) {
  const SolvedStudy study;
  const base::FolderLock lock(study.folder(), base::driver_lock_name, "cowlwright run lip.toml");
  EXPECT_THAT([&] { tidy_study(study.folder(), Keep::Last); },
              ThrowsMessage<base::ExternalError>(HasSubstr("cowlwright run lip.toml")));
  EXPECT_TRUE(study.has("lip_0/280/phi"));
}

TEST(Tidy, NamesAFolderWithoutCasesAndAWordThatIsNoPolicy) {
  const testing_support::ScratchFolder empty;
  EXPECT_THAT([&] { tidy_study(empty.path(), Keep::Last); },
              ThrowsMessage<base::InputError>(HasSubstr("holds no case")));
  EXPECT_THAT([&] { keep::keep_of("some"); },
              ThrowsMessage<base::InputError>("--keep = some: must be all, last or tables."));
  EXPECT_EQ(keep::keep_of("tables"), Keep::Tables);
}

TEST(Tidy, TellsSizesInPowersOfTen) {
  EXPECT_EQ(keep::size_text(0.0), "0 kB");
  EXPECT_EQ(keep::size_text(12.3e3), "12 kB");
  EXPECT_EQ(keep::size_text(1.24e6), "1.2 MB");
  EXPECT_EQ(keep::size_text(66.4e6), "66 MB");
  EXPECT_EQ(keep::size_text(0.9996e9), "1.0 GB");
  EXPECT_EQ(keep::size_text(345e9), "345 GB");
}

TEST(Tidy, ListsCasesMeshesAndSum) {
  keep::TidiedStudy study;
  study.cases = {
      {.case_folder = "lip_0", .before = 66e6, .after = 30e6},
      {.case_folder = "lip_30", .before = 50e6, .after = 50e6, .note = "not solved: left as it is"}};
  study.meshes = {20e6, 10e6};
  EXPECT_EQ(keep::tidied_text(study),
            "case             before     after\n"
            "lip_0             66 MB     30 MB\n"
            "lip_30            50 MB     50 MB  not solved: left as it is\n"
            "shared meshes     20 MB     10 MB\n"
            "sum              136 MB     90 MB\n");
}

}  // namespace
