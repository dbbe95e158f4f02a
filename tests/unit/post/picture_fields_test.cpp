// SPDX-License-Identifier: GPL-3.0-or-later
//
// Cuts and walls of a case whose fields are linear in space, so that every value is known; and what is asked
// of the views.
#include "geometry/base/error.h"
#include "post/extract/case_layout.h"
#include "post/pictures/air_mesh.h"
#include "post/pictures/cuts.h"
#include "tests/support/scratch_folder.h"
#include "tests/unit/post/picture_case.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <vtkCellData.h>
#include <vtkDataArray.h>
#include <vtkPointData.h>

#include <cmath>
#include <set>

namespace cowlwright::post {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::ThrowsMessage;
using testing_support::ScratchFolder;
using namespace cowlwright::post::synthetic;

constexpr Box everywhere{{-9.0, -9.0, -9.0}, {9.0, 9.0, 9.0}};
// The reader's numbers have 24 bits: 6e-8 of 90,000 Pa over 1500 Pa.
constexpr double rounding = 1e-5;

struct ReadCase {
  base::Manifest manifest = picture_manifest();
  Scales scales = scales_of(manifest);
  std::vector<std::string> patches{"sides"};
  VtkCase vtk_case;

  explicit ReadCase(const std::filesystem::path& dir)
      : vtk_case(read_vtk_case(find_results(dir), std::vector<std::string>{"p", "U", "T", "rho"}, patches)) {}
  vtkSmartPointer<vtkUnstructuredGrid> air() const {
    return make_air_mesh(*vtk_case.internal_mesh(), manifest, scales, everywhere);
  }
};

bool is_inside_by_a_cell(const base::Vec3& place) {
  return place.x > picture_cell && place.x < 2.0 - picture_cell &&
         std::max(std::abs(place.y), std::abs(place.z)) < 0.5 - picture_cell;
}

void expect_linear_fields(vtkPolyData& cut, int least) {
  int n_compared = 0;
  for (vtkIdType point = 0; point < cut.GetNumberOfPoints(); ++point) {
    const base::Vec3 place = point_position(cut, point);
    if (is_inside_by_a_cell(place)) {
      ++n_compared;
      EXPECT_NEAR(cut.GetPointData()->GetArray("cp")->GetComponent(point, 0), exact_cp(place), rounding);
      EXPECT_NEAR(cut.GetPointData()->GetArray("rise")->GetComponent(point, 0), exact_rise(place), 1e-3);
    }
  }
  EXPECT_GE(n_compared, least);
}

// Half way between the cells' middles, across, level and lengthwise.
TEST(AirCut, KeepsALinearFieldExactlyInsideAUniformGrid) {
  const ScratchFolder folder;
  write_picture_case(folder.path());
  const ReadCase read(folder.path());
  const auto air = read.air();
  for (const base::Vec3& normal : {base::Vec3{1.0, 0.0, 0.0}, {0.0, 1.0, 0.0}, {0.0, 0.0, 1.0}}) {
    const std::vector<Cut> cuts{{{1.03, 0.02, 0.02}, normal}};
    expect_linear_fields(*cut_air(*air, cuts), 20);
  }
}

// A rank's points along its border get the values of the other rank's cells too.
TEST(AirCut, OfACaseInTwoRanksIsThatOfOneRank) {
  const ScratchFolder folder;
  write_split_duct(picture_duct(), 8, folder.path(), "400");
  const ReadCase read(folder.path());
  const std::vector<Cut> cuts{{{0.0, 0.02, 0.0}, {0.0, 1.0, 0.0}}};
  expect_linear_fields(*cut_air(*read.air(), cuts), 50);
}

// On a wall the values are the cells': half a cell short of the wall's own, at most by the gradient's sum.
TEST(AirCut, OnAWallIsOffByHalfACellAtMost) {
  const ScratchFolder folder;
  write_picture_case(folder.path());
  const ReadCase read(folder.path());
  const std::vector<Cut> cuts{{{0.0, 0.02, 0.0}, {0.0, 1.0, 0.0}}};
  const PolyData cut = cut_air(*read.air(), cuts);
  for (vtkIdType point = 0; point < cut->GetNumberOfPoints(); ++point) {
    EXPECT_NEAR(cut->GetPointData()->GetArray("cp")->GetComponent(point, 0),
                exact_cp(point_position(*cut, point)),
                0.5 * picture_cell * (0.3 + 0.2 + 0.1) + rounding);
  }
}

// U = 25 m/s, rho = 1.2: 375 Pa of 1500 Pa more than cp; half of the true airspeed.
TEST(AirCut, TotalPressureAndSpeedAreThoseOfTheVelocity) {
  const ScratchFolder folder;
  write_picture_case(folder.path());
  const ReadCase read(folder.path());
  vtkPointData& data = *read.air()->GetPointData();
  for (vtkIdType point = 0; point < data.GetNumberOfTuples(); ++point) {
    EXPECT_NEAR(data.GetArray("cpt")->GetComponent(point, 0) - data.GetArray("cp")->GetComponent(point, 0),
                0.25,
                rounding);
    EXPECT_NEAR(data.GetArray("speed_ratio")->GetComponent(point, 0), 0.5, rounding);
  }
}

TEST(AirCut, KeepsOneSideOnDemand) {
  const ScratchFolder folder;
  write_picture_case(folder.path());
  const ReadCase read(folder.path());
  const std::vector<Cut> left{{{0.53, 0.0, 0.0}, {1.0, 0.0, 0.0}, base::Side::Left}};
  std::array<double, 6> bounds{};
  cut_air(*read.air(), left)->GetBounds(bounds.data());
  EXPECT_NEAR(bounds[2], -0.5, rounding);
  EXPECT_NEAR(bounds[3], 0.0, rounding);
}

// The four sides meet at right angles: each keeps its own points along the edges. The patch takes the values
// of the cells at it, so they are those of half a cell away from it.
TEST(WallSurface, PartsSharpEdgesAndCarriesTheCellsPressure) {
  const ScratchFolder folder;
  write_picture_case(folder.path());
  const ReadCase read(folder.path());
  const PolyData walls = wall_surface(read.vtk_case, read.patches, read.scales);
  EXPECT_EQ(walls->GetNumberOfCells(), 4 * 16 * 8);
  EXPECT_EQ(walls->GetNumberOfPoints(), 4 * 17 * 9);
  EXPECT_EQ(sharp_edges(*walls)->GetNumberOfCells(), 4 * 2 * (16 + 8));
  for (vtkIdType point = 0; point < walls->GetNumberOfPoints(); ++point) {
    EXPECT_NEAR(walls->GetPointData()->GetArray("cp")->GetComponent(point, 0),
                exact_cp(point_position(*walls, point)),
                0.5 * picture_cell * (0.3 + 0.2 + 0.1) + rounding);
  }
}

TEST(WallSurface, TurnsTheAirAlongTheWalls) {
  const ScratchFolder folder;
  Duct duct = picture_duct();
  duct.velocity = [](const base::Vec3&) { return base::Vec3{20.0, 3.0, -4.0}; };
  write_duct(duct, folder.path(), "400");
  const ReadCase read(folder.path());
  const auto air = read.air();
  slip_along_walls(*air, *wall_surface(read.vtk_case, read.patches, read.scales));
  for (vtkIdType point = 0; point < air->GetNumberOfPoints(); ++point) {
    const base::Vec3 place = point_position(*air, point);
    const double* velocity = air->GetPointData()->GetArray("U")->GetTuple3(point);
    EXPECT_NEAR(velocity[0], 20.0, 1e-4);
    EXPECT_NEAR(velocity[1], std::abs(place.y) > 0.499 ? 0.0 : 3.0, 1e-4);
    EXPECT_NEAR(velocity[2], std::abs(place.z) > 0.499 ? 0.0 : -4.0, 1e-4);
  }
}

// Along x through the whole block, at the seeds' heights.
TEST(Streamlines, OfAUniformStreamAreStraightFromEndToEnd) {
  const ScratchFolder folder;
  write_picture_case(folder.path());
  const ReadCase read(folder.path());
  const PolyData lines = streamlines(*read.air(), read.manifest, 5, 6.0);
  EXPECT_EQ(lines->GetNumberOfCells(), 2 * 2 * 5);  // two inlets, up and down the stream
  std::array<double, 6> bounds{};
  lines->GetBounds(bounds.data());
  EXPECT_LT(bounds[0], 0.1);
  EXPECT_GT(bounds[1], 1.9);
  EXPECT_NEAR(bounds[2], -bounds[3], rounding);  // mirrored seeds
  EXPECT_LT(bounds[5], 0.1 + 0.06);
}

TEST(Streamlines, AreKeptWithinABoxAsWholeLines) {
  const ScratchFolder folder;
  write_picture_case(folder.path());
  const ReadCase read(folder.path());
  const PolyData lines = streamlines(*read.air(), read.manifest, 5, 6.0);
  const PolyData within = lines_within(*lines, {{0.6, -9.0, -9.0}, {1.2, 9.0, 9.0}});
  EXPECT_EQ(within->GetNumberOfCells(), 10);  // those that run downstream
  for (vtkIdType line = 0; line < within->GetNumberOfCells(); ++line) {
    std::array<double, 6> bounds{};
    within->GetCellBounds(line, bounds.data());
    EXPECT_GE(bounds[0], 0.6);
    EXPECT_LE(bounds[1], 1.2);
    EXPECT_GT(bounds[1] - bounds[0], 0.4);
  }
}

TEST(AirMesh, AValueThatIsNoNumberIsAnErrorNamingTheCell) {
  const ScratchFolder folder;
  Duct duct = picture_duct();
  duct.velocity = [](const base::Vec3&) { return base::Vec3{std::nan(""), 0.0, 0.0}; };
  write_duct(duct, folder.path(), "400");
  const ReadCase read(folder.path());
  EXPECT_THAT([&] { read.air(); },
              ThrowsMessage<base::ResultError>(AllOf(HasSubstr("cell 0"), HasSubstr("not finite"))));
}

TEST(Views, CamerasAndCutsComeFromTheManifestAlone) {
  const base::Manifest manifest = picture_manifest();
  const Frame frame = frame_of(manifest, std::nullopt);
  const std::vector<View> views = picture_views(places_of(manifest), frame, scales_of(manifest));
  EXPECT_EQ(views.size(), 10U);
  std::set<std::string> ids;
  for (const View& view : views) {
    ids.insert(view.id);
    EXPECT_EQ(view.missing, "") << view.id;
    EXPECT_FALSE(view.caption.empty() || view.alt.empty() || view.title.empty()) << view.id;
    EXPECT_EQ(view.cuts.empty(), view.kind != ViewKind::Slice) << view.id;
  }
  EXPECT_EQ(ids.size(), views.size());
}

// Inlets 3 mm further aft and an exit 4 mm lower: within the rounding of 50 mm.
TEST(Views, OfNearlyTheSameShapeHaveTheSameCameras) {
  base::Manifest other = picture_manifest();
  other.planes[0].origin.x += 0.003;
  other.planes[1].origin.x += 0.003;
  other.planes[3].origin.z -= 0.004;
  const base::Manifest manifest = picture_manifest();
  const auto cameras = [](const base::Manifest& of) {
    return picture_views(places_of(of), frame_of(of, std::nullopt), scales_of(of));
  };
  const std::vector<View> a = cameras(manifest);
  const std::vector<View> b = cameras(other);
  for (std::size_t i = 0; i < a.size(); ++i) {
    EXPECT_EQ(a[i].camera.position, b[i].camera.position) << a[i].id;
    EXPECT_EQ(a[i].camera.half_height, b[i].camera.half_height) << a[i].id;
  }
}

TEST(Views, OfAClosedCowlSayWhyTheInsideIsMissing) {
  base::Manifest manifest = picture_manifest();
  manifest.planes.clear();
  manifest.passages.clear();
  const Frame frame = frame_of(manifest, Box{{0.2, -0.4, -0.4}, {1.4, 0.4, 0.4}});
  int n_missing = 0;
  for (const View& view : picture_views(places_of(manifest), frame, scales_of(manifest))) {
    n_missing += view.missing.empty() ? 0 : 1;
    if (view.id == "streamlines_temperature") {
      EXPECT_THAT(view.missing, HasSubstr("closed"));
    }
  }
  EXPECT_EQ(n_missing, 7);  // all but the two of the surface and the centre plane
}

TEST(Views, WithoutOpeningsAndCowlThereIsNothingToLookAt) {
  base::Manifest manifest = picture_manifest();
  manifest.planes.clear();
  EXPECT_THAT([&] { frame_of(manifest, std::nullopt); },
              ThrowsMessage<base::InputError>(AllOf(HasSubstr("base"), HasSubstr("no inlets"))));
}

// 9000 W into what passes at 1500 Pa. Viscosity at 300 K 1.846e-5 Pa s (ISO 2533: 1.8462e-5): 36.9 v + 120 v²
// = 1500, v = 3.385 m/s; 1.2 * 3.385 * 0.04 = 0.1625 kg/s; 9000 / (0.1625 * 1005) = 55.1 K; 1.5 times
// is 82.7, the next round number 100.
TEST(Scales, TheTemperatureRangeFollowsFromHeatAndCoreLaw) {
  base::Manifest manifest = picture_manifest();
  EXPECT_DOUBLE_EQ(temperature_range(manifest), 100.0);
  manifest.passages[0].heat = 5000.0;  // 30.6 K, 45.9 K
  EXPECT_DOUBLE_EQ(temperature_range(manifest), 50.0);
  manifest.passages[0].heat = 0.0;
  EXPECT_DOUBLE_EQ(temperature_range(manifest), 100.0);
}

TEST(Scales, TemperatureStepsAreRoundAndDivideTheRange) {
  Scales scales = scales_of(picture_manifest());
  for (const auto& [range, step] : std::vector<std::pair<double, double>>{
           {100.0, 5.0}, {150.0, 5.0}, {50.0, 2.5}, {80.0, 2.5}, {300.0, 10.0}}) {
    scales.temperature_range = range;
    EXPECT_DOUBLE_EQ(field_scale(Field::TemperatureRise, scales).step, step) << range;
  }
}

// Thrust per disk area of 480 Pa at 1.2 kg/m³: 28.28 m/s.
TEST(Scales, AtStandstillSpeedIsComparedWithTheReferencePressures) {
  base::Manifest manifest = picture_manifest();
  manifest.flight.true_airspeed = 0.0;
  manifest.flight.dynamic_pressure = 0.0;
  manifest.flight.reference_pressure = 480.0;
  manifest.flight.reference_name = "thrust per disk area";
  const Scales scales = scales_of(manifest);
  EXPECT_NEAR(scales.reference_speed, 28.284, 1e-3);
  EXPECT_EQ(field_scale(Field::SpeedRatio, scales).title, "speed / reference speed");
}

TEST(Scales, WithoutReferencePressureAreAnErrorNamingIt) {
  base::Manifest manifest = picture_manifest();
  manifest.flight.reference_pressure = 0.0;
  EXPECT_THAT(
      [&] { scales_of(manifest); },
      ThrowsMessage<base::InputError>(AllOf(HasSubstr("reference pressure = 0 Pa"), HasSubstr("> 0"))));
}

}  // namespace
}  // namespace cowlwright::post
