// SPDX-License-Identifier: GPL-3.0-or-later
//
// Where results are looked for. Empty files named phi stand for fields: only their presence matters here.
#include "post/extract/case_layout.h"

#include "geometry/base/error.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace cowlwright::post {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;
using testing_support::ScratchFolder;

TEST(CaseLayout, TakesTheLatestIterationByNumberNotByName) {
  const ScratchFolder folder;
  folder.write("90/phi", "");
  folder.write("400/phi", "");
  folder.write("0/phi", "");
  const CaseLayout layout = find_results(folder.path());
  EXPECT_EQ(layout.time_name, "400");
  EXPECT_EQ(layout.time, 400.0);
  EXPECT_FALSE(layout.is_decomposed);
  ASSERT_EQ(layout.parts.size(), 1U);
  EXPECT_EQ(layout.parts.front().mesh_dir, folder.path() / "constant" / "polyMesh");
}

TEST(CaseLayout, ReadsProcessorFoldersWhenNothingIsReconstructed) {
  const ScratchFolder folder;
  folder.write("0/U", "");
  folder.write("processor0/200/phi", "");
  folder.write("processor1/200/phi.gz", "");
  const CaseLayout layout = find_results(folder.path());
  EXPECT_TRUE(layout.is_decomposed);
  ASSERT_EQ(layout.parts.size(), 2U);
  EXPECT_EQ(layout.parts[1].time_dir, folder.path() / "processor1" / "200");
}

TEST(CaseLayout, PrefersAReconstructedIterationToTheSameOneInRanks) {
  const ScratchFolder folder;
  folder.write("200/phi", "");
  folder.write("processor0/200/phi", "");
  EXPECT_FALSE(find_results(folder.path()).is_decomposed);
}

TEST(CaseLayout, PrefersALaterIterationInRanksToAnOlderReconstructedOne) {
  const ScratchFolder folder;
  folder.write("200/phi", "");
  folder.write("processor0/300/phi", "");
  const CaseLayout layout = find_results(folder.path());
  EXPECT_TRUE(layout.is_decomposed);
  EXPECT_EQ(layout.time_name, "300");
}

TEST(CaseLayout, LeavesOutAnIterationThatOneRankHasNotWrittenYet) {
  const ScratchFolder folder;
  folder.write("processor0/100/phi", "");
  folder.write("processor1/100/phi", "");
  folder.write("processor0/200/phi", "");
  EXPECT_EQ(find_results(folder.path()).time_name, "100");
}

TEST(CaseLayout, UsesTheMeshOfTheLatestTimeFolderThatHasOne) {
  const ScratchFolder folder;
  folder.write("2/polyMesh/faces", "");
  folder.write("300/polyMesh/faces", "");
  folder.write("200/phi", "");
  EXPECT_EQ(find_results(folder.path()).parts.front().mesh_dir, folder.path() / "2" / "polyMesh");
}

TEST(CaseLayout, SaysWhenTheCaseWasNeverRun) {
  const ScratchFolder folder;
  folder.write("0/U", "");
  EXPECT_THAT([&] { find_results(folder.path()); },
              ThrowsMessage<base::ResultError>(AllOf(HasSubstr("no results yet"), HasSubstr("./Allrun"))));
}

TEST(CaseLayout, SaysWhenTheSolverHasStartedButNotWritten) {
  const ScratchFolder folder;
  folder.write("postProcessing/flow_exit/0/surfaceFieldValue.dat", "1 2\n");
  EXPECT_THAT([&] { find_results(folder.path()); },
              ThrowsMessage<base::ResultError>(HasSubstr("wait for its next write")));
}

TEST(CaseLayout, SaysWhatToDoWithCollatedResults) {
  const ScratchFolder folder;
  folder.write("processors2/100/phi", "");
  EXPECT_THAT([&] { find_results(folder.path()); },
              ThrowsMessage<base::ResultError>(AllOf(HasSubstr("processors2"), HasSubstr("reconstructPar"))));
}

TEST(CaseLayout, RefusesAFolderThatDoesNotExist) {
  EXPECT_THAT([] { find_results("no/such/case"); },
              ThrowsMessage<base::InputError>(HasSubstr("no/such/case: no such case folder")));
}

}  // namespace
}  // namespace cowlwright::post
