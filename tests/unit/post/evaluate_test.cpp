// SPDX-License-Identifier: GPL-3.0-or-later
//
// The reported quantities, worked out by hand from the sample's round numbers (sample_results.h), and the
// verdicts about a row.
#include "post/quantities/variant_result.h"
#include "tests/unit/post/expected_values.h"
#include "tests/unit/post/sample_results.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

namespace cowlwright::post {
namespace {

using testing::Contains;
using testing::Each;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using namespace cowlwright::post::synthetic;

VariantResult evaluated(const MonitorChange& change = {}, int last = 400) {
  RawResults raw = sample_results();
  add_monitors(raw, sample_manifest(), last, change);
  return evaluate(sample_manifest(), raw);
}

// Halves at +1200 and +1300 Pa of equal volume: 1250; lower deck +150; difference 1100 Pa = 1100/249.08891
// inH2O.
TEST(Evaluate, DeckPressuresAreGaugeAndVolumeWeighted) {
  const VariantResult result = evaluated();
  expect_value(result, "upper_deck_pressure", 1250.0);
  expect_value(result, "upper_deck_pressure_left", 1200.0);
  expect_value(result, "upper_deck_pressure_right", 1300.0);
  expect_value(result, "lower_deck_pressure", 150.0);
  expect_value(result, "deck_pressure_difference", 1100.0);
  expect_value(result, "deck_pressure_difference_left", 1050.0);
  expect_value(result, "deck_pressure_difference_right", 1150.0);
  expect_value(
      result, "deck_pressure_difference_inh2o", 4.416093836);  // 249.08891 * 4.416093836 = 1100.00000
  expect_value(result, "deck_pressure_difference_of_q", 1100.0 / 1500.0);
}

// A left half three times as large: (3*1200 + 1300) / 4 = 1225.
TEST(Evaluate, UnequalHalvesWeighByVolume) {
  RawResults raw = sample_results();
  raw.fields.zones[0].volume = 0.3;
  expect_value(evaluate(sample_manifest(), raw), "upper_deck_pressure", 1225.0);
}

// (0.50 - 0.40) / 0.90; speed ratio 0.40 / (1.25 * 0.02 * 50) = 0.32.
TEST(Evaluate, InletQuantities) {
  const VariantResult result = evaluated();
  expect_value(result, "inlet_mass_flow", 0.90);
  expect_value(result, "inlet_mass_flow_left", 0.40);
  expect_value(result, "inlet_mass_flow_right", 0.50);
  expect_value(result, "inlet_imbalance", 100.0 / 9.0);
  expect_value(result, "inlet_velocity_ratio_left", 0.32);
  expect_value(result, "inlet_velocity_ratio_right", 0.40);
  expect_value(result, "inlet_recovery_left", 1230.0 / 1500.0);
  expect_value(result, "inlet_recovery_right", 1350.0 / 1500.0);
}

// 0.02 of 0.40 kg/s forward flow and 10 % of the area go back.
TEST(Evaluate, SpillBackAreSharesOfAreaAndOfForwardFlow) {
  RawResults raw = sample_results();
  raw.fluxes[0].reverse_area_share = 0.1;
  raw.fluxes[0].forward_flow = 0.40;
  raw.fluxes[0].reverse_flow = 0.02;
  const VariantResult result = evaluate(sample_manifest(), raw);
  expect_value(result, "inlet_spill_area_left", 10.0);
  expect_value(result, "inlet_spill_flow_left", 5.0);
  expect_value(result, "inlet_spill_flow_right", 0.0);
}

// (0.23 - 0.22) / 0.225
TEST(Evaluate, CoreFlowsAndTheirSpread) {
  const VariantResult result = evaluated();
  expect_value(result, "core_mass_flow_core_l1", 0.22);
  expect_value(result, "core_mass_flow_core_r2", 0.23);
  expect_value(result, "core_mass_flow_spread", 100.0 * 0.01 / 0.225);
}

// b = 40, rho = 1.25, A = 0.04 m²: v = 4.4 and 4.6 m/s, dp = 50 v² = 968 and 1058 Pa, of 1100 Pa.
TEST(Evaluate, CoreLawGivesThePressureDropOfTheFlowAndItsShare) {
  expect_value(evaluated(), "core_law_pressure_drop", 1013.0);
  expect_value(evaluated(), "core_law_share", 92.090909091);
}

// a = 1e5 1/m alone at 288.15 K, where ISO 2533 has mu = 1.7894e-5 Pa s: 1.7894 * (4.4 + 4.6) / 2.
TEST(Evaluate, CoreLawsViscousPartTakesTheViscosityOfTheCoresAir) {
  base::Manifest manifest = sample_manifest();
  manifest.flight.temperature = 288.15;
  for (base::PassageRecord& core : manifest.passages) {
    core.viscous = 1e5;
    core.inertial = 0.0;
  }
  EXPECT_NEAR(
      value(evaluate(manifest, sample_results()), "core_law_pressure_drop"), 8.0523, 5e-4);  // mu to 5 digits
}

// Exit plane at -300 Pa: -0.2; areas 0.05 / 0.04.
TEST(Evaluate, ExitQuantities) {
  const VariantResult result = evaluated();
  expect_value(result, "exit_mass_flow", 0.90);
  expect_value(result, "exit_pressure_coefficient", -0.2);
  expect_value(result, "exit_to_inlet_area", 1.25);
}

// 39.6 kg K/s through 0.90 kg/s: 44 K; cp = 3.5 R = 1004.685045: 39.6 * cp = 39785.53 W of 40000 W: 0.5362 %
// missing.
TEST(Evaluate, HeatQuantities) {
  const VariantResult result = evaluated();
  expect_value(result, "heat", 40.0);
  expect_value(result, "temperature_rise", 44.0);
  EXPECT_NEAR(value(result, "energy_closure"), 0.53618, 1e-4);  // worked out to 6 digits
}

// Areas 3 and 1 m²: mean (3 * 80 + 1 * 40) / 4 = 70.
TEST(Evaluate, YPlusOfTheExitWeighsItsPatchesByArea) {
  base::Manifest manifest = sample_manifest();
  manifest.patches = {{"cowl", 5.0}, {"exit_wall", 3.0}, {"exit_lip", 1.0}, {"ring_left", 1.0}};
  RawResults raw = sample_results();
  raw.fields.y_plus = {
      {"exit_wall", 20.0, 300.0, 80.0}, {"exit_lip", 10.0, 90.0, 40.0}, {"firewall", 1, 2, 1.5}};
  const VariantResult result = evaluate(manifest, raw);
  expect_value(result, "y_plus_mean_exit", 70.0);
  expect_value(result, "y_plus_smallest_exit", 10.0);
  expect_value(result, "y_plus_largest_exit", 300.0);
  // What the solver does not tell of is absent.
  EXPECT_EQ(result.find("y_plus_mean_cowl"), nullptr);
  EXPECT_EQ(result.find("y_plus_mean_inlet_rings"), nullptr);
}

// A swing of the upper deck's left half by 20 Pa (period 20): the difference's mean stays 1100, half band
// is 10.
TEST(Evaluate, PublishesTheWindowsMeanAndHalfBand) {
  const VariantResult result = evaluated([](const std::string& subject, int iteration, double value) {
    const double swing = 20.0 * std::sin(2.0 * std::numbers::pi * iteration / 20.0);
    return subject == "upper_deck_left" ? value + swing : value;
  });
  const Quantity* difference = result.find("deck_pressure_difference");
  ASSERT_NE(difference, nullptr);
  EXPECT_EQ(difference->basis, Basis::WindowMean);
  EXPECT_NEAR(difference->value, 1100.0, 1e-6);
  ASSERT_TRUE(difference->half_band.has_value());
  EXPECT_NEAR(*difference->half_band, 10.0, 1e-6);
  EXPECT_EQ(result.judgement.status, Status::Settled);  // 10 / 1100 = 0.91 %
  EXPECT_EQ(result.window_start, 301.0);
  EXPECT_EQ(result.last_iteration, 400.0);
}

// An early transient is outside the window.
TEST(Evaluate, IgnoresWhatHappenedBeforeTheWindowAndSaysWhenItEnded) {
  const VariantResult result = evaluated(
      [](const std::string&, int iteration, double value) { return iteration <= 150 ? 2.0 * value : value; });
  expect_value(result, "exit_mass_flow", 0.90);
  EXPECT_EQ(result.judgement.status, Status::Settled);
  EXPECT_TRUE(result.averaging.transient_is_over);
  EXPECT_EQ(result.averaging.transient_end, 151.0);
  EXPECT_THAT(result.notes, Contains(HasSubstr("transient ended at iteration 151 (MSER-5")));
}

// 60 of 400 iterations lie behind the step; a whole window of 100 must.
TEST(Evaluate, ATransientThatReachesIntoTheWindowIsNotOver) {
  const VariantResult result = evaluated(
      [](const std::string&, int iteration, double value) { return iteration <= 340 ? 2.0 * value : value; });
  EXPECT_EQ(result.judgement.status, Status::NotSettled);
}

// 20 Pa about 91200 Pa with period 45: in a window of 100, two periods of 45.
TEST(Evaluate, AveragesOverWholePeriodsAndSaysSo) {
  const VariantResult result = evaluated([](const std::string& subject, int iteration, double value) {
    const double swing = 20.0 * std::sin(2.0 * std::numbers::pi * iteration / 45.0);
    return subject == "upper_deck_left" ? value + swing : value;
  });
  EXPECT_EQ(result.averaging.n_periods, 2);
  EXPECT_NEAR(result.averaging.period, 45.0, 0.5);
  EXPECT_NEAR(result.window_start, 311.0, 1.0);
  EXPECT_NEAR(value(result, "deck_pressure_difference"), 1100.0, 0.1);  // a sample too many: 10 / 90
  EXPECT_THAT(result.notes,
              Contains(AllOf(HasSubstr("2 whole periods of 45.0 iterations"),
                             HasSubstr("deck pressure difference"))));
  // The same window for all.
  EXPECT_EQ(result.n_samples, 400 - static_cast<int>(result.window_start) + 1);
}

// A swing of amplitude 10 Pa has rms 10/sqrt(2); k periods are worth pi k samples: 7.07 / sqrt(5 pi) = 1.78
// Pa.
TEST(Evaluate, PublishesStandardErrorsAndEffectiveSamples) {
  const VariantResult result = evaluated([](const std::string& subject, int iteration, double value) {
    const double swing = 20.0 * std::sin(2.0 * std::numbers::pi * iteration / 20.0);
    return subject == "upper_deck_left" ? value + swing : value;
  });
  const Quantity* difference = result.find("deck_pressure_difference");
  ASSERT_TRUE(difference->standard_error && difference->effective_samples);
  EXPECT_NEAR(
      *difference->effective_samples, 5.0 * std::numbers::pi, 3.0);  // sum for integral, 20 lags a period
  EXPECT_NEAR(*difference->standard_error, 1.78, 0.2);
  EXPECT_FALSE(result.find("temperature_rise")->standard_error.has_value());
}

// Zones that look upstream print negative flows: turned by comparison with our own reading.
TEST(Evaluate, TurnsMonitorsOfZonesThatLookUpstream) {
  RawResults raw = sample_results();
  raw.fluxes[6].flip_map_flow = -0.90;
  add_monitors(raw, sample_manifest(), 400);
  const VariantResult result = evaluate(sample_manifest(), raw);
  expect_value(result, "exit_mass_flow", 0.90);
  EXPECT_EQ(result.find("exit_mass_flow")->basis, Basis::WindowMean);
  EXPECT_THAT(result.flags, IsEmpty());
}

TEST(Evaluate, WithoutMonitorsValuesAreOfTheLastIterationAndNotSettled) {
  const VariantResult result = evaluate(sample_manifest(), sample_results());
  const Quantity* flow = result.find("exit_mass_flow");
  ASSERT_NE(flow, nullptr);
  EXPECT_EQ(flow->basis, Basis::LastIteration);
  EXPECT_FALSE(flow->half_band.has_value());
  EXPECT_EQ(result.judgement.status, Status::NotSettled);
  EXPECT_THAT(result.notes, Contains(HasSubstr("no monitors: every value is of the last iteration only")));
}

TEST(Evaluate, OneMissingMonitorCostsOnlyWhatNeedsIt) {
  RawResults raw = sample_results();
  add_monitors(raw, sample_manifest(), 400);
  std::erase_if(raw.monitors, [](const MonitorHistory& monitor) { return monitor.record.subject == "exit"; });
  const VariantResult result = evaluate(sample_manifest(), raw);
  EXPECT_EQ(result.find("exit_mass_flow")->basis, Basis::LastIteration);
  EXPECT_EQ(result.find("continuity_closure")->basis, Basis::LastIteration);
  EXPECT_EQ(result.find("inlet_mass_flow_left")->basis, Basis::WindowMean);
  EXPECT_EQ(result.judgement.status, Status::NotSettled);
  EXPECT_THAT(result.notes, Contains(HasSubstr("no monitor for exit")));
}

TEST(Evaluate, AHalfFinishedRunIsNotSettledAndSaysWhereItStands) {
  RawResults raw = sample_results();
  raw.iteration = 50.0;
  add_monitors(raw, sample_manifest(), 60);
  const VariantResult result = evaluate(sample_manifest(), raw);
  EXPECT_EQ(result.judgement.status, Status::NotSettled);
  EXPECT_THAT(result.notes, Contains(HasSubstr("stands at iteration 60 of at most 400")));
}

// A monitor that was lost on the way: its values are of the last fields, and the row says so.
TEST(Evaluate, AMonitorThatEndsEarlyIsFlaggedAndItsQuantityNotJudged) {
  RawResults raw = sample_results();
  add_monitors(raw, sample_manifest(), 400);
  base::History& exit = std::find_if(raw.monitors.begin(), raw.monitors.end(), [](const MonitorHistory& m) {
                          return m.record.subject == "exit";
                        })->history;
  exit.time.resize(250);
  exit.value.resize(250);
  const VariantResult result = evaluate(sample_manifest(), raw);
  EXPECT_EQ(result.last_iteration, 400.0);
  EXPECT_EQ(result.find("exit_mass_flow")->basis, Basis::LastIteration);
  EXPECT_EQ(result.judgement.status, Status::NotSettled);
  EXPECT_THAT(result.judgement.reason, HasSubstr("no monitors for exit mass flow"));
  EXPECT_THAT(result.flags, Contains(HasSubstr("monitor flow_exit ends at iteration 250, others at 400")));
}

// All of them lost on the way: the means are of a part of the run that the fields are not of.
TEST(Evaluate, MonitorsThatEndBeforeTheFieldsAreFlagged) {
  RawResults raw = sample_results();
  add_monitors(raw, sample_manifest(), 300);
  const VariantResult result = evaluate(sample_manifest(), raw);
  EXPECT_EQ(result.judgement.status, Status::NotSettled);
  EXPECT_THAT(result.judgement.reason, HasSubstr("the monitors end at iteration 300, the fields are of 400"));
  EXPECT_THAT(result.flags, Contains(HasSubstr("the monitors end at iteration 300")));
}

// Finite, but wild: 60 % up and down.
TEST(Evaluate, ADivergedHistoryIsNeverSettledNorOscillating) {
  const VariantResult result = evaluated([](const std::string& subject, int iteration, double value) {
    return subject == "exit" ? value * (1.0 + 0.6 * std::sin(0.7 * iteration)) : value;
  });
  EXPECT_EQ(result.judgement.status, Status::NotSettled);
}

VariantResult with_solver_end(const std::optional<base::SolverEnd>& end, int last) {
  RawResults raw = sample_results();
  raw.iteration = last;
  raw.solver_end = end;
  add_monitors(raw, sample_manifest(), last);
  return evaluate(sample_manifest(), raw);
}

TEST(Evaluate, SaysHowTheSolverEnded) {
  EXPECT_THAT(with_solver_end(base::SolverEnd{base::EndedBy::Held, 320, "half band 0.31 %"}, 320).notes,
              AllOf(Contains("solver stopped: held: half band 0.31 %"), Each(Not(HasSubstr("stands at")))));
  EXPECT_THAT(
      with_solver_end(base::SolverEnd{base::EndedBy::Ceiling, 400, "not held: flow drifts"}, 400).notes,
      Contains("solver ran to its ceiling of 400 iterations; not held: flow drifts"));
  EXPECT_THAT(
      with_solver_end(base::SolverEnd{base::EndedBy::Asked, 320, "not held: flow drifts"}, 320).notes,
      Contains(AllOf(HasSubstr("stands at iteration 320 of at most 400"), HasSubstr("asked to stop"))));
}

// By hand there is no word of the driver; after going on by hand, its word is of an earlier end.
TEST(Evaluate, OfARunByHandItSaysWhereItStands) {
  EXPECT_THAT(with_solver_end(std::nullopt, 400).notes,
              Contains("solver ran to its ceiling of 400 iterations"));
  const base::SolverEnd earlier{base::EndedBy::Held, 320, "half band 0.31 %"};
  EXPECT_THAT(
      with_solver_end(earlier, 350).notes,
      AllOf(Contains("the run stands at iteration 350 of at most 400"), Each(Not(HasSubstr("held")))));
}

TEST(Evaluate, TwoMonitorLinesMakeNoBand) {
  RawResults raw = sample_results();
  add_monitors(raw, sample_manifest(), 2);
  const VariantResult result = evaluate(sample_manifest(), raw);
  EXPECT_FALSE(result.find("exit_mass_flow")->half_band.has_value());
  EXPECT_EQ(result.n_samples, 0);
}

TEST(Evaluate, AMonitorThatIsNotANumberFailsTheRow) {
  const VariantResult result = evaluated([](const std::string& subject, int iteration, double value) {
    return subject == "exit" && iteration == 399 ? std::numeric_limits<double>::quiet_NaN() : value;
  });
  EXPECT_TRUE(result.has_failed());
  EXPECT_THAT(result.quantities, IsEmpty());
  EXPECT_THAT(result.judgement.reason, AllOf(HasSubstr("flow_exit"), HasSubstr("iteration 399")));
}

// 0.90 in, 0.885 out: 1.667 %, limit 1 %.
TEST(Evaluate, ClosureBeyondItsToleranceIsFlaggedWithBothNumbers) {
  const VariantResult result = evaluated(
      [](const std::string& subject, int, double value) { return subject == "exit" ? 0.885 : value; });
  expect_value(result, "continuity_closure", 100.0 * 0.015 / 0.90);
  EXPECT_THAT(result.flags,
              Contains(AllOf(HasSubstr("continuity closure +1.67 %"), HasSubstr("limit 1.00 %"))));
}

TEST(Evaluate, BalancesWithinTheirTolerancesAreNotFlagged) {
  const VariantResult result = evaluated();
  EXPECT_EQ(result.balances.size(), 5U);  // inlets to exit, to cores, cores to exit, energy, momentum
  EXPECT_THAT(result.flags, IsEmpty());
}

TEST(Evaluate, NoInletFlowIsFlaggedAndItsRatiosAreDropped) {
  RawResults raw = sample_results();
  raw.fluxes[0].mass_flow = 0.0;
  raw.fluxes[1].mass_flow = 0.0;
  const VariantResult result = evaluate(sample_manifest(), raw);
  EXPECT_EQ(result.find("continuity_closure"), nullptr);
  EXPECT_THAT(result.flags, Contains(HasSubstr("closure cannot be formed")));
  EXPECT_THAT(result.notes, Contains(HasSubstr("inlet imbalance cannot be formed")));
  for (const Quantity& quantity : result.quantities) {
    EXPECT_TRUE(std::isfinite(quantity.value)) << quantity.id;
  }
}

}  // namespace
}  // namespace cowlwright::post
