// SPDX-License-Identifier: GPL-3.0-or-later
//
// One variant on three grids, each started from the next coarser one, through the real OpenFOAM. The run is
// far too short to settle: what is asked is that the chain works and that no band is claimed for it.
#include "tests/end_to_end/program_run.h"
#include "tests/support/openfoam.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <string>

namespace {

using namespace cowlwright::testing_support;
using nlohmann::json;
using testing::HasSubstr;

class GridComparison : public OpenFoamTest {};

TEST_F(GridComparison, RunsThreeGridsFromEachOtherAndClaimsNoBandForRunsThatHaveNotSettled) {
  const ScratchFolder folder;
  std::string study = with_wide_passages(draft_study(30, 15, "\"exit.lip_angle\" = [\"30 deg\"]"));
  const std::string draft = "level = \"draft\"";
  study.replace(study.find(draft), draft.size(), "level = \"medium\"\ncompare = 3");
  folder.write("my.toml", study);
  const ProgramRun run =
      run_program({program("cowlwright"), "run", "--tables-only", "my.toml"}, folder.path());
  ASSERT_EQ(run.exit_code, 0) << run.output;

  const std::filesystem::path root = folder.path() / "my-study";
  const std::string coarse = "lip_angle_30_deg-coarse";
  EXPECT_THAT(text_of(root / coarse / "log.map"), HasSubstr("lip_angle_30_deg-draft"));
  EXPECT_THAT(text_of(root / "lip_angle_30_deg-medium" / "log.map"), HasSubstr(coarse));

  const json variants = read_results(root)["variants"];
  ASSERT_EQ(variants.size(), 1U) << "three grids are one row";
  const json& row = variants[0];
  EXPECT_EQ(row["grid_level"], "medium");
  ASSERT_EQ(row["grids"].size(), 3U);
  EXPECT_EQ(row["grids"][2]["level"], "draft");
  // The ladder's ratio, with whole layers of cells in the cores: within 5 %.
  for (const int finer : {0, 1}) {
    const double ratio =
        row["grids"][finer + 1]["cell_size"].get<double>() / row["grids"][finer]["cell_size"].get<double>();
    EXPECT_NEAR(ratio, 1.5, 0.075);
  }
  for (const json& quantity : row["quantities"]) {
    if (quantity["id"] != "deck_pressure_difference") continue;
    EXPECT_TRUE(quantity["grids"]["band"].is_null()) << quantity.dump(2);
    EXPECT_EQ(quantity["grids"]["values"].size(), 3U);
    EXPECT_THAT(quantity["grids"]["statement"].get<std::string>(), HasSubstr("not settled"));
  }
}

}  // namespace
