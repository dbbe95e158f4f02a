// SPDX-License-Identifier: GPL-3.0-or-later
//
// The verb `compare` on two small studies, through its files.
#include "cases/study.h"
#include "cases/verbs/verbs.h"
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <filesystem>

namespace cowlwright::verbs {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;
using testing::Not;

std::string study(const std::string& name) {
  return (fs::path(COWLWRIGHT_TEST_DATA) / "studies" / name).string();
}

std::string refusal(const Words& words) {
  try {
    compare_studies(words);
  } catch (const base::InputError& error) {
    return error.what();
  }
  return "accepted";
}

TEST(CompareVerb, WritesWhatDiffersAndAStudyThatPutsItBack) {
  const testing_support::ScratchFolder scratch;
  const fs::path out = scratch.path() / "out";
  ASSERT_EQ(compare_studies({study("good_cowl.toml"), study("hot_cowl.toml"), "-o", out.string()}), 0);

  const nlohmann::json all = nlohmann::json::parse(base::read_text(out / "compare.json"));
  const nlohmann::json& deck = all["quantities"][0];
  EXPECT_EQ(deck["name"], "deck pressure difference");
  EXPECT_LT(deck["mine"].get<double>(), deck["good"].get<double>());
  ASSERT_EQ(all["effects"].size(), 2U);
  double sum = 0.0;
  for (const nlohmann::json& effect : all["effects"]) sum += effect["changes"][0]["change"].get<double>();
  EXPECT_NEAR(sum, deck["change"].get<double>(), 1e-6);
  EXPECT_TRUE(all["method"]["is_exact"].get<bool>());

  const std::string page = base::read_text(out / "compare.md");
  EXPECT_THAT(page, HasSubstr("Both are estimated in the same flight condition and at the same power."));
  EXPECT_THAT(
      page,
      HasSubstr(
          "Both inlets, edge: a bare hole instead of a flush ring with 20 mm (0.7874 in) lip radius: "));
  EXPECT_THAT(page, HasSubstr("| `leaks.cowl_seal_left` | 15 cm2 (2.325 in2) | 1 cm2 (0.155 in2) |"));
  EXPECT_THAT(page, HasSubstr("| `fuselage.length` | 4000 mm (157.5 in) | 3600 mm (141.7 in), by default |"));
  EXPECT_THAT(page, HasSubstr("Shapley value (L. S. Shapley, 1953, from memory)"));
  EXPECT_THAT(page, HasSubstr("**Ignition timing.**"));
  EXPECT_THAT(page, HasSubstr("licensed people decide"));
  EXPECT_THAT(page, HasSubstr("all 2 rows can be built"));

  EXPECT_EQ(read_study(out / "hot_cowl-put-back.toml").variants.size(), 2U);
  EXPECT_THAT(base::read_text(out / "compare.svg"), HasSubstr("From the good installation to yours"));
  EXPECT_THAT(base::read_text(out / "compare.csv"), HasSubstr("\"fuselage length\",installation,"));
}

TEST(CompareVerb, FindsNoDifferenceInOneStudy) {
  const testing_support::ScratchFolder scratch;
  ASSERT_EQ(
      compare_studies({study("good_cowl.toml"), study("good_cowl.toml"), "-o", scratch.path().string()}), 0);
  const std::string page = base::read_text(scratch.path() / "compare.md");
  EXPECT_THAT(page, HasSubstr("**No difference:**"));
  EXPECT_THAT(page, HasSubstr("**Ignition timing.**"));
}

TEST(CompareVerb, TakesTheVariantOfTheStudyThatHasIt) {
  const testing_support::ScratchFolder scratch;
  const std::string out = scratch.path().string();
  ASSERT_EQ(compare_studies({study("hot_cowl.toml"),
                             study("hot_cowl.toml"),
                             "--variant",
                             "lip_angle_0_deg",
                             "--variant",
                             "lip_angle_20_deg",
                             "-o",
                             out}),
            0);
  const nlohmann::json all = nlohmann::json::parse(base::read_text(scratch.path() / "compare.json"));
  ASSERT_EQ(all["keys"].size(), 1U);
  EXPECT_EQ(all["keys"][0]["key"], "exit.lip_angle");
  EXPECT_EQ(all["keys"][0]["good"], "0 deg");
  EXPECT_EQ(all["keys"][0]["mine"], "20 deg");
  ASSERT_EQ(
      compare_studies(
          {study("good_cowl.toml"), study("hot_cowl.toml"), "--variant", "lip_angle_20_deg", "-o", out}),
      0);
  EXPECT_THAT(base::read_text(scratch.path() / "compare.md"),
              HasSubstr("hot_cowl.toml (lip_angle_20_deg) against good_cowl.toml\n"));
}

TEST(CompareVerb, RefusesWhatItCannotRead) {
  EXPECT_THAT(refusal({study("good_cowl.toml")}),
              HasSubstr("1 studies given: must be two, the good one first, then yours"));
  EXPECT_THAT(refusal({"a.toml", "b.toml", "c.toml"}), HasSubstr("3 studies given"));
  EXPECT_THAT(refusal({"a.toml", "b.toml", "--colour", "red"}),
              HasSubstr("cowlwright compare: unrecognised option"));
  EXPECT_THAT(refusal({"a.toml", "b.toml", "--variant", "1", "--variant", "2", "--variant", "3"}),
              HasSubstr("--variant given 3 times: must be once or twice"));
  EXPECT_THAT(refusal({study("good_cowl.toml"), study("hot_cowl.toml"), "--variant", "steep"}),
              HasSubstr("has no such variant"));
  EXPECT_THAT(refusal({study("good_cowl.toml"), "nowhere.toml"}), HasSubstr("nowhere.toml"));
}

TEST(CompareVerb, RefusesAnEngineWithMoreCylinders) {
  const testing_support::ScratchFolder scratch;
  std::string six = base::read_text(study("good_cowl.toml"));
  six.replace(six.find("cylinders = 4"), 13, "cylinders = 6");
  six.replace(six.find("firewall_station = \"1.25 m\""), 27, "firewall_station = \"1.60 m\"");
  const fs::path file = scratch.path() / "six.toml";
  base::write_text(file, six);
  EXPECT_THAT(refusal({study("good_cowl.toml"), file.string(), "-o", scratch.path().string()}),
              HasSubstr("[engine] cylinders = 4 in the good study and 6 in yours: must be the same"));
}

}  // namespace
}  // namespace cowlwright::verbs
