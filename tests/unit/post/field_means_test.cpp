// SPDX-License-Identifier: GPL-3.0-or-later
//
// Means through VTK, on a duct of 4 x 2 x 2 cells of 0.5 m with chosen fields. VTK stores single precision:
// relative rounding 6e-8, so 1e-6 is asked for.
#include "post/extract/field_means.h"

#include "geometry/base/error.h"
#include "tests/support/scratch_folder.h"
#include "tests/unit/post/synthetic_case.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace cowlwright::post {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;
using testing_support::ScratchFolder;
using namespace cowlwright::post::synthetic;

constexpr double single_precision = 1e-6;

void expect_close(double value, double expected) {
  EXPECT_NEAR(value, expected, single_precision * std::abs(expected));
}

/// p = 1000 + 100 x, rho = 1.2, U = (10, 0, 0), T = 300 + 10 x.
Duct duct_with_fields() {
  Duct duct;
  duct.encoding = Encoding::Binary;
  duct.face_zones["middle"] = faces_at_x(1.0);
  duct.face_zones["entry"] = faces_at_x(0.0);
  duct.cell_zones["first_half"] = cells_between(0.0, 1.0);
  duct.cell_zones["last_column"] = cells_between(1.5, 2.0);
  duct.pressure = [](const base::Vec3& c) { return 1000.0 + 100.0 * c.x; };
  duct.temperature = [](const base::Vec3& c) { return 300.0 + 10.0 * c.x; };
  duct.density = [](const base::Vec3&) { return 1.2; };
  duct.velocity = [](const base::Vec3&) { return base::Vec3{10.0, 0.0, 0.0}; };
  return duct;
}

base::Manifest manifest_with(const std::vector<std::string>& zones, const std::vector<std::string>& planes) {
  base::Manifest manifest;
  manifest.flight.true_airspeed = 10.0;
  manifest.flight.pressure = 1000.0;
  manifest.flight.temperature = 300.0;
  manifest.flight.density = 1.2;
  for (const std::string& name : zones) {
    base::ZoneRecord zone;
    zone.name = name;
    manifest.zones.push_back(zone);
  }
  for (const std::string& name : planes) {
    base::PlaneRecord plane;
    plane.name = name;
    plane.normal = {1.0, 0.0, 0.0};
    manifest.planes.push_back(plane);
  }
  return manifest;
}

FieldMeans means(const ScratchFolder& folder, const base::Manifest& manifest) {
  return read_field_means(find_results(folder.path()), manifest);
}

// Columns of cells at x = 0.25 and 0.75: mean of x is 0.5, so p is 1050 and p + 0.5*1.2*100 is 1110; 8 cells
// of 0.125 m³.
TEST(FieldMeans, ZoneMeansAreVolumeMeans) {
  const ScratchFolder folder;
  write_duct(duct_with_fields(), folder.path(), "100");
  const FieldMeans result = means(folder, manifest_with({"first_half", "last_column"}, {}));
  EXPECT_EQ(result.n_cells, 16U);
  ASSERT_EQ(result.zones.size(), 2U);
  EXPECT_EQ(result.zones[0].n_cells, 8U);
  expect_close(result.zones[0].volume, 1.0);
  expect_close(result.zones[0].static_pressure, 1050.0);
  expect_close(result.zones[0].total_pressure, 1110.0);
  ASSERT_TRUE(result.zones[0].temperature.has_value());
  expect_close(*result.zones[0].temperature, 305.0);
  expect_close(result.zones[1].static_pressure, 1175.0);  // x = 1.75
}

// Plane x = 1, 1 m²: rho u A = 12 kg/s. p is linear, so halfway between the cells at 0.75 and 1.25 it is
// 1100. Excess of total temperature over the free stream (same speed, 300 K): 10 K * 12 kg/s.
TEST(FieldMeans, PlaneMeansInterpolateBetweenTheTwoCells) {
  const ScratchFolder folder;
  write_duct(duct_with_fields(), folder.path(), "100");
  const PlaneMean plane = means(folder, manifest_with({}, {"middle"})).planes.at(0);
  expect_close(plane.area, 1.0);
  expect_close(plane.mass_flow, 12.0);
  expect_close(plane.static_pressure, 1100.0);
  expect_close(plane.density, 1.2);
  ASSERT_TRUE(plane.temperature_excess_flow.has_value());
  EXPECT_NEAR(*plane.temperature_excess_flow, 120.0, 1e-2);  // a difference of two numbers near 300 K
}

/// A jump from 300 K ahead of x = 1 to 350 K behind it, over which the air goes with 10 m/s below y = 0.5 and
/// comes back with `upper` m/s above it.
Duct duct_with_jump(double upper) {
  Duct duct = duct_with_fields();
  duct.temperature = [](const base::Vec3& c) { return c.x < 1.0 ? 300.0 : 350.0; };
  duct.velocity = [upper](const base::Vec3& c) { return base::Vec3{c.y < 0.5 ? 10.0 : -upper, 0.0, 0.0}; };
  return duct;
}

// Below, 1.2 * 10 * 0.5 = 6 kg/s come from ahead: no excess. Above, 6 kg/s come from behind with 50 K: -300
// kg K/s. The value on the face, 25 K, would cancel.
TEST(FieldMeans, UpwindExcessIsThatOfTheCellTheAirComesFrom) {
  const ScratchFolder folder;
  write_duct(duct_with_jump(10.0), folder.path(), "100");
  const PlaneMean plane = means(folder, manifest_with({}, {"middle"})).planes.at(0);
  ASSERT_TRUE(plane.upwind_excess_flow && plane.temperature_excess_flow);
  EXPECT_NEAR(*plane.upwind_excess_flow, -300.0, 1e-3);  // differences of numbers near 300 K
  EXPECT_NEAR(*plane.temperature_excess_flow, 0.0, 1e-3);
}

// All along: 12 kg/s of the front column, which has the free stream's temperature and speed. In a plane that
// looks the other way the same stream is negative and comes from the same cells.
TEST(FieldMeans, UpwindExcessDoesNotDependOnThePlanesDirection) {
  const ScratchFolder folder;
  Duct duct = duct_with_jump(-10.0);
  duct.temperature = [](const base::Vec3& c) { return c.x < 1.0 ? 330.0 : 350.0; };
  write_duct(duct, folder.path(), "100");
  base::Manifest manifest = manifest_with({}, {"middle"});
  EXPECT_NEAR(means(folder, manifest).planes.at(0).upwind_excess_flow.value(), 360.0, 1e-3);
  manifest.planes[0].normal = {-1.0, 0.0, 0.0};
  EXPECT_NEAR(means(folder, manifest).planes.at(0).upwind_excess_flow.value(), -360.0, 1e-3);
}

// At the domain's end there is one cell: its own value, p at x = 0.25; the flow still counts along the
// normal.
TEST(FieldMeans, BoundaryPlaneTakesTheOnlyCell) {
  const ScratchFolder folder;
  write_duct(duct_with_fields(), folder.path(), "100");
  const PlaneMean plane = means(folder, manifest_with({}, {"entry"})).planes.at(0);
  expect_close(plane.static_pressure, 1025.0);
  expect_close(plane.mass_flow, 12.0);
}

TEST(FieldMeans, AreTheSameForACaseInTwoRanks) {
  for (const int split : {2, 3}) {  // in the plane, and behind it
    const ScratchFolder folder;
    write_split_duct(duct_with_fields(), split, folder.path(), "100");
    const FieldMeans result = means(folder, manifest_with({"first_half", "last_column"}, {"middle"}));
    EXPECT_EQ(result.n_cells, 16U);
    expect_close(result.zones[0].static_pressure, 1050.0);
    expect_close(result.zones[1].volume, 0.5);
    expect_close(result.planes[0].mass_flow, 12.0);
    expect_close(result.planes[0].static_pressure, 1100.0);
  }
}

TEST(FieldMeans, ReadCompressedFiles) {
  const ScratchFolder folder;
  Duct duct = duct_with_fields();
  duct.encoding = Encoding::Gzip;
  write_duct(duct, folder.path(), "100");
  expect_close(means(folder, manifest_with({"first_half"}, {})).zones[0].static_pressure, 1050.0);
}

TEST(FieldMeans, TakeTheLatestOfSeveralTimes) {
  const ScratchFolder folder;
  Duct duct = duct_with_fields();
  write_duct(duct, folder.path(), "100");
  duct.pressure = [](const base::Vec3&) { return 2000.0; };
  write_duct(duct, folder.path(), "200");
  expect_close(means(folder, manifest_with({"first_half"}, {})).zones[0].static_pressure, 2000.0);
}

// p/(R T) with R = 1000/(1.2*300): the density at p = 1000 Pa, T = 300 K is 1.2 again.
TEST(FieldMeans, WithoutDensityItFollowsFromPressureAndTemperature) {
  const ScratchFolder folder;
  Duct duct = duct_with_fields();
  duct.density = nullptr;
  duct.pressure = [](const base::Vec3&) { return 1000.0; };
  duct.temperature = [](const base::Vec3&) { return 300.0; };
  write_duct(duct, folder.path(), "100");
  expect_close(means(folder, manifest_with({}, {"middle"})).planes[0].mass_flow, 12.0);
}

TEST(FieldMeans, WithoutTemperatureHaveNone) {
  const ScratchFolder folder;
  Duct duct = duct_with_fields();
  duct.temperature = nullptr;
  write_duct(duct, folder.path(), "100");
  const FieldMeans result = means(folder, manifest_with({"first_half"}, {"middle"}));
  EXPECT_FALSE(result.zones[0].temperature.has_value());
  EXPECT_FALSE(result.planes[0].temperature_excess_flow.has_value());
}

// The stepped zone of the flux test: u = (10, -2, 0). Lower and upper faces pass 1.2*10*1 m² = 12 kg/s; the
// tread (2 faces, 0.5 m²) passes 1.2*2*0.5 = 1.2 kg/s downwards, which is from the front side to the back
// side.
TEST(FieldMeans, FacesOnEdgeAreOrientedByTheCellsBesideThem) {
  const ScratchFolder folder;
  Duct duct = duct_with_fields();
  duct.velocity = [](const base::Vec3&) { return base::Vec3{10.0, -2.0, 0.0}; };
  duct.face_zones["step"] = [](const DuctFace& face) {
    const bool is_tread =
        std::abs(face.centre.y - 0.5) < 1e-9 && std::abs(face.centre.x - 1.25) < 1e-9 && face.area.y != 0.0;
    return is_tread || (faces_at_x(1.0)(face) && face.centre.y < 0.5) ||
           (faces_at_x(1.5)(face) && face.centre.y > 0.5);
  };
  write_duct(duct, folder.path(), "100");
  expect_close(means(folder, manifest_with({}, {"step"})).planes[0].mass_flow, 13.2);
}

/// Force per volume (-100, 0, 8 (y - 0.5)) N/m³ on the last column, x 1.5 to 2, y and z 0 to 1: 4 cells of
/// 0.125 m³.
Duct duct_with_rotor() {
  Duct duct = duct_with_fields();
  duct.force_name = "disk:rotorForce";
  duct.force = [](const base::Vec3& c) {
    return c.x > 1.5 ? base::Vec3{-100.0, 0.0, 8.0 * (c.y - 0.5)} : base::Vec3{};
  };
  return duct;
}

base::Manifest manifest_with_rotor() {
  base::Manifest manifest = manifest_with({"last_column"}, {});
  manifest.propeller = base::PropellerRecord{};
  manifest.propeller->force_field = "disk:rotorForce";
  manifest.propeller->zone = "last_column";
  return manifest;
}

// Force -100 * 0.5 m³ = -50 N. Moment about x: sum of (y Fz - z Fy) = 0.125 * 2 * [0.25 * (-2) + 0.75 * 2] =
// 0.25.
TEST(FieldMeans, RotorLoadIntegratesForcePerVolume) {
  const ScratchFolder folder;
  write_duct(duct_with_rotor(), folder.path(), "100");
  const FieldMeans result = means(folder, manifest_with_rotor());
  ASSERT_TRUE(result.rotor.has_value());
  expect_close(result.rotor->force.x, -50.0);
  EXPECT_NEAR(result.rotor->force.z, 0.0, 1e-6);
  expect_close(result.rotor->moment.x, 0.25);
}

// The same numbers as force per cell: 4 cells instead of 0.5 m³.
TEST(FieldMeans, RotorLoadSumsForcePerCellWhenTheDimensionsSaySo) {
  const ScratchFolder folder;
  Duct duct = duct_with_rotor();
  duct.force_dimensions = "[1 1 -2 0 0 0 0]";
  write_duct(duct, folder.path(), "100");
  expect_close(means(folder, manifest_with_rotor()).rotor->force.x, -400.0);
}

// Columns of cells at y = -0.5, 0 and 0.5 with -100, -200 and -400 N/m³ on 2 cells of 0.125 m³ each: right of
// y = 0 the last column and half of the middle one.
TEST(FieldMeans, RotorLoadOfTheRightHalfTakesItsPartOfCellsAcrossTheMiddle) {
  const ScratchFolder folder;
  Duct duct = duct_with_rotor();
  duct.ny = 3;
  duct.origin = {0.0, -0.75, 0.0};
  duct.force = [](const base::Vec3& c) {
    const double density = c.y < -0.25 ? -100.0 : c.y < 0.25 ? -200.0 : -400.0;
    return c.x > 1.5 ? base::Vec3{density, 0.0, 0.0} : base::Vec3{};
  };
  write_duct(duct, folder.path(), "100");
  const RotorLoad load = means(folder, manifest_with_rotor()).rotor.value();
  expect_close(load.force.x, -175.0);
  expect_close(load.right_force.x, -125.0);
}

TEST(FieldMeans, WithoutForceFieldHaveNoRotorLoad) {
  const ScratchFolder folder;
  write_duct(duct_with_fields(), folder.path(), "100");
  EXPECT_FALSE(means(folder, manifest_with_rotor()).rotor.has_value());
}

TEST(FieldMeans, MissingFieldIsNamed) {
  const ScratchFolder folder;
  Duct duct = duct_with_fields();
  duct.velocity = nullptr;
  write_duct(duct, folder.path(), "100");
  EXPECT_THAT(
      [&] { means(folder, manifest_with({"first_half"}, {})); },
      ThrowsMessage<base::ResultError>(AllOf(HasSubstr("iteration 100"), HasSubstr("field U is missing"))));
}

TEST(FieldMeans, MissingBothDensityAndTemperatureIsAnError) {
  const ScratchFolder folder;
  Duct duct = duct_with_fields();
  duct.density = nullptr;
  duct.temperature = nullptr;
  write_duct(duct, folder.path(), "100");
  EXPECT_THAT([&] { means(folder, manifest_with({"first_half"}, {})); },
              ThrowsMessage<base::ResultError>(HasSubstr("rho and T are both missing")));
}

TEST(FieldMeans, MissingAndEmptyZonesAreNamedTogether) {
  const ScratchFolder folder;
  Duct duct = duct_with_fields();
  duct.cell_zones["nowhere"] = [](const base::Vec3&) { return false; };
  write_duct(duct, folder.path(), "100");
  EXPECT_THAT(
      [&] {
        means(folder, manifest_with({"first_half", "nowhere", "absent"}, {}));
      },
      ThrowsMessage<base::ResultError>(HasSubstr("missing or empty in the mesh: nowhere absent")));
}

TEST(FieldMeans, ValueThatIsNotANumberIsAnErrorNamingTheZone) {
  const ScratchFolder folder;
  Duct duct = duct_with_fields();
  duct.pressure = [](const base::Vec3& c) {
    return c.x > 1.5 ? std::numeric_limits<double>::quiet_NaN() : 1000.0;
  };
  write_duct(duct, folder.path(), "100");
  EXPECT_THAT(
      [&] {
        means(folder, manifest_with({"first_half", "last_column"}, {}));
      },
      ThrowsMessage<base::ResultError>(AllOf(HasSubstr("cellZone last_column"), HasSubstr("not finite"))));
}

TEST(FieldMeans, FieldCutShortIsAnErrorNotANumber) {
  const ScratchFolder folder;
  write_duct(duct_with_fields(), folder.path(), "100");
  std::filesystem::resize_file(folder.path() / "100" / "p", 230);
  EXPECT_THROW(means(folder, manifest_with({"first_half"}, {})), base::ResultError);
}

}  // namespace
}  // namespace cowlwright::post
