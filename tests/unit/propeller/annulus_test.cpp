// SPDX-License-Identifier: GPL-3.0-or-later
//
// One annulus: loss factor, and the match of blade and momentum.
#include "cases/propeller/annulus.h"

#include "cases/propeller/blade_element.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace cowlwright::propeller {
namespace {

constexpr double pi = std::numbers::pi;
constexpr double degree = pi / 180.0;

Annulus sample_annulus(double radius) {
  PropellerSpec propeller;
  propeller.blade = {{0.1, 0.06, 0.9}, {1.0, 0.06, 0.9}};
  return annulus_at(propeller, radius, 0.0);
}

TEST(Annulus, GeometryByHand) {
  // D = 1.80 m, r = 0.45 m: x = 0.5, chord 0.06 * 1.8 = 0.108 m; tan(angle) = 0.9/(pi 0.5);
  // two blades over 2 pi 0.45 m.
  const Annulus annulus = sample_annulus(0.45);
  EXPECT_NEAR(annulus.chord, 0.108, 1e-12);
  EXPECT_NEAR(std::tan(annulus.blade_angle), 0.5729577951, 1e-9);
  EXPECT_NEAR(annulus.solidity, 0.0763943727, 1e-9);
}

TEST(LossFactor, TipByHand) {
  // Two blades, r = 0.75 R, 30 deg: exponent 0.25/(0.75*0.5) = 2/3, e^-2/3 = 0.513417,
  // 2/pi acos(0.513417) = 0.65676. The hub at 0.01 R is too far to matter.
  Annulus annulus;
  annulus.n_blades = 2;
  annulus.tip_radius = 1.0;
  annulus.hub_radius = 0.01;
  annulus.radius = 0.75;
  EXPECT_NEAR(loss_factor(annulus, 30.0 * degree), 0.65676, 1e-5);
}

TEST(LossFactor, IsZeroAtTipAndHubAndOneForManyBlades) {
  EXPECT_EQ(loss_factor(sample_annulus(0.90), 0.3), 0.0);
  EXPECT_EQ(loss_factor(sample_annulus(0.18), 0.3), 0.0);
  Annulus many = sample_annulus(0.6);
  many.n_blades = 1000;
  EXPECT_NEAR(loss_factor(many, 0.3), 1.0, 1e-12);
}

TEST(DiskForce, WithoutLossIsTheSectionTurnedByTheInflowAngle) {
  Annulus annulus = sample_annulus(0.6);
  annulus.n_blades = 100000;  // no loss; solidity kept
  const double inflow = 20.0 * degree;
  const SectionForce section = section_force(annulus.blade_angle - inflow);
  const DiskForce force = disk_force(annulus, inflow);
  // Lift is normal to the inflow: cos 20 deg = 0.9396926, sin 20 deg = 0.3420201.
  EXPECT_NEAR(force.axial, 0.9396926 * section.lift - 0.3420201 * section.drag, 1e-7);
  EXPECT_NEAR(force.tangential, 0.3420201 * section.lift + 0.9396926 * section.drag, 1e-7);
}

TEST(DiskForce, CarriesNoLiftAtTheVeryTip) {
  const DiskForce force = disk_force(sample_annulus(0.90), 15.0 * degree);
  EXPECT_NEAR(force.axial, 0.0, 2e-3);  // loss factor is floored at 1e-4
  EXPECT_GT(force.tangential, 0.0);
}

class MeanInflow : public testing::TestWithParam<double> {};

TEST_P(MeanInflow, AgreesWithClassicBladeElementMomentumTheory) {
  // From the mean state, step to the blade by hand: induced speed over the loss factor. Then blade force and
  // momentum have to agree: B c dr 0.5 rho W² Ca = 4 pi r dr rho U v.
  const double airspeed = GetParam();
  const double rotational_speed = 280.0;
  const Annulus annulus = sample_annulus(0.72);
  const double angle = mean_inflow_angle(annulus, airspeed, rotational_speed);
  const double tangential = disk_force(annulus, angle).tangential;
  const double meeting_speed =
      rotational_speed * 0.72 / (std::cos(angle) + 0.25 * annulus.solidity * tangential / std::sin(angle));
  const double through = meeting_speed * std::sin(angle);
  const double induced = through - airspeed;
  const double across = meeting_speed * std::cos(angle);
  double at_blade = angle;
  for (int i = 0; i < 300; ++i) {  // half steps: the plain iteration swings at rest
    at_blade = 0.5 * at_blade + 0.5 * std::atan2(airspeed + induced / loss_factor(annulus, at_blade), across);
  }
  const double speed = across / std::cos(at_blade);
  const SectionForce section = section_force(annulus.blade_angle - at_blade);
  const double axial = section.lift * std::cos(at_blade) - section.drag * std::sin(at_blade);
  const double blade = 0.5 * 2 * annulus.chord * speed * speed * axial;
  const double momentum = 4.0 * pi * 0.72 * through * induced;
  EXPECT_GT(blade, 0.0);
  EXPECT_NEAR(momentum / blade, 1.0, 1e-6);
}

INSTANTIATE_TEST_SUITE_P(Airspeeds, MeanInflow, testing::Values(0.0, 10.0, 30.0, 57.0));

TEST(MeanInflowAngle, IsThePlainHelixForAnUnloadedBlade) {
  Annulus annulus = sample_annulus(0.6);
  annulus.solidity = 1e-12;
  EXPECT_NEAR(std::tan(mean_inflow_angle(annulus, 60.0, 200.0)), 60.0 / (200.0 * 0.6), 1e-9);
}

TEST(MeanInflowAngle, BrakingBladeTakesSpeedOut) {
  Annulus annulus = sample_annulus(0.6);
  annulus.blade_angle = 5.0 * degree;
  EXPECT_LT(mean_inflow_angle(annulus, 60.0, 200.0), std::atan(60.0 / (200.0 * 0.6)));
}

}  // namespace
}  // namespace cowlwright::propeller
