// SPDX-License-Identifier: GPL-3.0-or-later
//
// Coefficients chosen here are put into the network, its states are given out as if a solver had found them,
// and the hand-over has to find the coefficients again.
#include "cases/network/solved_cases.h"

#include "cases/network/model.h"
#include "cases/starter.h"
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace cowlwright::network {
namespace {

using base::PassageKind;
using base::Side;
using testing::AllOf;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;
using testing::ThrowsMessage;

/// The starter with leaks and an oil cooler; lips of 0, 20 and 40 deg at 105 kt, then 0 deg at 80 kt.
std::string study_text() {
  std::string text = starter_study_text();
  text = text.substr(0, text.find("# What to compare:"));
  return text +
         "[leaks]\nrear_baffle_left = \"3 cm2\"\n"
         "[oil_cooler]\nplace = \"rear\"\nmass_flow = \"0.15 kg/s\"\npressure_drop = \"1000 Pa\"\nexponent = "
         "1.8\n"
         "heat_share = \"8 %\"\n"
         "[vary]\nmode = \"paired\"\n"
         "\"exit.lip_angle\" = [\"0 deg\", \"20 deg\", \"40 deg\", \"0 deg\"]\n"
         "\"flight.true_airspeed\" = [\"105 kt\", \"105 kt\", \"105 kt\", \"80 kt\"]\n";
}

/// The same with one piece of text in place of another.
VariantSpec variant_with(const std::string& from, const std::string& to) {
  std::string text = study_text();
  const std::size_t at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  text.replace(at, from.size(), to);
  return parse_study(text, "changed.toml").variants.front();
}

const Study& study() {
  static const Study one = parse_study(study_text(), "study.toml");
  return one;
}

/// What is put in, to be found again.
Coefficients chosen(const VariantSpec& spec, double discharge, double pressure) {
  Coefficients c = default_coefficients(spec);
  c.inlets[0].propeller_rise.value = 1.4;
  c.inlets[1].propeller_rise.value = 0.8;
  c.inlets[0].solved_loss = {{0.0, 1.7}};
  c.inlets[1].solved_loss = {{0.0, 1.1}};
  for (PassageCoefficients& passage : c.passages) {
    passage.resistance.value = passage.kind == PassageKind::Cooler ? 1.3 : 1.06;
    if (passage.kind == PassageKind::Leak) {
      passage.resistance.value = 1.0;
      passage.effective_area *= 0.9;
    }
  }
  c.exit.discharge.value = discharge;
  c.exit.pressure.value = pressure;
  return c;
}

base::SolvedPassage solved_passage(const PassageCoefficients& passage, const PassageState& state) {
  base::SolvedPassage one;
  one.name = passage.name;
  one.kind = passage.kind;
  one.area = passage.area;
  one.mass_flow = state.mass_flow;
  one.heat = state.heat;
  one.pressure_drop = state.pressure_drop;
  one.joins_decks = passage.joins_decks;
  one.mass_flow_band = 0.01;
  return one;
}

base::SolvedCase solved_case(const VariantSpec& spec, const Coefficients& coefficients) {
  const State state = Model(spec, coefficients).solve(stated_condition(spec));
  base::SolvedCase one;
  one.folder = one.variant = spec.variant.name;
  one.grid = "draft";
  one.n_cells = 70000;
  one.status = "settled";
  one.flight.true_airspeed = spec.flight.true_airspeed;
  one.flight.pressure = spec.flight.air.pressure;
  one.flight.temperature = spec.flight.air.temperature;
  one.flight.density = spec.flight.air.density;
  one.flight.dynamic_pressure = state.dynamic_pressure;
  one.flight.reference_pressure = state.reference_pressure;
  one.disk_loading = state.disk_loading;
  one.deck_pressure_difference = state.deck_pressure_difference();
  for (std::size_t i = 0; i < 2; ++i) {
    base::SolvedInlet& inlet = one.inlets.emplace_back();
    inlet.side = i == 0 ? Side::Left : Side::Right;
    inlet.area = coefficients.inlets[i].area;
    inlet.mass_flow = state.inlets[i].mass_flow;
    inlet.velocity_ratio = state.inlets[i].velocity_ratio;
    inlet.total_pressure_ahead = state.inlets[i].total_pressure_ahead;
    inlet.deck_pressure = state.upper_deck_pressure[i];
    inlet.loss = 1.0;
    inlet.loss_band = 0.02;
  }
  for (std::size_t i = 0; i < state.passages.size(); ++i) {
    one.passages.push_back(solved_passage(coefficients.passages[i], state.passages[i]));
  }
  one.exit.area = coefficients.exit.area;
  one.exit.mass_flow = state.exit_mass_flow;
  one.exit.density = state.exit_density;
  one.exit.pressure = state.exit_pressure;
  one.exit.lower_deck_pressure = state.lower_deck_pressure;
  one.exit.discharge = coefficients.exit.discharge.value;
  one.exit.pressure_coefficient = coefficients.exit.pressure.value;
  one.exit.mass_flow_band = 0.02;
  return one;
}

base::SolvedFlow made_flow() {
  const std::vector<VariantSpec>& variants = study().variants;
  base::SolvedFlow flow;
  flow.file = "study-study/solved_flow.json";
  flow.study_file = "study.toml";
  flow.study_text = study_text();
  flow.study_hash = base::sha256(study_text());
  flow.cases = {solved_case(variants[0], chosen(variants[0], 0.94, -0.2)),
                solved_case(variants[2], chosen(variants[2], 0.90, -0.4))};
  return flow;
}

/// Lips of 0 and 40 deg solved.
base::SolvedFlow solved_flow() {
  static const base::SolvedFlow one = made_flow();
  return one;
}

Coefficients handed_over(const VariantSpec& spec, const base::SolvedFlow& flow = solved_flow()) {
  return SolvedCases(flow).put_into(default_coefficients(spec), spec);
}

const PassageCoefficients& passage(const Coefficients& c, const std::string& name) {
  for (const PassageCoefficients& one : c.passages) {
    if (one.name == name) return one;
  }
  throw std::out_of_range(name);
}

// The bisection for a core's drop and the sums of the decks leave rounding only.
constexpr double exact = 1e-6;

TEST(SolvedCases, GiveBackTheCoefficientsTheyWereMadeWith) {
  const Coefficients c = handed_over(study().variants[0]);
  EXPECT_NEAR(c.inlets[0].propeller_rise.value, 1.4, exact);
  EXPECT_NEAR(c.inlets[1].propeller_rise.value, 0.8, exact);
  for (const LossPoint& point : c.inlets[0].solved_loss) EXPECT_NEAR(point.loss, 1.7, 1e-4);
  for (const LossPoint& point : c.inlets[1].solved_loss) EXPECT_NEAR(point.loss, 1.1, 1e-4);
  EXPECT_NEAR(passage(c, "l1").resistance.value, 1.06, 1e-4);
  EXPECT_NEAR(passage(c, "oil_cooler").resistance.value, 1.3, 1e-4);
  EXPECT_NEAR(passage(c, "leak_rear_baffle_left").effective_area, 0.9 * 3e-4, 1e-8);
  EXPECT_NEAR(c.exit.discharge.value, 0.94, 1e-4);
  EXPECT_NEAR(c.exit.pressure.value, -0.2, exact);
}

TEST(SolvedCases, TheNetworkGivesBackTheCasesThemselves) {
  const base::SolvedFlow flow = solved_flow();
  for (const std::size_t i : {0U, 1U}) {
    const VariantSpec& spec = study().variants[2 * i];
    const State state = Model(spec, handed_over(spec)).solve(stated_condition(spec));
    const base::SolvedCase& one = flow.cases[i];
    EXPECT_NEAR(state.deck_pressure_difference() / one.deck_pressure_difference, 1.0, 1e-4);
    EXPECT_NEAR(state.inlets[0].mass_flow / one.inlets[0].mass_flow, 1.0, 1e-4);
    EXPECT_NEAR(state.exit_mass_flow / one.exit.mass_flow, 1.0, 1e-4);
  }
}

// Half way between 0.94 and 0.90, -0.2 and -0.4.
TEST(SolvedCases, ALipBetweenSolvedOnesIsInterpolatedAndSaysSo) {
  const Coefficients c = handed_over(study().variants[1]);
  EXPECT_NEAR(c.exit.discharge.value, 0.92, 1e-4);
  EXPECT_NEAR(c.exit.pressure.value, -0.3, exact);
  EXPECT_THAT(c.exit.pressure.source, HasSubstr("from CFD: between cases "));
  EXPECT_THAT(c.notes, Contains(HasSubstr("lip angle 20 deg lies between solved angles of 0 and 40 deg")));
}

TEST(SolvedCases, ALipBeyondSolvedOnesIsHeldAndSaysSo) {
  base::SolvedFlow flow = solved_flow();
  flow.cases.erase(flow.cases.begin());  // 40 deg is left
  const Coefficients c = handed_over(study().variants[0], flow);
  EXPECT_NEAR(c.exit.pressure.value, -0.4, exact);
  EXPECT_THAT(c.notes, Contains(AllOf(HasSubstr("beyond the solved ones"), HasSubstr("40 deg are held"))));
}

TEST(SolvedCases, SourcesNameCaseGridCellsAndStatus) {
  const Coefficients c = handed_over(study().variants[0]);
  const std::string name = study().variants[0].variant.name;
  EXPECT_THAT(c.exit.pressure.source,
              HasSubstr("from CFD: case " + name + ", draft grid, 70000 cells, settled"));
  EXPECT_THAT(c.inlets[0].solved_loss_origin.source, HasSubstr("from CFD: mean of cases " + name));
  EXPECT_THAT(
      c.notes,
      Contains(AllOf(HasSubstr("Left inlet: loss solved at velocity ratio"), HasSubstr("an extrapolation"))));
}

TEST(SolvedCases, PartsThatNoCaseHasKeepHandbooksAndAreNamed) {
  const VariantSpec wider = variant_with("gap = \"75 mm\"", "gap = \"90 mm\"");
  const Coefficients c = handed_over(wider);
  EXPECT_DOUBLE_EQ(c.exit.pressure.value, default_coefficients(wider).exit.pressure.value);
  EXPECT_FALSE(c.inlets[0].solved_loss.empty());
  EXPECT_THAT(c.notes,
              Contains(AllOf(HasSubstr("No solved case has these dimensions"), HasSubstr(": exit."))));
}

TEST(SolvedCases, OneInletsOtherDimensionsLeaveTheOtherSolved) {
  const VariantSpec spec =
      variant_with("[leaks]\nrear", "[inlet_right]\ndiameter = \"120 mm\"\n[leaks]\nrear");
  const Coefficients c = handed_over(spec);
  EXPECT_FALSE(c.inlets[0].solved_loss.empty());
  EXPECT_TRUE(c.inlets[1].solved_loss.empty());
  EXPECT_THAT(c.notes, Contains(HasSubstr(": right inlet.")));
}

TEST(SolvedCases, AnotherCoreLawAndAnotherLeakKeepTheirOwn) {
  const Coefficients law =
      handed_over(variant_with("core_pressure_drop = \"1200 Pa\"", "core_pressure_drop = \"1300 Pa\""));
  EXPECT_DOUBLE_EQ(passage(law, "l1").resistance.value, 1.0);
  EXPECT_THAT(law.notes, Contains(AllOf(HasSubstr("l1"), HasSubstr("r2"), Not(HasSubstr("oil cooler")))));
  const Coefficients leak =
      handed_over(variant_with("rear_baffle_left = \"3 cm2\"\n[oil", "rear_baffle_left = \"2 cm2\"\n[oil"));
  EXPECT_NEAR(passage(leak, "leak_rear_baffle_left").effective_area, 2e-4, 1e-12);
  EXPECT_THAT(leak.notes, Contains(HasSubstr("leak rear baffle left")));
}

TEST(SolvedCases, UnsoundCasesAreTakenOnlyWhereNoSoundOneSpeaksAndSaySo) {
  base::SolvedFlow flow = solved_flow();
  flow.cases[0].status = "not settled";
  flow.cases[1].flags = {"mass balance off"};
  const Coefficients both = handed_over(study().variants[0], flow);
  EXPECT_THAT(both.exit.pressure.source, HasSubstr("not settled"));
  EXPECT_THAT(both.notes, Contains(HasSubstr("is not settled: what is taken from it is as doubtful")));
  EXPECT_THAT(both.notes, Contains(HasSubstr("flagged (mass balance off)")));
  flow.cases[1].flags.clear();
  const Coefficients one = handed_over(study().variants[0], flow);
  EXPECT_THAT(one.inlets[0].solved_loss_origin.source, Not(HasSubstr("not settled")));
  EXPECT_EQ(one.inlets[0].solved_loss.size(), 1U);
}

// 1 % of a core's flow is 2 % of its drop; where the grid's error is unknown 5 % of a flow, 10 % of a drop
// more.
TEST(SolvedCases, BandsHoldTheCasesOwnAndAnAllowanceForASingleGrid) {
  base::SolvedFlow flow = solved_flow();
  flow.cases.pop_back();
  const Coefficients single = handed_over(study().variants[0], flow);
  EXPECT_NEAR(passage(single, "l1").resistance.half_band, 0.12 * 1.06, 1e-4);
  EXPECT_NEAR(single.exit.discharge.half_band, 0.07 * 0.94, 1e-4);
  EXPECT_NEAR(single.inlets[0].solved_loss_origin.half_band, 0.12, 1e-9);
  flow.cases[0].bands_hold_grids = true;
  EXPECT_NEAR(passage(handed_over(study().variants[0], flow), "l1").resistance.half_band, 0.02 * 1.06, 1e-4);
}

TEST(SolvedCases, TwoConditionsOfOneShapeGiveTheirMeanAndHalfTheirSpread) {
  base::SolvedFlow flow = solved_flow();
  const VariantSpec& slow = study().variants[3];
  flow.cases[1] = solved_case(slow, chosen(slow, 0.90, -0.26));
  for (base::SolvedCase& one : flow.cases) one.bands_hold_grids = true;
  const Coefficients c = handed_over(study().variants[0], flow);
  EXPECT_NEAR(c.exit.pressure.value, -0.23, exact);
  EXPECT_NEAR(c.exit.pressure.half_band, 0.03, exact);
  EXPECT_NEAR(c.exit.discharge.value, 0.92, 1e-4);
}

TEST(SolvedCases, StandstillSaysNothingAboutFlight) {
  base::SolvedFlow flow = solved_flow();
  for (base::SolvedCase& one : flow.cases) one.flight.reference_name = "thrust per disk area";
  const Coefficients c = handed_over(study().variants[0], flow);
  EXPECT_TRUE(c.inlets[0].solved_loss.empty());
  EXPECT_THAT(c.notes, Contains(HasSubstr("near standstill: it says nothing about flight")));
}

TEST(SolvedCases, WhatWasLeftOutIsSaid) {
  base::SolvedFlow flow = solved_flow();
  flow.left_out = {"lip_60: failed: diverged"};
  EXPECT_THAT(handed_over(study().variants[0], flow).notes,
              Contains("Not handed over: lip_60: failed: diverged."));
}

TEST(SolvedCases, AVariantThatTheStudyLacksIsRefused) {
  base::SolvedFlow flow = solved_flow();
  flow.cases[1].variant = "other";
  EXPECT_THAT([&] { handed_over(study().variants[0], flow); },
              ThrowsMessage<base::InputError>(AllOf(HasSubstr("study-study/solved_flow.json"),
                                                    HasSubstr("\"other\" is not in the study"))));
}

TEST(SolvedCases, AnEstimateSectionInTheSolvedStudyDoesNotStandInTheWay) {
  base::SolvedFlow flow = solved_flow();
  flow.study_text = "[estimate]\nsolved_flow = \"nowhere.json\"\n" + flow.study_text;
  EXPECT_FALSE(handed_over(study().variants[0], flow).inlets[0].solved_loss.empty());
}

}  // namespace
}  // namespace cowlwright::network
