// SPDX-License-Identifier: GPL-3.0-or-later
//
// Variants asked for, and folders that must not be replaced.
#include "cases/verbs/study_selection.h"

#include "geometry/base/error.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::ThrowsMessage;
using testing_support::ScratchFolder;
using verbs::require_replaceable;
using verbs::selected_variants;

Study three_variants() {
  Study study;
  study.file = "my.toml";
  for (const char* name : {"a", "b", "c"}) {
    study.variants.emplace_back();
    study.variants.back().variant.name = name;
  }
  return study;
}

TEST(StudySelection, TakesAllVariantsWhenNoneIsNamed) {
  EXPECT_THAT(selected_variants(three_variants(), {}), ElementsAre(0, 1, 2));
}

TEST(StudySelection, KeepsTheStudysOrderAndTakesANameOnce) {
  EXPECT_THAT(selected_variants(three_variants(), {"c", "a", "c"}), ElementsAre(0, 2));
}

TEST(StudySelection, RefusesAnUnknownVariantAndListsThoseThereAre) {
  EXPECT_THAT([] { selected_variants(three_variants(), {"d"}); },
              ThrowsMessage<base::InputError>(
                  AllOf(HasSubstr("--variant d"), HasSubstr("my.toml"), HasSubstr("\n  a\n  b\n  c"))));
}

TEST(OutputFolder, StandsBesideTheStudyUnlessToldOtherwise) {
  verbs::Request request;
  request.file = "plans/my-cowl.toml";
  EXPECT_EQ(verbs::output_folder(request, "study"), "plans/my-cowl-study");
  request.output = "elsewhere";
  EXPECT_EQ(verbs::output_folder(request, "study"), "elsewhere");
}

TEST(RequireReplaceable, AcceptsWhatIsMissingOrEmpty) {
  const ScratchFolder folder;
  EXPECT_NO_THROW(require_replaceable(folder.path() / "missing", false));
  EXPECT_NO_THROW(require_replaceable(folder.path(), false));
}

TEST(RequireReplaceable, NeverTouchesAFolderThatIsNoCaseOfOurs) {
  const ScratchFolder folder;
  folder.write("holiday/beach.jpg", "x");
  EXPECT_THAT([&] { require_replaceable(folder.path() / "holiday", true); },
              ThrowsMessage<base::InputError>(AllOf(HasSubstr("holiday"), HasSubstr("left alone"))));
  EXPECT_THAT([&] { require_replaceable(folder.path() / "holiday/beach.jpg", true); },
              ThrowsMessage<base::InputError>(HasSubstr("is a file")));
}

TEST(RequireReplaceable, KeepsResultsOfARunByHandUnlessToldToReplaceThem) {
  const ScratchFolder folder;
  folder.write("case/manifest.json", "{}");
  folder.write("case/0/p", "x");
  EXPECT_NO_THROW(require_replaceable(folder.path() / "case", false));
  folder.write("case/400/p", "x");
  EXPECT_THAT([&] { require_replaceable(folder.path() / "case", false); },
              ThrowsMessage<base::InputError>(AllOf(HasSubstr("by hand"), HasSubstr("--fresh"))));
  EXPECT_NO_THROW(require_replaceable(folder.path() / "case", true));
}

TEST(RequireReplaceable, LeavesACaseOfOurOwnRunToTheRunner) {
  const ScratchFolder folder;
  folder.write("case/manifest.json", "{}");
  folder.write("case/run_state.json", "{}");
  folder.write("case/processor0/x", "");
  EXPECT_NO_THROW(require_replaceable(folder.path() / "case", false));
}

TEST(RequireReplaceable, TakesACaseThatWasCutOffWhileItWasWritten) {
  const ScratchFolder folder;
  folder.write("locked/case.lock", "cowlwright run my.toml\n");
  folder.write("locked/system/controlDict", "half of it");
  EXPECT_NO_THROW(require_replaceable(folder.path() / "locked", false));
}

}  // namespace
