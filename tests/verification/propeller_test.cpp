// SPDX-License-Identifier: GPL-3.0-or-later
//
// The blade-element solve against measured loads of a full-size two-blade propeller with Clark Y sections.
// Source: NACA TR 640 (Hartman and Biermann, 1938), propeller 5868-9; see tests/data/propeller.
#include "cases/propeller/blade_element.h"

#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <numbers>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace cowlwright::propeller {
namespace {

constexpr double pi = std::numbers::pi;
constexpr double density = 1.225;       // coefficients do not depend on it
constexpr double rate = 1000.0 / 60.0;  // turns per second; nor on this
constexpr double diameter = 3.048;

/// Rows of numbers of a data file, comment lines left out.
std::vector<std::vector<double>> read_rows(const std::string& name) {
  std::ifstream file(std::string(COWLWRIGHT_TEST_DATA) + "/propeller/" + name);
  std::vector<std::vector<double>> rows;
  for (std::string line; std::getline(file, line);) {
    std::istringstream stream(line);
    std::vector<double> row;
    for (double value = 0.0; stream >> value;) {
      row.push_back(value);
    }
    if (!row.empty()) {
      rows.push_back(row);
    }
  }
  if (rows.empty()) {
    throw std::runtime_error(name + ": no rows");
  }
  return rows;
}

struct Point {
  double advance = 0.0;  // V/(nD)
  double setting = 0.0;  // blade angle at 75 % radius [deg]
  double thrust = 0.0;   // T/(rho n² D⁴)
  double power = 0.0;    // P/(rho n³ D⁵)
};

std::vector<Point> measured_points() {
  std::vector<Point> points;
  for (const std::vector<double>& row : read_rows("naca_tr_640_5868_9_loads.txt")) {
    points.push_back({row.at(0), row.at(1), row.at(2), row.at(3)});
  }
  return points;
}

PropellerSpec measured_propeller() {
  PropellerSpec spec;
  spec.diameter = diameter;
  spec.hub_diameter = 0.15 * diameter;  // inside the innermost station read from the report
  for (const std::vector<double>& row : read_rows("naca_tr_640_5868_9_blade.txt")) {
    spec.blade.push_back({row.at(0), row.at(1), row.at(2)});
  }
  return spec;
}

struct Computed {
  Point point;
  double efficiency = 0.0;
  double froude_limit = 0.0;
};

Computed compute(const PropellerSpec& spec, double advance, double setting) {
  const double blade_file_setting = 35.0;
  const Performance p = performance_at(spec,
                                       {advance * rate * diameter, density, 2.0 * pi * rate},
                                       (setting - blade_file_setting) * pi / 180.0);
  const double thrust_unit = density * std::pow(rate, 2) * std::pow(diameter, 4);
  const double power_unit = density * std::pow(rate, 3) * std::pow(diameter, 5);
  return {{advance, setting, p.thrust / thrust_unit, p.power / power_unit}, p.efficiency, p.froude_limit};
}

/// Points at which the blade is not stalled: beyond these advance ratios the measured thrust falls steadily.
bool is_unstalled(const Point& point) {
  return point.advance > (point.setting < 30.0 ? 0.55 : 1.0);
}

TEST(MeasuredPropeller, UnstalledThrustAndPowerAgreeWithinOneDegreeOfBladeSetting) {
  // The report's own curves move by 0.0066 (thrust) and 0.0095 (power) per degree of setting at J = 1.1. One
  // degree covers what is not known here: section thickness and its zero lift, reading of the charts.
  const PropellerSpec spec = measured_propeller();
  int n = 0;
  for (const Point& point : measured_points()) {
    if (!is_unstalled(point)) {
      continue;
    }
    ++n;
    const Point computed = compute(spec, point.advance, point.setting).point;
    EXPECT_NEAR(computed.thrust, point.thrust, 0.0066) << point.setting << " deg, J " << point.advance;
    EXPECT_NEAR(computed.power, point.power, 0.0095) << point.setting << " deg, J " << point.advance;
  }
  EXPECT_EQ(n, 20);
}

TEST(MeasuredPropeller, EfficiencyInTheWorkingRangeWithinFivePoints) {
  // Thrust coefficients 0.03 to 0.09. Charts read to 2 % in power and 0.01 in J: 3 points; nacelle and thick
  // roots, which are not modelled, take the rest.
  const PropellerSpec spec = measured_propeller();
  for (const Point& point : measured_points()) {
    if (point.thrust < 0.03 || point.thrust > 0.09) {
      continue;
    }
    const double efficiency = point.advance * point.thrust / point.power;
    EXPECT_NEAR(compute(spec, point.advance, point.setting).efficiency, efficiency, 0.05)
        << point.setting << " deg, J " << point.advance;
  }
}

TEST(MeasuredPropeller, StalledThrustWithinFifteenPercentAndPowerNeverAboveTheMeasured) {
  // Known limit of the section data, stated at section_force(): stalled drag is too small, so power near
  // standstill comes out low, by up to 41 % here. Nothing in a cowling study runs there.
  const PropellerSpec spec = measured_propeller();
  for (const Point& point : measured_points()) {
    if (is_unstalled(point)) {
      continue;
    }
    const Point computed = compute(spec, point.advance, point.setting).point;
    EXPECT_NEAR(computed.thrust, point.thrust, 0.15 * point.thrust);
    EXPECT_LT(computed.power, point.power);
    EXPECT_GT(computed.power, 0.55 * point.power);
  }
}

TEST(MeasuredPropeller, MeasurementAndComputationKeepTheFroudeLimit) {
  // Ideal efficiency of a thrust coefficient: 2/(1 + sqrt(1 + 8 CT/(pi J²))).
  const PropellerSpec spec = measured_propeller();
  for (const Point& point : measured_points()) {
    const auto ideal = [](const Point& p) {
      return 2.0 / (1.0 + std::sqrt(1.0 + 8.0 * p.thrust / (pi * p.advance * p.advance)));
    };
    EXPECT_LT(point.advance * point.thrust / point.power, ideal(point));
    const Computed computed = compute(spec, point.advance, point.setting);
    EXPECT_LT(computed.efficiency, ideal(computed.point));
    EXPECT_NEAR(computed.froude_limit, ideal(computed.point), 1e-9);
  }
}

TEST(MeasuredPropeller, ThrustVanishesAtTheMeasuredAdvanceRatio) {
  // Straight lines through the two highest measured points of each setting reach zero thrust at
  // J = 1.2981 (25 deg) and 1.8290 (35 deg). 0.07: one degree of setting moves it by 0.053.
  const PropellerSpec spec = measured_propeller();
  for (const auto& [setting, expected] : {std::pair{25.0, 1.2981}, std::pair{35.0, 1.8290}}) {
    EXPECT_GT(compute(spec, expected - 0.07, setting).point.thrust, 0.0) << setting << " deg";
    EXPECT_LT(compute(spec, expected + 0.07, setting).point.thrust, 0.0) << setting << " deg";
  }
}

TEST(MomentumTheory, WorkedPointOfTheMeasuredPropeller) {
  // 25 deg, CT 0.07, J 0.84364 at 800 rpm, rho 1.225: V 34.2855 m/s, T 1315.74 N, A 7.29659 m², by hand
  // v = 2.02689 m/s and ideal efficiency V/(V + v) = 0.94418.
  const double induced = induced_velocity(34.2855, 1315.74, 1.225, 7.29659);
  EXPECT_NEAR(induced, 2.02689, 1e-5);
  EXPECT_NEAR(34.2855 / (34.2855 + induced), 0.94418, 1e-5);
}

}  // namespace
}  // namespace cowlwright::propeller
