// SPDX-License-Identifier: GPL-3.0-or-later
//
// Comparisons with an estimate made up for the test: known worths, known bands.
#include "cases/compare/comparison.h"

#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>

namespace cowlwright::compare {
namespace {

using testing::HasSubstr;

VariantSpec minimal() {
  return read_study(std::filesystem::path(COWLWRIGHT_TEST_DATA) / "studies/minimal.toml").variants.front();
}

double gap_share(const VariantSpec& s) {
  return s.shape.exit.gap / 0.075;
}

/// 1000 Pa times gap over 75 mm, less 100 Pa times the discharge coefficient per 10 mm of lip missing from
/// either inlet. The coefficient is 1 ± 0.2 whatever the installation, the inlet's loss 0.5 ± 0.1 with a ring
/// and 1 ± 0.3 without.
Estimator simple_estimator() {
  Estimator estimator;
  estimator.quantities = {{.name = "deck pressure difference", .unit = "Pa", .practical_unit = "inH2O"}};
  estimator.assumptions = [](const VariantSpec& s) {
    const bool is_bare = s.shape.inlets.left.ring == shape::RingStyle::None;
    return std::vector<Assumption>{{"exit, discharge", "discharge", 1.0, 0.2, "chosen, no source"},
                                   {"left inlet, loss",
                                    "loss",
                                    is_bare ? 1.0 : 0.5,
                                    is_bare ? 0.3 : 0.1,
                                    is_bare ? "a handbook, bare" : "a handbook, ring"}};
  };
  estimator.values = [assumptions = estimator.assumptions](const VariantSpec& s,
                                                           const std::vector<Shift>& shifts) {
    std::vector<Assumption> all = assumptions(s);
    for (const Shift& shift : shifts) {
      for (Assumption& one : all) one.value += one.name == shift.name ? shift.amount : 0.0;
    }
    return std::vector{1000.0 * all[0].value * gap_share(s) - 100.0 * all[1].value};
  };
  return estimator;
}

VariantSpec with_bare_left(VariantSpec spec) {
  spec.shape.inlets.left.ring = shape::RingStyle::None;
  spec.shape.inlets.left.lip_radius = 0.0;
  return spec;
}

TEST(ComparedInstallations, ThatAreTheSameHaveNoEffects) {
  const Comparison comparison = compare_installations(minimal(), minimal(), simple_estimator());
  EXPECT_TRUE(comparison.details.empty());
  EXPECT_TRUE(comparison.effects.empty());
  EXPECT_EQ(comparison.good, comparison.mine);
  EXPECT_EQ(comparison.band[0], 0.0);
}

TEST(ComparedInstallations, GiveAllToTheOneDetailThatDiffers) {
  VariantSpec mine = minimal();
  mine.shape.exit.gap = 0.060;
  const Comparison comparison = compare_installations(minimal(), mine, simple_estimator());
  ASSERT_EQ(comparison.effects.size(), 1U);
  EXPECT_EQ(comparison.effects[0].label, "exit gap");
  EXPECT_NEAR(comparison.effects[0].value[0], -200.0, 1e-9);  // 1000 (60 - 75) / 75
  EXPECT_NEAR(comparison.effects[0].value[0], comparison.mine[0] - comparison.good[0], 1e-9);
  // The coefficient 1 ± 0.2 is off by the same in both: 0.2 of the 200 Pa.
  EXPECT_NEAR(comparison.effects[0].band[0], 40.0, 1e-9);
  EXPECT_NEAR(comparison.band[0], 40.0, 1e-9);
  EXPECT_TRUE(comparison.effects[0].stands_out(0));
}

TEST(ComparedInstallations, TakeTheErrorsOfTwoCoefficientsApart) {
  const Comparison comparison =
      compare_installations(minimal(), with_bare_left(minimal()), simple_estimator());
  ASSERT_EQ(comparison.effects.size(), 1U);
  EXPECT_NEAR(comparison.effects[0].value[0], -50.0, 1e-9);
  // 100 Pa times the root of 0.1² + 0.3²; the discharge, the same on both sides, cancels.
  EXPECT_NEAR(comparison.effects[0].band[0], 100.0 * std::sqrt(0.01 + 0.09), 1e-9);
  EXPECT_TRUE(comparison.effects[0].stands_out(0));
  ASSERT_EQ(comparison.effects[0].stands_on.size(), 1U);
  EXPECT_EQ(comparison.effects[0].stands_on[0].good.source, "a handbook, ring");
  EXPECT_EQ(comparison.effects[0].stands_on[0].mine.source, "a handbook, bare");
}

// Half of the variance is shared: 0.3 and 0.1 of 100 Pa leave sqrt(900 + 100 - 2 * 0.5 * 30 * 10) Pa.
TEST(ComparedInstallations, ShareHalfOfTheErrorOfTwoValuesFromOneSource) {
  Estimator estimator = simple_estimator();
  estimator.assumptions = [inner = estimator.assumptions](const VariantSpec& s) {
    std::vector<Assumption> all = inner(s);
    all[1].source = "a handbook";
    return all;
  };
  const Comparison comparison = compare_installations(minimal(), with_bare_left(minimal()), estimator);
  ASSERT_EQ(comparison.effects.size(), 1U);
  EXPECT_NEAR(comparison.effects[0].value[0], -50.0, 1e-9);
  EXPECT_NEAR(comparison.effects[0].band[0], std::sqrt(700.0), 1e-9);
  EXPECT_NEAR(comparison.band[0], std::sqrt(700.0), 1e-9);
}

TEST(ComparedInstallations, PutTheLargestEffectFirst) {
  VariantSpec mine = with_bare_left(minimal());
  mine.shape.exit.gap = 0.060;
  const Comparison comparison = compare_installations(minimal(), mine, simple_estimator());
  ASSERT_EQ(comparison.effects.size(), 2U);
  EXPECT_EQ(comparison.effects[0].label, "exit gap");
  EXPECT_EQ(comparison.effects[1].label, "left inlet, edge");
  EXPECT_NEAR(comparison.effects[0].value[0] + comparison.effects[1].value[0],
              comparison.mine[0] - comparison.good[0],
              1e-9);
}

TEST(ComparedInstallations, ListWhatTheEstimateDoesNotFeel) {
  VariantSpec mine = minimal();
  mine.shape.exit.gap = 0.060;
  mine.shape.cowl.skin_thickness = 0.010;
  mine.grid.level = meshing::GridLevel::Fine;
  const Comparison comparison = compare_installations(minimal(), mine, simple_estimator());
  ASSERT_EQ(comparison.effects.size(), 1U);
  ASSERT_EQ(comparison.not_in_model.size(), 2U);
  EXPECT_EQ(comparison.details[comparison.not_in_model[0]].label, "grid");
  EXPECT_EQ(comparison.details[comparison.not_in_model[1]].label, "cowl skin thickness");
}

TEST(ComparedInstallations, LetEveryDetailTakePartWhenOneHasAnEffectOnlyInCompany) {
  Estimator estimator = simple_estimator();
  estimator.values = [](const VariantSpec& s, const std::vector<Shift>&) {
    const bool is_thin = s.shape.cowl.skin_thickness < 0.011;
    const bool is_long = s.shape.fuselage.length > 4.0;
    return std::vector{is_thin && is_long ? 1.0 : 0.0};
  };
  VariantSpec mine = minimal();
  mine.shape.cowl.skin_thickness = 0.010;
  mine.shape.fuselage.length = 5.0;
  const Comparison comparison = compare_installations(minimal(), mine, estimator);
  ASSERT_EQ(comparison.effects.size(), 2U);
  EXPECT_NEAR(comparison.effects[0].value[0], 0.5, 1e-12);
  EXPECT_NEAR(comparison.effects[1].value[0], 0.5, 1e-12);
}

TEST(ComparedInstallations, CountTogetherWhatCannotBeTakenApart) {
  Estimator estimator = simple_estimator();
  estimator.values = [inner = estimator.values](const VariantSpec& s, const std::vector<Shift>& shifts) {
    if (s.propeller.diameter < 1.75 && s.propeller.rotational_speed < 250.0) {
      throw base::ResultError("the propeller cannot absorb the power");
    }
    std::vector<double> values = inner(s, shifts);
    values[0] += 10.0 * s.propeller.diameter + s.propeller.rotational_speed;
    return values;
  };
  VariantSpec good = minimal();
  good.propeller.rotational_speed = 240.0;
  VariantSpec mine = minimal();
  mine.propeller.diameter = 1.7;
  mine.propeller.rotational_speed = 280.0;
  const Comparison comparison = compare_installations(good, mine, estimator);
  ASSERT_EQ(comparison.effects.size(), 1U);
  EXPECT_EQ(comparison.effects[0].label, "rotational speed; propeller diameter");
  EXPECT_EQ(comparison.effects[0].topic, Topic::Installation);
  EXPECT_NEAR(comparison.effects[0].value[0], 39.0, 1e-9);
  ASSERT_FALSE(comparison.attribution.refusals.empty());
  EXPECT_EQ(comparison.attribution.refusals[0].reason, "the propeller cannot absorb the power");
}

TEST(ComparedInstallations, TellFlightFromInstallation) {
  Estimator estimator = simple_estimator();
  estimator.values = [inner = estimator.values](const VariantSpec& s, const std::vector<Shift>& shifts) {
    std::vector<double> values = inner(s, shifts);
    values[0] *= s.flight.true_airspeed;
    return values;
  };
  VariantSpec mine = minimal();
  mine.flight.true_airspeed *= 0.9;
  mine.shape.exit.gap = 0.06;
  const Comparison comparison = compare_installations(minimal(), mine, estimator);
  EXPECT_LT(comparison.sum(Topic::Condition, 0), 0.0);
  EXPECT_LT(comparison.sum(Topic::Installation, 0), 0.0);
  EXPECT_NEAR(comparison.sum(Topic::Condition, 0) + comparison.sum(Topic::Installation, 0),
              comparison.mine[0] - comparison.good[0],
              1e-9);
}

TEST(ComparedInstallations, NameMixturesThatCouldNotBeBuilt) {
  // Of the mixtures, a wide throat with the narrow spacing runs into the spinner.
  VariantSpec good = minimal(), mine = minimal();
  good.shape.spinner.diameter = 0.20;
  mine.shape.spinner.diameter = 0.32;
  mine.shape.inlets.spacing = 0.62;
  good.shape.inlets.spacing = 0.42;
  ASSERT_TRUE(shape::shape_conflicts(good.shape).empty()) << shape::shape_conflicts(good.shape)[0].message;
  ASSERT_TRUE(shape::shape_conflicts(mine.shape).empty()) << shape::shape_conflicts(mine.shape)[0].message;
  Estimator estimator = simple_estimator();
  estimator.values = [](const VariantSpec& s, const std::vector<Shift>&) {
    return std::vector{s.shape.spinner.diameter + s.shape.inlets.spacing};
  };
  const Comparison comparison = compare_installations(good, mine, estimator);
  EXPECT_EQ(comparison.n_contradictory, 1U);
  EXPECT_THAT(comparison.first_contradiction, HasSubstr("spacing"));
}

TEST(ComparedInstallations, RefuseAnotherNumberOfCylinders) {
  VariantSpec mine = minimal();
  mine.shape.engine.n_cylinders = 6;
  try {
    compare_installations(minimal(), mine, simple_estimator());
    FAIL() << "four cylinders were compared with six";
  } catch (const base::InputError& error) {
    EXPECT_THAT(error.what(),
                HasSubstr("[engine] cylinders = 4 in the good study and 6 in yours: must be the same"));
  }
}

TEST(ComparedInstallations, SayWhichOfTheTwoHasNoEstimate) {
  Estimator estimator = simple_estimator();
  estimator.values = [](const VariantSpec& s, const std::vector<Shift>&) -> std::vector<double> {
    if (s.shape.exit.gap < 0.07) throw base::ResultError("no solution");
    return {1.0};
  };
  VariantSpec mine = minimal();
  mine.shape.exit.gap = 0.06;
  try {
    compare_installations(minimal(), mine, estimator);
    FAIL() << "an installation without an estimate was compared";
  } catch (const base::ResultError& error) {
    EXPECT_EQ(std::string(error.what()), "The other installation has no estimate: no solution");
  }
}

}  // namespace
}  // namespace cowlwright::compare
