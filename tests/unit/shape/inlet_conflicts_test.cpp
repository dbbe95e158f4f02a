// SPDX-License-Identifier: GPL-3.0-or-later
//
// Rules of openings, diffusers and the alternator: broken on purpose, each names both keys, the value and its
// bound in mm.
#include "geometry/shape/spec.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <limits>
#include <string>
#include <vector>

namespace cowlwright::shape {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;

/// A change to a sound shape, and what the message about it must hold.
struct Broken {
  const char* name;
  void (*change)(ShapeSpec&);
  std::string first_key;
  std::string second_key;
  std::vector<std::string> pieces;  ///< value and bound, worked out by hand
};

/// An oval inlet with a diffuser on the left, a rectangular one on the right, and an alternator.
ShapeSpec sound_spec() {
  ShapeSpec spec;
  spec.inlets.left.opening = OpeningShape::Oval;
  spec.inlets.left.opening_width = 0.14;
  spec.inlets.left.opening_height = 0.10;
  spec.inlets.left.diffuser_length = 0.08;
  spec.inlets.left.diffuser_area_ratio = 1.44;
  spec.inlets.right.opening = OpeningShape::Rectangular;
  spec.inlets.right.opening_width = 0.14;
  spec.inlets.right.opening_height = 0.10;
  spec.alternator.side = base::Side::Left;
  return spec;
}

std::string all_messages(const ShapeSpec& spec) {
  std::string text;
  for (const ShapeConflict& c : shape_conflicts(spec)) text += c.message + "\n";
  return text;
}

TEST(InletRules, AcceptTheSoundShape) {
  EXPECT_THAT(all_messages(sound_spec()), IsEmpty());
}

class BrokenInletRule : public ::testing::TestWithParam<Broken> {};

TEST_P(BrokenInletRule, NamesBothKeysValueAndBound) {
  ShapeSpec spec = sound_spec();
  GetParam().change(spec);
  const std::vector<ShapeConflict> conflicts = shape_conflicts(spec);
  const auto found = std::find_if(conflicts.begin(), conflicts.end(), [](const ShapeConflict& c) {
    return c.first_key == GetParam().first_key && c.second_key == GetParam().second_key;
  });
  ASSERT_NE(found, conflicts.end()) << all_messages(spec);
  EXPECT_THAT(found->message, HasSubstr(GetParam().first_key));
  EXPECT_THAT(found->message, HasSubstr(GetParam().second_key));
  for (const std::string& piece : GetParam().pieces) EXPECT_THAT(found->message, HasSubstr(piece));
}

INSTANTIATE_TEST_SUITE_P(
    OfTheInlets,
    BrokenInletRule,
    ::testing::Values(
        // 49 % of the shorter side
        Broken{"CornersWithoutSides",
               [](ShapeSpec& s) { s.inlets.right.corner_radius = 0.05; },
               "inlet_right.corner_radius",
               "inlet_right.opening_height",
               {"= 50.0 mm", "<= 49.0 mm"}},
        Broken{"SharpCorners",
               [](ShapeSpec& s) { s.inlets.right.corner_radius = 0.001; },
               "inlet_right.corner_radius",
               "inlet_right.opening_height",
               {"= 1.0 mm", ">= 3.0 mm"}},
        // The face is 170 mm high above and below: 340 less twice 31 mm of ring and margin is 278 mm; a
        // circle comes near it, an oval of the same shape as this one less.
        Broken{"OvalWiderThanFace",
               [](ShapeSpec& s) {
                 s.inlets.left.opening_width = 0.5;
                 s.inlets.left.opening_height = 0.4;
               },
               "inlet_left.opening_width",
               "cowl.face_width",
               {"= 500.0 mm", "<= 3"}},
        // 360 - 160 - 30
        Broken{"DiffuserLeavesNoThroat",
               [](ShapeSpec& s) { s.inlets.left.diffuser_length = 0.18; },
               "inlet_left.diffuser_length",
               "plenum.front_station",
               {"= 180.0 mm", "<= 170.0 mm"}},
        Broken{"DiffuserTooShort",
               [](ShapeSpec& s) { s.inlets.left.diffuser_length = 0.01; },
               "inlet_left.diffuser_length",
               "plenum.front_station",
               {"= 10.0 mm", ">= 20.0 mm"}},
        // 70 mm of half width twice as wide, 10 mm beyond it on either side of the middle
        Broken{"DiffusersIntoEachOther",
               [](ShapeSpec& s) {
                 s.inlets.spacing = 0.30;
                 s.inlets.left.diffuser_area_ratio = 4.0;
               },
               "inlets.spacing",
               "inlet_left.opening_width",
               {"= 300.0 mm", ">= 300.0 mm"}},
        // 350 mm out, 140 mm of half width and 12 mm of step: beyond the skin's half width of some 482 mm
        Broken{"DiffuserBesideDeck",
               [](ShapeSpec& s) {
                 s.inlets.spacing = 0.70;
                 s.inlets.left.diffuser_area_ratio = 4.0;
               },
               "inlets.spacing",
               "plenum.front_station",
               {"= 700.0 mm", "<= 6"}},
        Broken{"OneRingOnly",
               [](ShapeSpec& s) { s.inlets.left.ring = RingStyle::None; },
               "inlet_left.lip_radius",
               "inlet_left.ring",
               {"= 20.0 mm", "<= 0.0 mm"}}),
    [](const auto& test) { return test.param.name; });

INSTANTIATE_TEST_SUITE_P(
    OfTheAlternator,
    BrokenInletRule,
    ::testing::Values(
        // 360 + 25
        Broken{"InTheFrontWall",
               [](ShapeSpec& s) { s.alternator.station = 0.37; },
               "alternator.station",
               "plenum.front_station",
               {"= 370.0 mm", ">= 385.0 mm"}},
        // 485 - 40 - 15
        Broken{"BehindTheRamp",
               [](ShapeSpec& s) { s.alternator.station = 0.45; },
               "alternator.station",
               "engine.first_core_station",
               {"= 450.0 mm", "<= 430.0 mm"}},
        // 500 - 20 - 390
        Broken{"OverTheFirstCore",
               [](ShapeSpec& s) { s.alternator.length = 0.10; },
               "alternator.length",
               "engine.first_core_station",
               {"= 100.0 mm", "<= 90.0 mm"}},
        // The roof above y = 340 mm at 0.39 to 0.47: 0.49 of width, 0.25 of height, some 220 mm; less 80
        Broken{"InTheRoof",
               [](ShapeSpec& s) { s.alternator.height = 0.18; },
               "alternator.height",
               "cowl.height_above",
               {"= 180.0 mm", "<= 1"}},
        // 75 + 100 - 20 - 60
        Broken{"InTheLid",
               [](ShapeSpec& s) {
                 s.plenum.roof = PlenumRoof::Lid;
                 s.alternator.height = 0.10;
               },
               "alternator.height",
               "plenum.lid_height",
               {"= 100.0 mm", "<= 95.0 mm"}},
        // Bottom at 65 mm, 10 mm below the ramp's upper end, where it is flat. The ramp rises 127 mm from 20
        // - 1.2 * 50 - 12 mm; at 470 mm (88 % of its run, 0.9603 of its rise) it is 69.95 mm high: 20 mm of
        // air and 60 mm of radius above.
        Broken{"InTheFlatEndOfTheRamp",
               [](ShapeSpec& s) { s.alternator.height = 0.125; },
               "alternator.height",
               "alternator.station",
               {"= 125.0 mm", ">= 150.0 mm"}},
        // Skin at 390 mm: half axes 496.1 and 255.6 mm; at z = 120 mm it is 496.1 (1 - 0.4695³)^(1/3) = 478.3
        // mm out, less 20 and 60.
        Broken{"InTheCowlsSide",
               [](ShapeSpec& s) { s.alternator.distance = 0.45; },
               "alternator.distance",
               "cowl.width",
               {"= 450.0 mm", "<= 398.3 mm"}},
        // 60 + 20
        Broken{"AcrossTheMiddle",
               [](ShapeSpec& s) { s.alternator.distance = 0.05; },
               "alternator.distance",
               "alternator.diameter",
               {"= 50.0 mm", ">= 80.0 mm"}},
        // 60 + 20 + 6
        Broken{"InTheCentreWall",
               [](ShapeSpec& s) {
                 s.plenum.kind = PlenumKind::Split;
                 s.alternator.distance = 0.05;
               },
               "alternator.distance",
               "plenum.wall_thickness",
               {"= 50.0 mm", ">= 86.0 mm"}},
        // 110 + 20 + 60
        Broken{"InTheCrankcase",
               [](ShapeSpec& s) { s.alternator.distance = 0.15; },
               "alternator.distance",
               "engine.crankcase_width",
               {"= 150.0 mm", ">= 190.0 mm"}}),
    [](const auto& test) { return test.param.name; });

TEST(InletRules, DoNotLetNotANumberPass) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  for (double InletSpec::*value : {&InletSpec::opening_width, &InletSpec::diffuser_length}) {
    ShapeSpec spec = sound_spec();
    spec.inlets.left.*value = nan;
    EXPECT_NE(all_messages(spec), "");
  }
  ShapeSpec spec = sound_spec();
  spec.alternator.height = nan;
  EXPECT_NE(all_messages(spec), "");
}

TEST(InletRules, SpeakOfBothInletsWhenTheyAreEqual) {
  ShapeSpec spec = sound_spec();
  spec.inlets.right.corner_radius = 0.05;
  spec.inlets.left = spec.inlets.right;
  EXPECT_THAT(all_messages(spec), HasSubstr("inlets.corner_radius = 50.0 mm"));
}

}  // namespace
}  // namespace cowlwright::shape
