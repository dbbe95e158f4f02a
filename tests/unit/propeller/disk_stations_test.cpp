// SPDX-License-Identifier: GPL-3.0-or-later
//
// The tables for the solver's rotor disk, read back the way that source reads them.
#include "cases/propeller/annulus.h"
#include "cases/propeller/blade_element.h"
#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace cowlwright::propeller {
namespace {

constexpr double pi = std::numbers::pi;

PropellerSpec sample_propeller() {
  PropellerSpec propeller;
  propeller.blade = default_blade();
  propeller.shaft_power = 110e3;
  return propeller;
}

double table_value(const std::vector<double>& x, const std::vector<double>& y, double at) {
  const auto upper = static_cast<std::size_t>(std::upper_bound(x.begin(), x.end(), at) - x.begin());
  const std::size_t i = std::clamp<std::size_t>(upper, 1, x.size() - 1);
  return y[i - 1] + (y[i] - y[i - 1]) * (at - x[i - 1]) / (x[i] - x[i - 1]);
}

struct Loads {
  double thrust = 0.0;
  double torque = 0.0;
};

/// What the rotor-disk source does: twist and chord by straight lines in the radius, both neighbours' tables
/// at the same angle of attack, coefficients weighted, times 0.5 rho W² chord blades.
Loads loads_from_tables(const std::vector<DiskStation>& stations,
                        const PropellerSpec& propeller,
                        const Operating& operating,
                        double collective) {
  Loads loads;
  constexpr int n = 400;
  const double hub = 0.5 * propeller.hub_diameter;
  const double width = (0.5 * propeller.diameter - hub) / n;
  for (int i = 0; i < n; ++i) {
    const double radius = hub + (i + 0.5) * width;
    const Annulus annulus = annulus_at(propeller, radius, collective);
    const double inflow = mean_inflow_angle(annulus, operating.airspeed, operating.rotational_speed);
    const double swirl = 0.25 * annulus.solidity * disk_force(annulus, inflow).tangential / std::sin(inflow);
    const double speed = operating.rotational_speed * radius / (std::cos(inflow) + swirl);
    std::size_t upper = 1;
    while (upper + 1 < stations.size() && stations[upper].radius < radius) {
      ++upper;
    }
    const DiskStation& a = stations[upper - 1];
    const DiskStation& b = stations[upper];
    const double w = (radius - a.radius) / (b.radius - a.radius);
    const double angle = a.twist + w * (b.twist - a.twist) - inflow;
    const auto weighted = [&](const std::vector<double> DiskStation::*coefficient) {
      return (1.0 - w) * table_value(a.angle_of_attack, a.*coefficient, angle) +
             w * table_value(b.angle_of_attack, b.*coefficient, angle);
    };
    const double load = 0.5 * operating.density * speed * speed * (a.chord + w * (b.chord - a.chord)) *
                        propeller.n_blades * width;
    loads.thrust += load * weighted(&DiskStation::axial);
    loads.torque += load * weighted(&DiskStation::tangential) * radius;
  }
  return loads;
}

TEST(DiskStations, IntegrateToTheBladeElementLoadsAtItsOwnInflow) {
  const PropellerSpec propeller = sample_propeller();
  for (double airspeed : {20.0, 57.0, 80.0}) {
    const Operating operating{airspeed, 1.0, 2700.0 * pi / 30.0};
    const Performance trimmed = trim_to_power(propeller, operating);
    const Loads loads = loads_from_tables(disk_stations(propeller, trimmed.collective, cell_reading::exact),
                                          propeller,
                                          operating,
                                          trimmed.collective);
    // Straight lines between 31 radii and half degrees: 0.2 to 0.3 % low as measured, most of it at the tip.
    EXPECT_NEAR(loads.thrust / trimmed.thrust, 1.0, 4e-3) << airspeed << " m/s";
    EXPECT_NEAR(loads.torque / trimmed.torque, 1.0, 4e-3) << airspeed << " m/s";
  }
}

TEST(DiskStations, CoverHubToTipAndTheWholeCircle) {
  const PropellerSpec propeller = sample_propeller();
  const std::vector<DiskStation> stations = disk_stations(propeller, 0.05);
  EXPECT_NEAR(stations.front().radius, 0.18, 1e-12);
  EXPECT_NEAR(stations.back().radius, 0.90, 1e-12);
  for (std::size_t i = 0; i < stations.size(); ++i) {
    const DiskStation& station = stations[i];
    EXPECT_TRUE(i == 0 || station.radius > stations[i - 1].radius);
    ASSERT_EQ(station.axial.size(), station.angle_of_attack.size());
    ASSERT_EQ(station.tangential.size(), station.angle_of_attack.size());
    EXPECT_NEAR(station.angle_of_attack.front(), -pi, 1e-12);
    EXPECT_NEAR(station.angle_of_attack.back(), pi, 1e-12);
    EXPECT_TRUE(std::is_sorted(station.angle_of_attack.begin(), station.angle_of_attack.end()));
    EXPECT_NEAR(station.axial.front(), station.axial.back(), 1e-6);
    EXPECT_NEAR(station.tangential.front(), station.tangential.back(), 1e-6);
  }
}

TEST(DiskStations, AnticlockwiseIsTheMirrorImage) {
  PropellerSpec propeller = sample_propeller();
  const std::vector<DiskStation> clockwise = disk_stations(propeller, 0.0);
  propeller.rotation = Rotation::Anticlockwise;
  const std::vector<DiskStation> anticlockwise = disk_stations(propeller, 0.0);
  const DiskStation& a = clockwise[15];
  const DiskStation& b = anticlockwise[15];
  EXPECT_EQ(a.twist, b.twist);
  EXPECT_TRUE(std::is_sorted(b.angle_of_attack.begin(), b.angle_of_attack.end()));
  for (double angle : {-0.1, 0.0, 0.05, 0.2}) {
    EXPECT_NEAR(table_value(a.angle_of_attack, a.axial, angle),
                table_value(b.angle_of_attack, b.axial, -angle),
                1e-12);
    EXPECT_NEAR(table_value(a.angle_of_attack, a.tangential, angle),
                -table_value(b.angle_of_attack, b.tangential, -angle),
                1e-12);
  }
}

TEST(DiskStations, AtTheReadingOfTheTrueInflowTheyGiveTheTrueForce) {
  // Forwards by hand from a true state of 18 deg and unit speed: the source reads more axial flow by
  // 0.25 dp/(rho U) = 0.25 * 0.5 solidity Ca / sin, and less speed of the blade by the half of the swirl it
  // reads too much, 0.5 * 0.5 solidity Ct / sin.
  const PropellerSpec propeller = sample_propeller();
  const std::vector<DiskStation> stations = disk_stations(propeller, 0.0);
  const DiskStation& station = stations[18];
  const Annulus annulus = annulus_at(propeller, station.radius, 0.0);
  const double inflow = 18.0 * pi / 180.0;
  const DiskForce force = disk_force(annulus, inflow);
  const double axial = std::sin(inflow) + 0.125 * annulus.solidity * force.axial / std::sin(inflow);
  const double across = std::cos(inflow) - 0.25 * annulus.solidity * force.tangential / std::sin(inflow);
  const double read = std::atan2(axial, across);
  const double pressure = axial * axial + across * across;
  // 1 %: straight lines between table rows half a degree apart.
  EXPECT_NEAR(
      table_value(station.angle_of_attack, station.axial, station.twist - read) * pressure / force.axial,
      1.0,
      0.01);
  EXPECT_NEAR(table_value(station.angle_of_attack, station.tangential, station.twist - read) * pressure /
                  force.tangential,
              1.0,
              0.01);
  EXPECT_GT(read, inflow + 0.2 * pi / 180.0);  // so the reading matters
}

TEST(DiskStations, TwistCarriesPitchAndCollective) {
  // Tip of the default blade: p/D 0.87, tan = 0.87/pi = 0.2769296, 15.4787 deg; plus 0.05 rad = 2.8648 deg.
  const std::vector<DiskStation> stations = disk_stations(sample_propeller(), 0.05);
  EXPECT_NEAR(stations.back().twist * 180.0 / pi, 15.4787 + 2.8648, 1e-3);
}

TEST(DiskStations, RefuseAPropellerWithoutBladeNamingTheCount) {
  PropellerSpec propeller = sample_propeller();
  propeller.blade.clear();
  EXPECT_THAT([&] { disk_stations(propeller, 0.0); },
              testing::ThrowsMessage<base::InputError>(testing::HasSubstr("0 blade stations")));
}

}  // namespace
}  // namespace cowlwright::propeller
