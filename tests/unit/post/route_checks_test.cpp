// SPDX-License-Identifier: GPL-3.0-or-later
//
// Our reading against the solver's monitors, the fields against the face fluxes, the mesh against the shape.
#include "post/quantities/variant_result.h"
#include "tests/unit/post/expected_values.h"
#include "tests/unit/post/sample_bay.h"
#include "tests/unit/post/sample_results.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace cowlwright::post {
namespace {

using testing::Contains;
using testing::Each;
using testing::HasSubstr;
using testing::Not;
using namespace cowlwright::post::synthetic;

VariantResult evaluated(const MonitorChange& change = {}, int last = 400) {
  RawResults raw = sample_results();
  add_monitors(raw, sample_manifest(), last, change);
  return evaluate(sample_manifest(), raw);
}

// Our reading differs from the monitor in the sixth digit: 0.900003 against 0.9 is 3.3e-6, limit 1e-6.
TEST(RouteChecks, DisagreementWithTheSolversMonitorIsFlagged) {
  const VariantResult result = evaluated([](const std::string& subject, int iteration, double value) {
    return subject == "exit" && iteration == 400 ? 0.900003 : value;
  });
  ASSERT_TRUE(result.monitor_check.has_value());
  EXPECT_EQ(result.monitor_check->plane, "exit");
  EXPECT_NEAR(result.monitor_check->difference, 3.333e-6, 1e-9);
  EXPECT_THAT(result.flags, Contains(HasSubstr("differ from the solver's monitor on exit")));
}

// A monitor printed with 3 digits can be off by half a unit in the third: 5e-3.
TEST(RouteChecks, CoarselyPrintedMonitorsAreJudgedByTheirDigits) {
  RawResults raw = sample_results();
  add_monitors(raw, sample_manifest(), 400, [](const std::string& subject, int, double value) {
    return subject == "exit" ? 0.902 : value;
  });
  for (MonitorHistory& monitor : raw.monitors) {
    monitor.history.digits = 3;
  }
  const VariantResult result = evaluate(sample_manifest(), raw);
  EXPECT_NEAR(result.monitor_check->tolerance, 5e-3, rounding);
  EXPECT_TRUE(result.monitor_check->is_within());
}

TEST(RouteChecks, MonitorsAreComparedAtTheFieldsIterationOnly) {
  RawResults raw = sample_results();
  raw.iteration = 350.0;
  add_monitors(raw, sample_manifest(), 400, [](const std::string& subject, int iteration, double value) {
    return subject == "exit" && iteration != 350 ? 0.91 : value;
  });
  EXPECT_TRUE(evaluate(sample_manifest(), raw).monitor_check->is_within());
}

TEST(RouteChecks, FieldsThatGiveAnotherFlowThanTheFluxesAreNoted) {
  RawResults raw = sample_results();
  raw.fields.planes[6].mass_flow = 0.918;
  const VariantResult result = evaluate(sample_manifest(), raw);
  EXPECT_NEAR(result.field_check->difference, 0.02, rounding);
  EXPECT_THAT(result.notes, Contains(HasSubstr("gives 2.00 % other flow than the face fluxes on exit")));
}

// Behind the fins and in a leak velocity leaps from cell to cell.
TEST(RouteChecks, FieldsAreNotComparedBehindTheFinsNorInLeaks) {
  RawResults raw = bay_results();
  for (const char* plane : {"outlet_r1", "leak_crankcase_nose"}) {
    raw.fields.planes[bay_plane(plane)].mass_flow *= 1.1;
  }
  const VariantResult result = evaluate(bay_manifest(), raw);
  EXPECT_TRUE(result.field_check->is_within());
  EXPECT_THAT(result.notes, Each(Not(HasSubstr("other flow than the face fluxes"))));
}

TEST(RouteChecks, AZoneThatLooksBothWaysIsFlagged) {
  RawResults raw = sample_results();
  raw.fluxes[6].flip_map_flow = 0.45;
  EXPECT_THAT(evaluate(sample_manifest(), raw).flags,
              Contains(HasSubstr("plane exit: faces of its zone look both")));
}

// 0.0185 m² meshed of 0.02 m²: -7.5 %, noted beyond 3 %.
TEST(RouteChecks, APlaneThatTheMeshNarrowsIsNoted) {
  RawResults raw = sample_results();
  raw.fluxes[0].area = 0.0185;
  EXPECT_THAT(evaluate(sample_manifest(), raw).notes,
              Contains(AllOf(HasSubstr("plane inlet_left: meshed area"), HasSubstr("-7.5 %"))));
}

TEST(RouteChecks, AZoneThatTheMeshShrinksIsNoted) {
  RawResults raw = sample_results();
  raw.fields.zones[2].volume = 0.15;
  EXPECT_THAT(evaluate(sample_manifest(), raw).notes,
              Contains(AllOf(HasSubstr("zone lower_deck: meshed volume"), HasSubstr("-25.0 %"))));
}

}  // namespace
}  // namespace cowlwright::post
