// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/mold/report.h"
#include "tests/support/mold_bodies.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <algorithm>

namespace cowlwright::mold {
namespace {

using testing::HasSubstr;

Options pulled(std::vector<Vec3> pulls) {
  Options options;
  options.pulls = std::move(pulls);
  return options;
}

MoldReport checked(const shape::Surface& surface, const Options& options, std::vector<NearBody> bodies = {}) {
  return check_mold(make_sheet(surface, options.side), options, bodies);
}

const Finding& finding(const MoldReport& report, const std::string& key) {
  const auto found = std::find_if(
      report.findings.begin(), report.findings.end(), [&](const Finding& f) { return f.key == key; });
  if (found == report.findings.end()) throw std::runtime_error("no finding " + key);
  return *found;
}

TEST(MoldCheck, PassesAConeOfFiveDegrees) {
  const MoldReport report = checked(testing_support::cone_side(5 * one_degree, 60, 10), pulled({{0, 0, 1}}));
  EXPECT_EQ(report.worst(), Verdict::Pass);
}

TEST(MoldCheck, WarnsOfAConeOfOneAndAHalfDegreesAndFailsACylinder) {
  EXPECT_EQ(checked(testing_support::cone_side(1.5 * one_degree, 60, 10), pulled({{0, 0, 1}})).worst(),
            Verdict::Warn);
  const MoldReport cylinder = checked(testing_support::cone_side(0, 60, 10), pulled({{0, 0, 1}}));
  EXPECT_EQ(finding(cylinder, "draft_error").verdict, Verdict::Fail);
  EXPECT_EQ(finding(cylinder, "undercut").verdict, Verdict::Pass);
}

TEST(MoldCheck, FollowsItsLimits) {
  Options options = pulled({{0, 0, 1}});
  options.limits.draft_warning = 7 * one_degree;
  options.limits.draft_error = 6 * one_degree;
  EXPECT_EQ(checked(testing_support::cone_side(5 * one_degree, 60, 10), options).worst(), Verdict::Fail);
}

TEST(MoldCheck, FailsAConeWideAtItsTopAndShowsThatTheOtherWayIsFree) {
  const MoldReport report = checked(testing_support::cone_side(-5 * one_degree, 60, 10), pulled({{0, 0, 1}}));
  EXPECT_EQ(finding(report, "undercut").verdict, Verdict::Fail);
  EXPECT_THAT(finding(report, "undercut").places.at(0).text, HasSubstr("faces away from the pull +z"));
  EXPECT_NEAR(finding(report, "two_halves").value, 0.0, 1e-9);
}

TEST(MoldCheck, WarnsOfSharpEdgesInPlaceOfARadius) {
  const MoldReport report = checked(testing_support::stepped_block(4), pulled({{0, 0, 1}, {0, 0, -1}}));
  const Finding& inside = finding(report, "inside_radius");
  EXPECT_EQ(inside.verdict, Verdict::Warn);
  EXPECT_TRUE(std::isnan(inside.value));
  EXPECT_THAT(inside.text, HasSubstr("sharp in the facets"));
  EXPECT_EQ(finding(report, "outside_radius").places.size(), 1U);  // the one hollow of the block
}

TEST(MoldCheck, JudgesClearanceLessTheSkin) {
  const shape::Surface box = testing_support::box({0, 0, 0}, {0.4, 0.4, 0.4});
  const NearBody engine{
      "engine", testing_support::box({0.1, 0.1, 0.1}, {0.3, 0.3, 0.372}), 0.025, 0.005, false};
  const MoldReport report = checked(box, pulled({{0, 0, 1}, {0, 0, -1}}), {engine});
  const Finding& clearance = finding(report, "clearance_engine");
  EXPECT_NEAR(clearance.value, 23.0, 1e-9);  // 28 mm less 5 mm
  EXPECT_EQ(clearance.verdict, Verdict::Fail);
}

// 1 m² of two plies of 300 g/m² at 40 % resin: 0.6/0.6 = 1 kg; gel coat of 0.5 mm at 1200 kg/m³: 0.6 kg.
TEST(MoldCheck, WeighsTheLayUp) {
  Options options = pulled({{0, 0, 1}});
  options.lay_up = {.plies = {0.3, 0.3}, .resin_share = 0.4, .gel_thickness = 0.0005, .gel_density = 1200};
  const MoldReport report = checked(testing_support::extruded(1.0,
                                                              4,
                                                              4,
                                                              [](double u) {
                                                                return Vec3{u, 0, 0};
                                                              }),
                                    options);
  EXPECT_NEAR(report.extent.laminate_mass, 1.0, 1e-9);
  EXPECT_NEAR(report.extent.gel_mass, 0.6, 1e-9);
}

TEST(MoldCheck, NumbersPlacesInTheOrderOfTheList) {
  const MoldReport report = checked(testing_support::stepped_block(4), pulled({{0, 0, 1}}));
  int last = 0;
  for (const Finding& f : report.findings) {
    for (const Place& place : f.places) EXPECT_EQ(place.number, ++last);
  }
  EXPECT_GT(last, 3);
}

TEST(MoldReport, SaysTheSameAsTextAndAsJson) {
  const Options options = pulled({{0, 0, 1}});
  const Sheet sheet = make_sheet(testing_support::stepped_block(4), MoldSide::Outside);
  const MoldReport report = check_mold(sheet, options, {});
  const std::string text = report_text(report);
  EXPECT_THAT(text, HasSubstr("FAIL  Undercut"));
  EXPECT_THAT(text, HasSubstr("not an approval"));
  const nlohmann::json json = nlohmann::json::parse(report_json(report, sheet, options));
  EXPECT_EQ(json["verdict"], "FAIL");
  EXPECT_EQ(json["findings"].size(), report.findings.size());
  EXPECT_EQ(json["limits"]["source"], "common practice, no source");
  for (const auto& entry : json["findings"]) {
    if (entry["key"] != "undercut") continue;
    EXPECT_NEAR(entry["value"].get<double>(), 0.021, 1e-9);
  }
}

}  // namespace
}  // namespace cowlwright::mold
