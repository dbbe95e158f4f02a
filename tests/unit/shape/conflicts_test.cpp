// SPDX-License-Identifier: GPL-3.0-or-later
//
// Every rule between dimensions: broken on purpose, it names both keys, the value and its bound in mm.
#include "geometry/shape/spec.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <vector>

namespace cowlwright::shape {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;

/// A change to the default shape, and what the message about it must hold.
struct Broken {
  const char* name;
  void (*change)(ShapeSpec&);
  std::string first_key;
  std::string second_key;
  std::vector<std::string> pieces;  ///< value and bound, worked out by hand
};

std::string all_messages(const ShapeSpec& spec) {
  std::string text;
  for (const ShapeConflict& c : shape_conflicts(spec)) text += c.message + "\n";
  return text;
}

class BrokenRule : public ::testing::TestWithParam<Broken> {};

TEST_P(BrokenRule, NamesBothKeysValueAndBound) {
  ShapeSpec spec;
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

// Free air beside a body: 20 % of the gap of 75 mm is 15 mm. Thinnest body: a quarter of the gap, 18.75 mm,
// or 20 mm.
INSTANTIATE_TEST_SUITE_P(
    OfTheExitsBodies,
    BrokenRule,
    ::testing::Values(
        Broken{"StrutTooThin",
               [](ShapeSpec& s) { s.exit.strut_diameter = 0.019; },
               "exit.strut_diameter",
               "exit.gap",
               {"= 19.0 mm", ">= 20.0 mm"}},
        // 25 mm to the measurement plane, 9.4 + 5 mm to the strut, the strut, 10 mm to the firewall
        Broken{"StrutLongerThanTheChannel",
               [](ShapeSpec& s) { s.exit.strut_diameter = 0.060; },
               "exit.overhang",
               "exit.strut_diameter",
               {"= 100.0 mm", ">= 109.4 mm"}},
        Broken{"PipesTooThin",
               [](ShapeSpec& s) { s.exit.exhaust_diameter = 0.010; },
               "exit.exhaust_diameter",
               "exit.gap",
               {"= 10.0 mm", ">= 20.0 mm"}},
        // 530 - 36 - 2 * 15
        Broken{"PipesTouchTheSides",
               [](ShapeSpec& s) {
                 s.exit.exhaust_diameter = 0.036;
                 s.exit.exhaust_spacing = 0.48;
               },
               "exit.exhaust_spacing",
               "exit.width",
               {"= 480.0 mm", "<= 464.0 mm"}},
        // 36 + 15
        Broken{"PipesTouchEachOther",
               [](ShapeSpec& s) {
                 s.exit.exhaust_diameter = 0.036;
                 s.exit.exhaust_spacing = 0.045;
               },
               "exit.exhaust_spacing",
               "exit.exhaust_diameter",
               {"= 45.0 mm", ">= 51.0 mm"}},
        // 36 + 40 + 2 * 15
        Broken{"PipesTouchTheStrut",
               [](ShapeSpec& s) {
                 s.exit.exhaust_diameter = 0.036;
                 s.exit.strut_diameter = 0.040;
                 s.exit.exhaust_spacing = 0.10;
               },
               "exit.exhaust_spacing",
               "exit.strut_diameter",
               {"= 100.0 mm", ">= 106.0 mm"}},
        // The channel is 70.1 mm high where the run begins: 40 mm are left between 2 * 15 mm.
        Broken{"PipesThickerThanTheGapAllows",
               [](ShapeSpec& s) { s.exit.exhaust_diameter = 0.060; },
               "exit.exhaust_diameter",
               "exit.gap",
               {"= 60.0 mm", "<= "}},
        // crankcase to 870 + 50 + 20 mm, then 20 mm, the pipe, 40 mm
        Broken{"PipesAtTheCrankcase",
               [](ShapeSpec& s) {
                 s.cowl.firewall_station = 1.02;
                 s.exit.exhaust_diameter = 0.036;
               },
               "cowl.firewall_station",
               "exit.exhaust_diameter",
               {"= 1020.0 mm", ">= 1036.0 mm"}},
        Broken{"SidePlatesWithoutLip",
               [](ShapeSpec& s) {
                 s.exit.lip_length = 0.0;
                 s.exit.side_plates = true;
               },
               "exit.lip_length",
               "exit.lip_thickness",
               {"= 0.0 mm", ">= 10.0 mm"}}),
    [](const auto& each) { return each.param.name; });

INSTANTIATE_TEST_SUITE_P(
    OfTheNose,
    BrokenRule,
    ::testing::Values(
        Broken{"FaceWiderThanCowl",
               [](ShapeSpec& s) { s.cowl.face_width = 1.10; },
               "cowl.face_width",
               "cowl.width",
               {"= 1100.0 mm", "<= 1020.0 mm"}},
        Broken{"FaceHigherThanCowl",
               [](ShapeSpec& s) { s.cowl.face_height_above = 0.30; },
               "cowl.face_height_above",
               "cowl.height_above",
               {"= 300.0 mm", "<= 270.0 mm"}},
        Broken{"FaceDeeperThanCowl",
               [](ShapeSpec& s) { s.cowl.face_depth_below = 0.50; },
               "cowl.face_depth_below",
               "cowl.depth_below",
               {"= 500.0 mm", "<= 420.0 mm"}},
        // half of 400 mm and 5 mm of face round it
        Broken{"SpinnerHigherThanFace",
               [](ShapeSpec& s) { s.spinner.diameter = 0.40; },
               "cowl.face_height_above",
               "propeller.spinner_diameter",
               {"= 170.0 mm", ">= 205.0 mm", "(propeller.spinner_diameter = 400.0 mm)"}},
        Broken{"SpinnerDeeperThanFace",
               [](ShapeSpec& s) { s.spinner.diameter = 0.40; },
               "cowl.face_depth_below",
               "propeller.spinner_diameter",
               {"= 170.0 mm", ">= 205.0 mm"}},
        // mouth 66.5 + 20 + 6, spinner 160 + 8: 260.5 mm from the shaft; 20 mm up leaves 259.7
        // mm to each side
        Broken{"InletsIntoSpinner",
               [](ShapeSpec& s) { s.inlets.spacing = 0.48; },
               "inlets.spacing",
               "propeller.spinner_diameter",
               {"= 480.0 mm", ">= 519.5 mm"}},
        // 2 (92.5 + 5) + 2 * 5
        Broken{"InletsIntoEachOther",
               [](ShapeSpec& s) { s.inlets.spacing = 0.20; },
               "inlets.spacing",
               "inlets.diameter",
               {"= 200.0 mm", ">= 205.0 mm"}},
        Broken{"InletsBeyondFace",
               [](ShapeSpec& s) { s.inlets.spacing = 0.80; },
               "inlets.spacing",
               "cowl.face_width",
               {"= 800.0 mm", "cowl.face_width = 860.0 mm"}},
        // The face is 170 mm high above the shaft line; the mouth takes 66.5 + 20 + 6 + 5 of
        // it, a little more
        // where the face's edge curves.
        Broken{"InletsAboveFace",
               [](ShapeSpec& s) { s.inlets.left.height = s.inlets.right.height = 0.10; },
               "inlets.height",
               "cowl.face_width",
               {"= 100.0 mm", "<= 72."}},
        Broken{"InletsBelowFace",
               [](ShapeSpec& s) { s.inlets.left.height = s.inlets.right.height = -0.10; },
               "inlets.height",
               "cowl.face_width",
               {"= -100.0 mm", ">= -72."}},
        Broken{"InletsLargerThanFace",
               [](ShapeSpec& s) { s.inlets.left.diameter = s.inlets.right.diameter = 0.30; },
               "inlets.diameter",
               "cowl.face_width",
               {"= 300.0 mm", "<= 27"}},
        Broken{"ThroatsBesideDeck",
               [](ShapeSpec& s) { s.inlets.spacing = 0.98; },
               "inlets.spacing",
               "plenum.front_station",
               {"= 980.0 mm"}},
        Broken{"BareHoleWithRadius",
               [](ShapeSpec& s) { s.inlets.left.ring = s.inlets.right.ring = RingStyle::None; },
               "inlets.lip_radius",
               "inlets.ring",
               {"= 20.0 mm", "<= 0.0 mm"}},
        Broken{"RingWithoutRadius",
               [](ShapeSpec& s) { s.inlets.left.lip_radius = s.inlets.right.lip_radius = 0.0; },
               "inlets.lip_radius",
               "inlets.ring_stand",
               {"= 0.0 mm", ">= 2.0 mm"}},
        Broken{"FlushRingThatStands",
               [](ShapeSpec& s) { s.inlets.left.ring_stand = s.inlets.right.ring_stand = 0.02; },
               "inlets.ring_stand",
               "inlets.lip_radius",
               {"= 20.0 mm", "<= 0.0 mm"}},
        Broken{"ProudRingThatDoesNotStand",
               [](ShapeSpec& s) { s.inlets.left.ring = s.inlets.right.ring = RingStyle::Proud; },
               "inlets.ring_stand",
               "inlets.lip_radius",
               {"= 0.0 mm", ">= 5.0 mm"}},
        // 140 - 30
        Broken{"RingInThePropeller",
               [](ShapeSpec& s) {
                 s.inlets.left.ring = s.inlets.right.ring = RingStyle::Proud;
                 s.inlets.left.ring_stand = s.inlets.right.ring_stand = 0.12;
               },
               "inlets.ring_stand",
               "cowl.nose_station",
               {"= 120.0 mm", "<= 110.0 mm"}},
        Broken{"NoseInThePropeller",
               [](ShapeSpec& s) { s.cowl.nose_station = 0.02; },
               "cowl.nose_station",
               "inlets.ring_stand",
               {"= 20.0 mm", ">= 30.0 mm"}},
        // 140 + 20 + 30
        Broken{"DeckAtTheRing",
               [](ShapeSpec& s) { s.plenum.front_station = 0.17; },
               "plenum.front_station",
               "inlets.lip_radius",
               {"= 170.0 mm", ">= 190.0 mm"}},
        // 1250 - 140 - 100
        Broken{"NoseToTheFirewall",
               [](ShapeSpec& s) { s.cowl.nose_length = 1.05; },
               "cowl.nose_length",
               "cowl.firewall_station",
               {"= 1050.0 mm", "<= 1010.0 mm"}}),
    [](const auto& each) { return each.param.name; });

INSTANTIATE_TEST_SUITE_P(OfEngineAndDecks,
                         BrokenRule,
                         ::testing::Values(
                             // 220 / 2 + 10
                             Broken{"CoresInTheCrankcase",
                                    [](ShapeSpec& s) { s.engine.core_inner = 0.115; },
                                    "engine.core_inner",
                                    "engine.crankcase_width",
                                    {"= 115.0 mm", ">= 120.0 mm"}},
                             Broken{"CoresInsideOut",
                                    [](ShapeSpec& s) { s.engine.core_outer = 0.15; },
                                    "engine.core_outer",
                                    "engine.core_inner",
                                    {"= 150.0 mm", ">= 170.0 mm"}},
                             Broken{"WallWiderThanCrankcase",
                                    [](ShapeSpec& s) {
                                      s.plenum.kind = PlenumKind::Split;
                                      s.engine.crankcase_width = 0.03;
                                    },
                                    "plenum.wall_thickness",
                                    "engine.crankcase_width",
                                    {"= 12.0 mm", "<= 10.0 mm"}},
                             // (510 - 12) (1 - (81/258)³)^(1/3) - 10 = 482.8
                             Broken{"CoresThroughTheSkin",
                                    [](ShapeSpec& s) { s.engine.core_outer = 0.50; },
                                    "engine.core_outer",
                                    "cowl.width",
                                    {"= 500.0 mm", "<= 482.8 mm"}},
                             Broken{"BaffleOnTheLastCore",
                                    [](ShapeSpec& s) { s.plenum.rear_baffle_clearance = 0.01; },
                                    "plenum.rear_baffle_clearance",
                                    "engine.core_length",
                                    {"= 10.0 mm", ">= 15.0 mm"}},
                             // 500 + 2 * 170 + 30 + 50 + 60
                             Broken{"EngineThroughTheFirewall",
                                    [](ShapeSpec& s) { s.cowl.firewall_station = 0.95; },
                                    "cowl.firewall_station",
                                    "engine.first_core_station",
                                    {"= 950.0 mm", ">= 980.0 mm"}},
                             // floor from 20 - 66.5 - 12 to 75: rise 133.5, run 0.6 of it; 360 + 80.1 + 15
                             Broken{"NoRoomForTheRamp",
                                    [](ShapeSpec& s) { s.engine.first_core_station = 0.42; },
                                    "engine.first_core_station",
                                    "plenum.front_station",
                                    {"= 420.0 mm", ">= 455.1 mm"}},
                             Broken{
                                 "RampBelowTheKeel",
                                 [](ShapeSpec& s) { s.inlets.left.height = s.inlets.right.height = -0.33; },
                                 "inlets.height",
                                 "cowl.depth_below",
                                 {"= -330.0 mm"}},
                             // roof over the crankcase's edge (258 (1 - (110/498)³)^(1/3) = 257.1) - 75 - 20
                             Broken{"CrankcaseThroughTheRoof",
                                    [](ShapeSpec& s) { s.engine.crankcase_rise = 0.20; },
                                    "engine.crankcase_rise",
                                    "cowl.height_above",
                                    {"= 200.0 mm", "<= 162.1 mm"}},
                             // keel (408 (1 - (110/498)³)^(1/3) = 406.5) - 75 - 20
                             Broken{"SumpThroughTheKeel",
                                    [](ShapeSpec& s) { s.engine.sump_drop = 0.35; },
                                    "engine.sump_drop",
                                    "cowl.depth_below",
                                    {"= 350.0 mm", "<= 311.5 mm"}},
                             // 2 (258 (1 - (410/498)³)^(1/3) - 20) = 2 (196.5 - 20)
                             Broken{"CoresFillTheDecks",
                                    [](ShapeSpec& s) { s.engine.core_depth = 0.40; },
                                    "engine.core_depth",
                                    "cowl.height_above",
                                    {"= 400.0 mm", "<= 353.0 mm"}}),
                         [](const auto& each) { return each.param.name; });

INSTANTIATE_TEST_SUITE_P(
    OfTheExit,
    BrokenRule,
    ::testing::Values(
        // half width 0.96 * 510 = 489.6 is the narrowest; less 12 and 1.5 * 87: 2 * 347.1
        Broken{"ExitWiderThanCowl",
               [](ShapeSpec& s) { s.exit.width = 0.75; },
               "exit.width",
               "cowl.width",
               {"= 750.0 mm", "<= 694.2 mm"}},
        Broken{"RampLongerThanChannel",
               [](ShapeSpec& s) { s.exit.overhang = 0.08; },
               "exit.overhang",
               "exit.ramp_radius",
               {"= 80.0 mm", ">= 95.0 mm"}},
        // belly at the exit's edge (360 (1 - (265/510)³)^(1/3) = 342.3) - 75 - 20
        Broken{"RampHigherThanFirewall",
               [](ShapeSpec& s) {
                 s.exit.ramp_radius = 0.26;
                 s.exit.overhang = 0.40;
               },
               "exit.ramp_radius",
               "fuselage.depth_below",
               {"= 260.0 mm", "<= 247.3 mm"}},
        Broken{"BellyBelowTheCowl",
               [](ShapeSpec& s) { s.fuselage.depth_below = 0.90; },
               "cowl.depth_below",
               "fuselage.depth_below",
               {"= 420.0 mm", "80 %"}},
        Broken{"LipThickerThanSkin",
               [](ShapeSpec& s) { s.exit.lip_thickness = 0.015; },
               "exit.lip_thickness",
               "cowl.skin_thickness",
               {"= 15.0 mm", "cowl.skin_thickness = 12.0 mm"}},
        Broken{"LipShorterThanThick",
               [](ShapeSpec& s) { s.exit.lip_length = 0.006; },
               "exit.lip_length",
               "exit.lip_thickness",
               {"= 6.0 mm", ">= 10.0 mm"}}),
    [](const auto& each) { return each.param.name; });

double& leak(ShapeSpec& spec, LeakPlace place) {
  return spec.leaks.effective_area[static_cast<std::size_t>(place)];
}

constexpr double cm2 = 1e-4;

INSTANTIATE_TEST_SUITE_P(
    OfThePlenum,
    BrokenRule,
    ::testing::Values(
        // crown at the front wall: 170 + 100 sqrt(1 - (100/320)²) = 265.0, less 12 of skin, 10 of wall, 75
        Broken{"LidInTheCowl",
               [](ShapeSpec& s) {
                 s.plenum.roof = PlenumRoof::Lid;
                 s.plenum.lid_height = 0.18;
               },
               "plenum.lid_height",
               "cowl.height_above",
               {"= 180.0 mm", "<= 168.0 mm"}},
        // throats reach up to 20 + 66.5, 12 clear; the floor is at 75
        Broken{"LidAcrossTheInlets",
               [](ShapeSpec& s) {
                 s.plenum.roof = PlenumRoof::Lid;
                 s.plenum.lid_height = 0.020;
               },
               "plenum.lid_height",
               "inlets.height",
               {"= 20.0 mm", ">= 23.5 mm"}},
        Broken{"LidOnTheCrankcase",
               [](ShapeSpec& s) {
                 s.plenum.roof = PlenumRoof::Lid;
                 s.plenum.lid_height = 0.050;
               },
               "engine.crankcase_rise",
               "plenum.lid_height",
               {"= 40.0 mm", "<= 30.0 mm"}},
        // the deck is 258 - 75 = 183 high at its end; at its front wall 253 - 75 - 20 = 158
        Broken{"WallNearlyToTheRoof",
               [](ShapeSpec& s) {
                 s.plenum.kind = PlenumKind::Split;
                 s.plenum.wall_height = 0.98;
               },
               "plenum.wall_height",
               "cowl.height_above",
               {"= 98.0 %", "<= 86.3 %", "20 mm of air"}},
        // (40 + 20) / 183
        Broken{"WallBehindTheCrankcase",
               [](ShapeSpec& s) {
                 s.plenum.kind = PlenumKind::Split;
                 s.plenum.wall_height = 0.20;
               },
               "plenum.wall_height",
               "engine.crankcase_rise",
               {"= 20.0 %", ">= 32.8 %"}}),
    [](const auto& each) { return each.param.name; });

INSTANTIATE_TEST_SUITE_P(
    OfHeadsAndCooler,
    BrokenRule,
    ::testing::Values(
        Broken{"HeadTooNarrow",
               [](ShapeSpec& s) { s.engine.head_width = 0.030; },
               "engine.head_width",
               "engine.core_outer",
               {"= 30.0 mm", ">= 40.0 mm"}},
        // 410 - 130 - 15 - 40
        Broken{"HeadLeavesNoBarrel",
               [](ShapeSpec& s) { s.engine.head_width = 0.240; },
               "engine.head_width",
               "engine.core_inner",
               {"= 240.0 mm", "<= 225.0 mm"}},
        // 498 (1 - (85/258)³)^(1/3) = 492.0 at its foot, less 10 of wall and 130 to its edge
        Broken{"RearCoolerThroughTheSkin",
               [](ShapeSpec& s) {
                 s.oil_cooler.place = CoolerPlace::Rear;
                 s.oil_cooler.width = 0.40;
               },
               "oil_cooler.width",
               "cowl.width",
               {"= 400.0 mm", "<= 352.0 mm"}},
        // 258 (1 - (290/498)³)^(1/3) = 239.8 over its outer edge, less 10 of wall and its foot at 85
        Broken{"RearCoolerThroughTheRoof",
               [](ShapeSpec& s) {
                 s.oil_cooler.place = CoolerPlace::Rear;
                 s.oil_cooler.height = 0.15;
               },
               "oil_cooler.height",
               "cowl.height_above",
               {"= 150.0 mm", "<= 144.8 mm"}},
        // 920 + 50 + 100 + 20
        Broken{"RearCoolerThroughTheFirewall",
               [](ShapeSpec& s) {
                 s.oil_cooler.place = CoolerPlace::Rear;
                 s.cowl.firewall_station = 1.06;
               },
               "cowl.firewall_station",
               "oil_cooler.height",
               {"= 1060.0 mm", ">= 1090.0 mm"}},
        // 100 + 2 * 10
        Broken{"CoolerBelowWithoutRoom",
               [](ShapeSpec& s) { s.oil_cooler.place = CoolerPlace::Below; },
               "plenum.rear_baffle_clearance",
               "oil_cooler.height",
               {"= 50.0 mm", ">= 120.0 mm"}},
        Broken{"CoolerThickerThanTheFloor",
               [](ShapeSpec& s) {
                 s.oil_cooler.place = CoolerPlace::Front;
                 s.oil_cooler.depth = 0.20;
               },
               "oil_cooler.depth",
               "engine.core_depth",
               {"= 200.0 mm", "<= 150.0 mm"}},
        // the flat floor begins 100 + 15 earlier: 455.1 + 115
        Broken{"CoolerInTheRamp",
               [](ShapeSpec& s) { s.oil_cooler.place = CoolerPlace::Front; },
               "engine.first_core_station",
               "plenum.front_station",
               {"= 500.0 mm", ">= 570.1 mm"}}),
    [](const auto& each) { return each.param.name; });

INSTANTIATE_TEST_SUITE_P(OfLeaks,
                         BrokenRule,
                         ::testing::Values(
                             // 24 + 2 * 10
                             Broken{
                                 "CylindersTooClose",
                                 [](ShapeSpec& s) { leak(s, LeakPlace::BetweenCylindersLeft) = 2.0 * cm2; },
                                 "engine.core_gap",
                                 "leaks.between_cylinders_left",
                                 {"= 30.0 mm", ">= 44.0 mm", "leaks.between_cylinders_left = 2.00 cm2"}},
                             Broken{"BaffleTooClose",
                                    [](ShapeSpec& s) {
                                      leak(s, LeakPlace::RearBaffleRight) = 2.0 * cm2;
                                      s.plenum.rear_baffle_clearance = 0.040;
                                    },
                                    "plenum.rear_baffle_clearance",
                                    "leaks.rear_baffle_right",
                                    {"= 40.0 mm", ">= 44.0 mm"}},
                             // 492.8 inside the skin, less two walls and the core: 2.8 wide, 21.2 missing
                             Broken{"SealTooClose",
                                    [](ShapeSpec& s) {
                                      leak(s, LeakPlace::CowlSealLeft) = 2.0 * cm2;
                                      s.engine.core_outer = 0.470;
                                    },
                                    "engine.core_outer",
                                    "leaks.cowl_seal_left",
                                    {"= 470.0 mm", "<= 448.8 mm"}},
                             // 62.8 mm by 370 mm, a third of it
                             Broken{"SealTooLeaky",
                                    [](ShapeSpec& s) { leak(s, LeakPlace::CowlSealRight) = 90.0 * cm2; },
                                    "leaks.cowl_seal_right",
                                    "engine.core_outer",
                                    {"= 90.00 cm2", "<= 77.46 cm2", "370 mm by 63 mm"}},
                             // each half: 45 - 10 - 6 - 10 = 19 of 24; 5 more on either side
                             Broken{"CrankcaseTooNarrowBesideTheWall",
                                    [](ShapeSpec& s) {
                                      s.plenum.kind = PlenumKind::Split;
                                      s.engine.crankcase_width = 0.090;
                                      leak(s, LeakPlace::CrankcaseNose) = 2.0 * cm2;
                                    },
                                    "engine.crankcase_width",
                                    "leaks.crankcase_nose",
                                    {"= 90.0 mm", ">= 100.0 mm"}},
                             Broken{"NoWallToLeakThrough",
                                    [](ShapeSpec& s) { leak(s, LeakPlace::CentreWall) = 2.0 * cm2; },
                                    "leaks.centre_wall",
                                    "plenum.kind",
                                    {"= 2.00 cm2", "<= 0.00 cm2", "plenum.kind = shared"}},
                             // from 75 + 130 + 10 to 258 - 20 - 10: 13 of 24
                             Broken{"WallTooLowOverTheCrankcase",
                                    [](ShapeSpec& s) {
                                      s.plenum.kind = PlenumKind::Split;
                                      s.engine.crankcase_rise = 0.130;
                                      leak(s, LeakPlace::CentreWall) = 2.0 * cm2;
                                    },
                                    "engine.crankcase_rise",
                                    "leaks.centre_wall",
                                    {"= 130.0 mm", "<= 119.0 mm"}}),
                         [](const auto& each) { return each.param.name; });

TEST(ShapeConflicts, AreNoneByDefault) {
  EXPECT_THAT(shape_conflicts(ShapeSpec{}), IsEmpty()) << all_messages(ShapeSpec{});
}

TEST(ShapeConflicts, AreNoneForTheOtherKindsOfTheDefault) {
  ShapeSpec spec;
  spec.engine.n_cylinders = 6;
  spec.plenum.kind = PlenumKind::Split;
  spec.inlets.left.ring = spec.inlets.right.ring = RingStyle::Proud;
  spec.inlets.left.ring_stand = spec.inlets.right.ring_stand = 0.02;
  EXPECT_THAT(shape_conflicts(spec), IsEmpty()) << all_messages(spec);
  spec.inlets.left.ring = spec.inlets.right.ring = RingStyle::None;
  spec.inlets.left.ring_stand = spec.inlets.right.ring_stand = 0.0;
  spec.inlets.left.lip_radius = spec.inlets.right.lip_radius = 0.0;
  spec.exit.lip_length = 0.0;
  EXPECT_THAT(shape_conflicts(spec), IsEmpty()) << all_messages(spec);
}

TEST(ShapeConflicts, CatchWhatIsNotANumber) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  ShapeSpec spec;
  spec.inlets.spacing = nan;
  EXPECT_FALSE(shape_conflicts(spec).empty());
  spec = ShapeSpec{};
  spec.exit.lip_length = nan;
  EXPECT_FALSE(shape_conflicts(spec).empty());
  spec = ShapeSpec{};
  spec.cowl.firewall_station = nan;
  EXPECT_FALSE(shape_conflicts(spec).empty());
}

TEST(ShapeConflicts, AreAllReportedAtOnce) {
  ShapeSpec spec;
  spec.cowl.face_width = 1.10;
  spec.exit.overhang = 0.05;
  spec.engine.core_inner = 0.11;
  EXPECT_GE(shape_conflicts(spec).size(), 3U);
}

}  // namespace
}  // namespace cowlwright::shape
