// SPDX-License-Identifier: GPL-3.0-or-later
//
// Full power at standstill: nothing over V or q, and pressures over the propeller's thrust per disk area.
#include "post/quantities/variant_result.h"
#include "post/tables/writers.h"
#include "tests/unit/post/expected_values.h"
#include "tests/unit/post/sample_bay.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

namespace cowlwright::post {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::Each;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using namespace cowlwright::post::synthetic;

/// The bay at standstill with a disk loading of 400 Pa.
base::Manifest standstill() {
  base::Manifest manifest = bay_manifest();
  manifest.flight.true_airspeed = 0.0;
  manifest.flight.dynamic_pressure = 0.0;
  manifest.flight.reference_pressure = 400.0;
  manifest.flight.reference_name = "thrust per disk area";
  base::PlaneRecord disc;
  disc.side = base::Side::Left;
  disc.area = 0.01;
  manifest.surveys = {disc};
  return manifest;
}

VariantResult evaluated(const base::Manifest& manifest) {
  RawResults raw = bay_results();
  raw.fields.surveys.assign(manifest.surveys.size(), {"ahead_left", 96, 0, 20.0, 5.0, 90600.0});
  add_monitors(raw, manifest, 400);
  return evaluate(manifest, raw);
}

TEST(GroundRun, GivesFiniteNumbersOnlyAndNamesWhatNeedsAnAirspeed) {
  const VariantResult result = evaluated(standstill());
  for (const Quantity& quantity : result.quantities) {
    EXPECT_TRUE(std::isfinite(quantity.value)) << quantity.id;
  }
  for (const char* id :
       {"inlet_velocity_ratio_right", "propeller_efficiency", "propeller_efficiency_limit"}) {
    EXPECT_EQ(result.find(id), nullptr) << id;
    EXPECT_THAT(
        result.notes,
        Contains(AllOf(HasSubstr(std::string(quantity_spec(id).name)), HasSubstr("airspeed of zero"))));
  }
  expect_value(result, "propeller_power", 58.8);
  expect_value(result, "deck_pressure_difference", 1100.0);
  EXPECT_EQ(result.judgement.status, Status::Settled);
  EXPECT_THAT(result.flags, IsEmpty());
}

// 1100 Pa between the decks, 1230 and 1350 Pa above the free stream's pressure in the halves, -300 Pa at the
// exit, 600 Pa ahead of the left inlet; over 400 Pa.
TEST(GroundRun, DividesPressuresByTheDiskLoadingAndSaysSo) {
  const VariantResult result = evaluated(standstill());
  expect_value(result, "deck_pressure_difference_of_loading", 2.75);
  expect_value(result, "inlet_recovery_of_loading_left", 3.075);
  expect_value(result, "inlet_recovery_of_loading_right", 3.375);
  expect_value(result, "exit_pressure_of_loading", -0.75);
  expect_value(result, "inlet_total_pressure_of_loading_left", 1.5);
  for (const char* id : {"deck_pressure_difference_of_q",
                         "inlet_recovery_left",
                         "exit_pressure_coefficient",
                         "inlet_total_pressure_left"}) {
    EXPECT_EQ(result.find(id), nullptr) << id;
  }
  EXPECT_THAT(result.notes, Contains(HasSubstr("thrust per disk area of 400 Pa")));
}

TEST(GroundRun, InFlightThereAreNoRowsOverTheDiskLoading) {
  const VariantResult result = evaluated(bay_manifest());
  for (const Quantity& quantity : result.quantities) {
    EXPECT_THAT(quantity.id, Not(HasSubstr("of_loading")));
  }
  EXPECT_THAT(result.notes, Each(Not(HasSubstr("standstill"))));
}

// A case written without a reference pressure: absent, not infinite.
TEST(GroundRun, WithoutReferencePressureLeavesTheRatiosOut) {
  base::Manifest manifest = standstill();
  manifest.flight.reference_pressure = 0.0;
  const VariantResult result = evaluated(manifest);
  EXPECT_EQ(result.find("deck_pressure_difference_of_loading"), nullptr);
  EXPECT_THAT(result.notes, Contains(HasSubstr("deck difference / disk loading cannot be formed")));
}

TEST(GroundRun, BesideAFlightFillsRowsOfItsOwn) {
  std::vector<VariantResult> results{evaluated(bay_manifest()), evaluated(standstill())};
  results[1].manifest.variant = "ground";
  results[1].manifest.variant_index = 1;
  const std::string text = screen_table(Comparison(std::move(results)));
  EXPECT_THAT(text,
              AllOf(HasSubstr("deck pressure difference / q"), HasSubstr("deck difference / disk loading")));
  EXPECT_THAT(text, AllOf(Not(HasSubstr("inf")), Not(HasSubstr("nan"))));
}

}  // namespace
}  // namespace cowlwright::post
