// SPDX-License-Identifier: GPL-3.0-or-later
//
// What the cooling air costs: drag of the open cowl less that of the same cowl closed, and the momentum that
// the cooling stream loses, of one draft case and its closed reference.
#include "tests/end_to_end/study_test.h"

#include <gtest/gtest.h>

#include <cmath>

namespace {

using namespace cowlwright::testing_support;

class CoolingDrag : public StudyTest {
 protected:
  CoolingDrag() : StudyTest(1) {}  // the reference is no variant of its own

  static void SetUpTestSuite() {
    std::string text = draft_study(160, 60, "\"propeller.kind\" = [\"none\"]\n", 1);
    const std::string grid = "level = \"draft\"\n";
    text.insert(text.find(grid) + grid.size(), "cooling_drag = true\n");
    run_study(text);
  }

  void SetUp() override {
    StudyTest::SetUp();
    if (IsSkipped() || HasFatalFailure()) return;
    ASSERT_NE(variant(0)["status"], "failed") << variant(0)["status_reason"];
  }

  static double value(const std::string& id) { return StudyTest::value(0, id); }
};

TEST_F(CoolingDrag, TheClosedReferenceIsSolvedBesideTheVariant) {
  int n_solved = 0;
  for (const auto& entry : std::filesystem::directory_iterator(study_dir())) {
    if (std::filesystem::exists(entry.path() / "log.solve")) ++n_solved;
  }
  EXPECT_EQ(n_solved, 2);
}

// Air brought to rest loses m V; what leaves with some speed loses less, what leaves into suction more: of
// the order of q on the exit's area.
TEST_F(CoolingDrag, TheStreamLosesMomentumOfTheOrderOfItsFlowTimesTheAirspeed) {
  const double loss = value("exit_mass_flow") * 54.0;
  const double suction = 1587.0 * 0.0397;
  EXPECT_GT(value("cooling_drag_momentum"), 0.2 * loss);
  EXPECT_LT(value("cooling_drag_momentum"), loss + suction);
}

// Common practice, no source: letting air through costs drag.
TEST_F(CoolingDrag, OpenItDragsMoreThanClosed) {
  EXPECT_GT(value("cooling_drag_forces"), 0.0);
  EXPECT_NEAR(value("cooling_drag_forces"),
              value("drag") - value("drag_closed"),
              1e-6 * std::abs(value("drag")));  // as defined; means of the same window
}

}  // namespace
