// SPDX-License-Identifier: GPL-3.0-or-later
//
// What the cooling air costs: drag of the open cowl less that of the same cowl closed, and the momentum that
// the cooling stream loses, of one draft case and its closed reference.
#include "tests/end_to_end/program_run.h"
#include "tests/support/openfoam.h"
#include "tests/support/scratch_folder.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <memory>

namespace {

using namespace cowlwright::testing_support;
using nlohmann::json;

class CoolingDrag : public OpenFoamTest {
 protected:
  static void SetUpTestSuite() {
    if (!why_openfoam_does_not_run().empty()) return;
    folder_ = std::make_unique<ScratchFolder>();
    std::string text = draft_study(250, 60, "\"propeller.kind\" = [\"none\"]\n");
    const std::string grid = "level = \"draft\"\n";
    text.insert(text.find(grid) + grid.size(), "cooling_drag = true\n");
    folder_->write("drag.toml", text);
    output_ = run_program({program("cowlwright"), "run", "drag.toml"}, folder_->path()).output;
    results_ = read_results(folder_->path() / "drag-study");
  }
  static void TearDownTestSuite() { folder_.reset(); }

  void SetUp() override {
    OpenFoamTest::SetUp();
    if (IsSkipped() || HasFatalFailure()) return;
    ASSERT_TRUE(results_.contains("variants")) << output_;
    ASSERT_EQ(results_["variants"].size(), 1U) << output_;  // the reference is no variant of its own
    ASSERT_NE(results_["variants"][0]["status"], "failed") << results_["variants"][0]["status_reason"];
  }

  static double value(const std::string& id) { return quantity_value(results_["variants"][0], id); }

  static inline std::unique_ptr<ScratchFolder> folder_;
  static inline std::string output_;
  static inline json results_;
};

TEST_F(CoolingDrag, TheClosedReferenceIsSolvedBesideTheVariant) {
  int n_solved = 0;
  for (const auto& entry : std::filesystem::directory_iterator(folder_->path() / "drag-study")) {
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
