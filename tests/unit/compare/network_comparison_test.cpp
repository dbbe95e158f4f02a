// SPDX-License-Identifier: GPL-3.0-or-later
//
// Comparisons by the lumped network itself.
#include "cases/compare/network_estimator.h"
#include "cases/compare/next_study.h"
#include "cases/compare/wording.h"
#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>

namespace cowlwright::compare {
namespace {

using testing::HasSubstr;
using testing::StartsWith;

Study study(const std::string& name) {
  return read_study(std::filesystem::path(COWLWRIGHT_TEST_DATA) / "studies" / name);
}

VariantSpec good_cowl() {
  return study("good_cowl.toml").variants.front();
}

Comparison compared(const VariantSpec& good, const VariantSpec& mine) {
  return compare_installations(good, mine, network_estimator());
}

TEST(HotAndGoodCowl, DifferInSharpInletsAndLeaksFirst) {
  const Comparison c = compared(good_cowl(), study("hot_cowl.toml").variants.front());
  EXPECT_LT(c.mine[0], c.good[0]) << "deck pressure difference";
  EXPECT_LT(c.mine[1], c.good[1]) << "air through the cylinders";
  ASSERT_EQ(c.effects.size(), 2U);
  EXPECT_THAT((std::vector{c.effects[0].label, c.effects[1].label}),
              testing::UnorderedElementsAre("both inlets, edge", "leak cowl seal, both sides"));
  for (const Effect& effect : c.effects) {
    EXPECT_LT(effect.value[0], 0.0) << effect.label;
    EXPECT_LT(effect.value[1], 0.0) << effect.label;
    EXPECT_GT(effect.band[0], 0.0) << effect.label;
  }
  EXPECT_NEAR(c.effects[0].value[0] + c.effects[1].value[0], c.mine[0] - c.good[0], 1e-6);
  ASSERT_EQ(c.not_in_model.size(), 1U);
  EXPECT_EQ(c.details[c.not_in_model[0]].label, "fuselage length");
}

TEST(HotAndGoodCowl, AreExplainedTheOtherWayRoundToo) {
  const VariantSpec hot = study("hot_cowl.toml").variants.front();
  const Comparison there = compared(good_cowl(), hot), back = compared(hot, good_cowl());
  ASSERT_EQ(there.effects.size(), back.effects.size());
  for (std::size_t e = 0; e < there.effects.size(); ++e) {
    EXPECT_EQ(there.effects[e].label, back.effects[e].label);
    EXPECT_NEAR(there.effects[e].value[0], -back.effects[e].value[0], 1e-6);
    EXPECT_NEAR(there.effects[e].band[0], back.effects[e].band[0], 1e-6);
  }
}

VariantSpec with_bare(VariantSpec spec, bool is_left) {
  shape::InletSpec& in = is_left ? spec.shape.inlets.left : spec.shape.inlets.right;
  in.ring = shape::RingStyle::None;
  in.lip_radius = 0.0;
  return spec;
}

TEST(MirroredDifferences, HaveMirroredEffects) {
  const VariantSpec clockwise = good_cowl();
  VariantSpec anticlockwise = clockwise;
  anticlockwise.propeller.rotation = propeller::Rotation::Anticlockwise;
  const Comparison left = compared(clockwise, with_bare(clockwise, true));
  const Comparison right = compared(anticlockwise, with_bare(anticlockwise, false));
  ASSERT_EQ(left.effects.size(), 1U);
  ASSERT_EQ(right.effects.size(), 1U);
  EXPECT_EQ(left.effects[0].label, "left inlet, edge");
  EXPECT_EQ(right.effects[0].label, "right inlet, edge");
  EXPECT_LT(left.effects[0].value[0], 0.0);
  EXPECT_NEAR(right.effects[0].value[0] / left.effects[0].value[0], 1.0, 1e-6);
  EXPECT_NEAR(right.effects[0].band[0] / left.effects[0].band[0], 1.0, 1e-6);
}

TEST(OneDifference, GetsAllOfTheChange) {
  VariantSpec mine = good_cowl();
  mine.shape.exit.gap = 0.060;
  const Comparison c = compared(good_cowl(), mine);
  ASSERT_EQ(c.effects.size(), 1U);
  EXPECT_LT(c.effects[0].value[0], 0.0);
  EXPECT_NEAR(c.effects[0].value[0], c.mine[0] - c.good[0], 1e-9);
  EXPECT_NEAR(share_of_its_kind(c, c.effects[0], 0), 1.0, 1e-12);
}

TEST(OtherFlight, IsToldApartFromTheInstallation) {
  VariantSpec mine = with_bare(good_cowl(), true);
  mine.flight.true_airspeed *= 0.9;
  const Comparison c = compared(good_cowl(), mine);
  EXPECT_LT(c.sum(Topic::Condition, 0), 0.0);
  EXPECT_LT(c.sum(Topic::Installation, 0), 0.0);
  EXPECT_THAT(condition_sentence(c),
              StartsWith("Not the same flight condition and power: airspeed 48.62 m/s (94.5 kt) "
                         "instead of 54.02 m/s (105 kt)."));
  EXPECT_EQ(condition_sentence(compared(good_cowl(), with_bare(good_cowl(), true))),
            "Both are estimated in the same flight condition and at the same power.");
}

TEST(AStudyThatPutsDetailsBack, ReadsWithoutComplaintAndEndsAsTheGoodOne) {
  const Study hot = study("hot_cowl.toml");
  const VariantSpec good = good_cowl(), mine = hot.variants.front();
  const Comparison c = compared(good, mine);
  const std::vector<Candidate> candidates = worth_a_run(c);
  ASSERT_FALSE(candidates.empty());
  const NextStudy next = next_study(c, candidates, good, mine, hot, "/some/where/next.toml");
  EXPECT_TRUE(next.left_out.empty());
  ASSERT_EQ(next.effects.size(), candidates.size());
  const Study read = parse_study(next.text, "next.toml");
  const std::size_t n = next.effects.size();
  ASSERT_EQ(read.variants.size(), n > 1 ? n + 2 : 2);
  EXPECT_TRUE(differing_details(read.variants.front(), mine).empty());
  for (std::size_t row = 0; row < n; ++row) {
    const std::vector<Detail> put_back = differing_details(mine, read.variants[row + 1]);
    ASSERT_EQ(put_back.size(), 1U);
    EXPECT_EQ(put_back[0].label, c.effects[next.effects[row]].label);
  }
  if (n == c.effects.size()) {
    for (const Detail& left : differing_details(read.variants.back(), good)) {
      EXPECT_EQ(left.label, "fuselage length");
    }
  }
}

TEST(AStudyThatPutsDetailsBack, SaysWhatCannotBePutBack) {
  VariantSpec good = good_cowl();
  for (core::Law& law : good.core.law) {
    law.kind = core::LawKind::Table;
    for (core::LawPoint& point : law.points) point.pressure_drop *= 0.7;
  }
  const Study mine = study("good_cowl.toml");
  const Comparison c = compared(good, mine.variants.front());
  ASSERT_EQ(c.effects.size(), 1U);
  const NextStudy next = next_study(c, {{0, "asked for"}}, good, mine.variants.front(), mine, "next.toml");
  EXPECT_TRUE(next.text.empty());
  ASSERT_EQ(next.left_out.size(), 1U);
  EXPECT_EQ(next.left_out[0],
            "pressure drop of the cylinders: a law of another kind cannot be put back by a key");
}

TEST(HotHeads, FollowTheAirAndLoseTheirMargin) {
  VariantSpec good = study("six_cylinder_envelope.toml").variants.front();
  VariantSpec mine = good;
  mine.shape.exit.gap *= 0.8;
  const Comparison c = compare_installations(good, mine, network_estimator(&good));
  ASSERT_EQ(c.quantities.size(), 4U);
  EXPECT_EQ(c.quantities[2].name, "hottest cylinder (head, at its bottom)");
  EXPECT_EQ(c.quantities[3].name, "smallest margin (head, at its bottom)");
  ASSERT_EQ(c.effects.size(), 1U);
  EXPECT_LT(c.effects[0].value[0], 0.0) << "deck pressure difference";
  EXPECT_GT(c.effects[0].value[2], 0.0) << "temperature";
  EXPECT_NEAR(c.effects[0].value[3], -c.effects[0].value[2], 1e-9) << "one limit for both";
  EXPECT_THAT(c.notes, testing::Contains(HasSubstr("one engine in both installations")));
  EXPECT_THAT(value_text(c.quantities[2], 473.15), HasSubstr("200 degC (392 degF)"));
  EXPECT_THAT(change_text(c.quantities[2], 10.0), HasSubstr("+10 degC (+18 degF)"));
}

TEST(HotHeads, AreLeftOutWhenNothingIsKnownOfTheEngine) {
  const VariantSpec good = good_cowl();
  const Estimator estimator = network_estimator(&good);
  EXPECT_EQ(estimator.quantities.size(), 2U);
  ASSERT_EQ(estimator.notes.size(), 1U);
  EXPECT_THAT(estimator.notes[0], HasSubstr("No head temperatures"));
}

TEST(NoEstimate, NamesTheInstallationThatHasNone) {
  VariantSpec still = good_cowl();
  still.propeller.present = false;
  still.flight.true_airspeed = 0.0;
  try {
    compared(good_cowl(), still);
    FAIL() << "an installation in still air without a propeller was compared";
  } catch (const std::runtime_error& error) {
    EXPECT_THAT(error.what(), StartsWith("The other installation has no estimate: "));
  }
}

}  // namespace
}  // namespace cowlwright::compare
