// SPDX-License-Identifier: GPL-3.0-or-later
//
// Cooling drag from momentum and from forces, worked out by hand from the sample's round numbers
// (sample_results.h).
#include "post/quantities/cooling_drag.h"

#include "tests/unit/post/sample_results.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <limits>

namespace cowlwright::post {
namespace {

using testing::Contains;
using testing::HasSubstr;
using namespace cowlwright::post::synthetic;

double value(const std::vector<Quantity>& quantities, const std::string& id) {
  for (const Quantity& quantity : quantities) {
    if (quantity.id == id) return quantity.value;
  }
  return std::numeric_limits<double>::quiet_NaN();
}

/// The sample's exit with air at 20 m/s and 150 Pa below the free stream.
RawResults leaving_results() {
  RawResults raw = sample_results();
  raw.fields.planes.back().momentum_flow = {18.0, 0.0, 0.0};
  raw.fields.planes.back().static_pressure = 89850.0;
  return raw;
}

std::vector<Quantity> momentum_of(const base::Manifest& manifest, const RawResults& raw) {
  return momentum_drag(manifest, raw.fluxes, raw.fields);
}

base::Manifest without_propeller() {
  base::Manifest manifest = sample_manifest();
  manifest.propeller.reset();
  return manifest;
}

// 0.9 kg/s arrives with 50 m/s: 45 N. It leaves with 0.9 * 20 - 150 * 0.05 = 10.5 N. Expanded: 20² - 2 * 150
// / 1.25 = 160, so 12.649 m/s and 11.384 N. Area 34.5 / 1500 m², power 34.5 * 50 W.
TEST(MomentumDrag, IsWhatTheAirLosesWithoutAPropeller) {
  const std::vector<Quantity> drag = momentum_of(without_propeller(), leaving_results());
  EXPECT_NEAR(value(drag, "cooling_drag_free_stream"), 34.5, 1e-12);
  EXPECT_NEAR(value(drag, "cooling_drag_momentum"), 34.5, 1e-12);
  EXPECT_NEAR(value(drag, "cooling_drag_ideal"), 45.0 - 0.9 * std::sqrt(160.0), 1e-12);
  EXPECT_NEAR(value(drag, "cooling_drag_area_momentum"), 230.0, 1e-10);
  EXPECT_NEAR(value(drag, "cooling_drag_power_momentum"), 1.725, 1e-12);
}

// Left 2160 Pa above the free stream is 60 m/s, right 2940 Pa is 70 m/s at 1.2 kg/m³: 0.4 * 60 + 0.5 * 70 =
// 59 N.
TEST(MomentumDrag, ChargesTheAirWithTheSpeedThePropellerGaveIt) {
  base::Manifest manifest = sample_manifest();
  RawResults raw = leaving_results();
  for (const auto& [side, total] :
       {std::pair{base::Side::Left, 92160.0}, std::pair{base::Side::Right, 92940.0}}) {
    base::PlaneRecord disc;
    disc.side = side;
    disc.area = 0.02;
    manifest.surveys.push_back(disc);
    SurveyMean mean;
    mean.n_points = 10;
    mean.total_pressure = total;
    raw.fields.surveys.push_back(mean);
  }
  const std::vector<Quantity> drag = momentum_of(manifest, raw);
  EXPECT_NEAR(value(drag, "cooling_drag_momentum"), 59.0 - 10.5, 1e-10);
  EXPECT_NEAR(value(drag, "cooling_drag_free_stream"), 34.5, 1e-12);
  raw.fields.surveys.back().n_outside = 1;
  EXPECT_TRUE(std::isnan(value(momentum_of(manifest, raw), "cooling_drag_momentum")));
}

TEST(MomentumDrag, BehindAPropellerWithoutSurveysIsGivenAgainstTheFreeStreamOnly) {
  const std::vector<Quantity> drag = momentum_of(sample_manifest(), leaving_results());
  EXPECT_NEAR(value(drag, "cooling_drag_free_stream"), 34.5, 1e-12);
  EXPECT_TRUE(std::isnan(value(drag, "cooling_drag_momentum")));
}

// Wind along (0.8, -0.6, 0): momentum 0.8 * 18 + 0.6 * 9 = 19.8 N, pressure -7.5 * 0.8 N.
TEST(MomentumDrag, IsAlongTheWind) {
  base::Manifest manifest = without_propeller();
  manifest.flight.sideslip = std::asin(0.6);
  RawResults raw = leaving_results();
  raw.fields.planes.back().momentum_flow = {18.0, -9.0, 0.0};
  EXPECT_NEAR(value(momentum_of(manifest, raw), "cooling_drag_momentum"), 45.0 - 13.8, 1e-12);
}

// 20² - 2 * 300 / 1.25 is below 0: this air cannot reach the free stream's pressure.
TEST(MomentumDrag, AirThatCannotReachTheFreeStreamsPressureKeepsNothing) {
  RawResults raw = leaving_results();
  raw.fields.planes.back().static_pressure = 89700.0;
  EXPECT_NEAR(value(momentum_of(without_propeller(), raw), "cooling_drag_ideal"), 45.0, 1e-12);
}

using ForceAt = std::function<double(int)>;

void add_force(base::Manifest& manifest,
               RawResults& raw,
               const std::string& quantity,
               const std::string& subject,
               const ForceAt& force) {
  const base::MonitorRecord record{quantity, subject, "force_" + subject, "force.dat", 4};
  manifest.monitors.push_back(record);
  MonitorHistory monitor{record, {}};
  for (int iteration = 1; iteration <= 400; ++iteration) {
    monitor.history.time.push_back(iteration);
    monitor.history.value.push_back(force(iteration));
  }
  raw.monitors.push_back(std::move(monitor));
}

/// 150 + 20 outside, 40 + 5 - 15 inside: 200 N, the first of which swings by `swing` every other iteration.
VariantResult open_result(double swing) {
  base::Manifest manifest = sample_manifest();
  manifest.reference = "base-closed";
  RawResults raw = leaving_results();
  add_monitors(raw, manifest, 400);
  add_force(manifest, raw, "pressure_force", "outside", [=](int i) {
    return 150.0 + (i % 2 == 0 ? swing : -swing);
  });
  add_force(manifest, raw, "viscous_force", "outside", [](int) { return 20.0; });
  add_force(manifest, raw, "pressure_force", "inside", [](int) { return 40.0; });
  add_force(manifest, raw, "viscous_force", "inside", [](int) { return 5.0; });
  add_force(manifest, raw, "porous_force", "inside", [](int) { return -15.0; });
  VariantResult result = evaluate(manifest, raw);
  result.case_dir = "study/base";
  return result;
}

/// 140 + 25 N, the first with a change over the iterations.
VariantResult closed_result(const ForceAt& change) {
  base::Manifest manifest = sample_manifest();
  manifest.is_reference = true;
  manifest.planes.clear();
  manifest.zones.clear();
  manifest.passages.clear();
  manifest.monitors.clear();
  RawResults raw;
  raw.iteration = 400.0;
  raw.fields.n_cells = 80000;
  raw.fields.rotor = RotorLoad{.force = {-990.0, 0.0, 0.0}, .moment = {245.0, 0.0, 0.0}, .right_force = {}};
  add_force(manifest, raw, "pressure_force", "outside", [&](int i) { return 140.0 + change(i); });
  add_force(manifest, raw, "viscous_force", "outside", [](int) { return 25.0; });
  VariantResult result = evaluate(manifest, raw);
  result.case_dir = "study/base-closed";
  return result;
}

double steady(int /*iteration*/) {
  return 0.0;
}

TEST(Forces, AreSummedByPlaceAndByKind) {
  const std::vector<Quantity> found = open_result(0.0).quantities;
  EXPECT_NEAR(value(found, "drag"), 200.0, 1e-10);
  EXPECT_NEAR(value(found, "drag_outside"), 170.0, 1e-10);
  EXPECT_NEAR(value(found, "drag_inside"), 45.0, 1e-10);
  EXPECT_NEAR(value(found, "drag_passages"), -15.0, 1e-10);
  EXPECT_NEAR(value(found, "drag_pressure"), 190.0, 1e-10);
  EXPECT_NEAR(value(found, "drag_friction"), 25.0, 1e-10);
}

// A ramp of 20 N over 400 iterations drifts by 1.5 % of 165 N over half a window: beyond half of 1 %.
TEST(Forces, AreJudgedLikeFlows) {
  EXPECT_EQ(open_result(0.0).judgement.status, Status::Settled);
  EXPECT_EQ(closed_result(steady).judgement.status, Status::Settled);
  EXPECT_EQ(closed_result([](int i) { return 0.05 * i; }).judgement.status, Status::NotSettled);
}

TEST(ClosedReference, HasNothingButItsForceAndItsPropeller) {
  const VariantResult closed = closed_result(steady);
  EXPECT_NEAR(value(closed.quantities, "drag"), 165.0, 1e-10);
  EXPECT_NEAR(value(closed.quantities, "propeller_thrust"), 990.0, 1e-10);
  EXPECT_THAT(closed.flags, testing::IsEmpty());
  EXPECT_THAT(closed.balances, testing::IsEmpty());
}

// 200 - 165 N; half bands 1 and 0.5 N; the standard errors of both means.
TEST(JoinReferences, GivesTheDifferenceWithBothBands) {
  const VariantResult open = open_result(1.0);
  const VariantResult closed = closed_result([](int i) { return i % 2 == 0 ? 0.5 : -0.5; });
  const std::vector<VariantResult> joined = join_references({open, closed});
  ASSERT_EQ(joined.size(), 1U);
  const Quantity* drag = joined.front().find("cooling_drag_forces");
  ASSERT_NE(drag, nullptr);
  EXPECT_NEAR(drag->value, 35.0, 1e-10);
  EXPECT_NEAR(*drag->half_band, 1.5, 1e-10);
  EXPECT_NEAR(*drag->standard_error,
              *open.find("drag")->standard_error + *closed.find("drag")->standard_error,
              1e-12);
  EXPECT_NEAR(value(joined.front().quantities, "drag_closed"), 165.0, 1e-10);
  EXPECT_NEAR(value(joined.front().quantities, "cooling_drag_area_forces"), 35.0 / 1500.0 * 1e4, 1e-8);
  EXPECT_NEAR(value(joined.front().quantities, "cooling_drag_power_forces"), 1.75, 1e-10);
  EXPECT_THAT(joined.front().notes, Contains(HasSubstr("propeller thrust there 990.0 N, here 980.0 N")));
}

TEST(JoinReferences, GivesTheDifferenceOfTheTwoRoutes) {
  VariantResult open = open_result(0.0);
  open.quantities.push_back(empty_quantity("cooling_drag_momentum"));
  open.quantities.back().value = 48.5;
  const std::vector<VariantResult> joined = join_references({open, closed_result(steady)});
  EXPECT_NEAR(value(joined.front().quantities, "cooling_drag_disagreement"), 35.0 - 48.5, 1e-10);
}

TEST(JoinReferences, WithholdsADifferenceFromAnUnsettledReference) {
  const std::vector<VariantResult> joined =
      join_references({open_result(0.0), closed_result([](int i) { return 0.05 * i; })});
  ASSERT_EQ(joined.size(), 1U);
  EXPECT_EQ(joined.front().find("cooling_drag_forces"), nullptr);
  EXPECT_THAT(
      joined.front().notes,
      Contains(testing::AllOf(HasSubstr("closed reference base-closed"), HasSubstr("is not settled"))));
}

TEST(JoinReferences, SaysWhenThereIsNoReferenceAndWhenNoneWasAskedFor) {
  EXPECT_THAT(join_references({open_result(0.0)}).front().notes,
              Contains(HasSubstr("there is no closed reference base-closed")));
  EXPECT_THAT(join_references({sample_variant("base", true)}).front().notes,
              Contains(HasSubstr("not asked for")));
}

TEST(JoinReferences, LeavesAReferenceAloneThatHasNoOpenCase) {
  EXPECT_EQ(join_references({closed_result(steady)}).size(), 1U);
}

}  // namespace
}  // namespace cowlwright::post
