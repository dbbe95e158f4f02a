// SPDX-License-Identifier: GPL-3.0-or-later
//
// Flows through face zones of synthetic cases whose face fluxes are chosen.
#include "post/extract/plane_flux.h"

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

// Sums of a few doubles, read back from 17 digits or raw bytes: rounding only.
constexpr double rounding = 1e-14;

base::PlaneRecord plane(const std::string& name, base::Vec3 normal = {1.0, 0.0, 0.0}) {
  base::PlaneRecord record;
  record.name = name;
  record.normal = normal;
  record.area = 1.0;
  return record;
}

/// A flux that grows with the row: 1, 2 kg/s in the rows y = 0.25, 0.75 along +x, whatever way the face
/// looks.
double row_flux(const DuctFace& face) {
  const double along_x = face.centre.y < 0.5 ? 1.0 : 2.0;
  return face.area.x == 0.0 ? 0.0 : std::copysign(along_x, face.area.x);
}

Duct duct_with_plane(Encoding encoding) {
  Duct duct;
  duct.encoding = encoding;
  duct.face_zones["middle"] = faces_at_x(1.0);
  duct.face_zones["entry"] = faces_at_x(0.0);
  duct.flux = row_flux;
  return duct;
}

std::vector<PlaneFlux> fluxes(const std::filesystem::path& dir,
                              const std::vector<base::PlaneRecord>& planes) {
  return read_plane_fluxes(find_results(dir), planes);
}

class PlaneFluxInEncoding : public ::testing::TestWithParam<Encoding> {};

// Two rows of two faces with 1 and 2 kg/s: 2*1 + 2*2 = 6 kg/s through 4 faces of 0.25 m².
TEST_P(PlaneFluxInEncoding, SumsChosenFluxesOfInternalFaces) {
  const ScratchFolder folder;
  write_duct(duct_with_plane(GetParam()), folder.path(), "100");
  const PlaneFlux flux = fluxes(folder.path(), {plane("middle")}).front();
  EXPECT_EQ(flux.n_faces, 4U);
  EXPECT_NEAR(flux.area, 1.0, rounding);
  EXPECT_NEAR(flux.mass_flow, 6.0, rounding);
  EXPECT_EQ(flux.reverse_flow, 0.0);
}

// The faces at x = 0 look outward, against the plane's normal; their stored flux is negative.
TEST_P(PlaneFluxInEncoding, BoundaryFacesAreTurnedAlongTheNormal) {
  const ScratchFolder folder;
  write_duct(duct_with_plane(GetParam()), folder.path(), "100");
  EXPECT_NEAR(fluxes(folder.path(), {plane("entry")}).front().mass_flow, 6.0, rounding);
}

// The cut lies in the plane: every face is stored by both ranks, once looking each way.
TEST_P(PlaneFluxInEncoding, FacesOnTheBorderOfTwoRanksCountOnce) {
  const ScratchFolder folder;
  write_split_duct(duct_with_plane(GetParam()), 2, folder.path(), "100");
  const PlaneFlux flux = fluxes(folder.path(), {plane("middle")}).front();
  EXPECT_EQ(flux.n_faces, 4U);
  EXPECT_NEAR(flux.area, 1.0, rounding);
  EXPECT_NEAR(flux.mass_flow, 6.0, rounding);
}

// The cut lies behind the plane: the second rank's zone is empty ("faceLabels 0;" in binary).
TEST_P(PlaneFluxInEncoding, ARankWithoutFacesOfTheZoneAddsNothing) {
  const ScratchFolder folder;
  write_split_duct(duct_with_plane(GetParam()), 3, folder.path(), "100");
  EXPECT_NEAR(fluxes(folder.path(), {plane("middle")}).front().mass_flow, 6.0, rounding);
}

INSTANTIATE_TEST_SUITE_P(All,
                         PlaneFluxInEncoding,
                         ::testing::Values(Encoding::Ascii, Encoding::Binary, Encoding::Gzip));

TEST(PlaneFlux, ReadsLabelsOfEightBytes) {
  const ScratchFolder folder;
  Duct duct = duct_with_plane(Encoding::Binary);
  duct.label_bytes = 8;
  write_duct(duct, folder.path(), "100");
  EXPECT_NEAR(fluxes(folder.path(), {plane("middle")}).front().mass_flow, 6.0, rounding);
}

TEST(PlaneFlux, TurningTheNormalTurnsTheSign) {
  const ScratchFolder folder;
  write_duct(duct_with_plane(Encoding::Ascii), folder.path(), "100");
  const PlaneFlux flux = fluxes(folder.path(), {plane("middle", {-1.0, 0.0, 0.0})}).front();
  EXPECT_NEAR(flux.mass_flow, -6.0, rounding);
}

// Marks alternate in z, so the solver's own sum would be 1 - 1 + 2 - 2 = 0.
TEST(PlaneFlux, FlowDoesNotFollowAContradictoryFlipMap) {
  const ScratchFolder folder;
  Duct duct = duct_with_plane(Encoding::Ascii);
  duct.is_flipped = [](const DuctFace& face) { return face.centre.z > 0.5; };
  write_duct(duct, folder.path(), "100");
  const PlaneFlux flux = fluxes(folder.path(), {plane("middle")}).front();
  EXPECT_NEAR(flux.mass_flow, 6.0, rounding);
  EXPECT_NEAR(flux.flip_map_flow, 0.0, rounding);
}

// A zone that looks upstream throughout prints the negative flow.
TEST(PlaneFlux, SumInTheZonesOwnOrientationIsKeptForTheMonitor) {
  const ScratchFolder folder;
  Duct duct = duct_with_plane(Encoding::Ascii);
  duct.is_flipped = [](const DuctFace& face) { return face.area.x > 0.0; };
  write_duct(duct, folder.path(), "100");
  const PlaneFlux flux = fluxes(folder.path(), {plane("middle")}).front();
  EXPECT_NEAR(flux.mass_flow, 6.0, rounding);
  EXPECT_NEAR(flux.flip_map_flow, -6.0, rounding);
}

// Upper row 2 kg/s forward, lower row 0.5 kg/s back, two faces each: net 3, half of the area reversed.
TEST(PlaneFlux, SpillBackIsTheReversedPartOfAreaAndFlow) {
  const ScratchFolder folder;
  Duct duct = duct_with_plane(Encoding::Ascii);
  duct.flux = [](const DuctFace& face) {
    return face.area.x == 0.0 ? 0.0 : std::copysign(1.0, face.area.x) * (face.centre.y < 0.5 ? -0.5 : 2.0);
  };
  write_duct(duct, folder.path(), "100");
  const PlaneFlux flux = fluxes(folder.path(), {plane("middle")}).front();
  EXPECT_NEAR(flux.mass_flow, 3.0, rounding);
  EXPECT_NEAR(flux.reverse_area_share, 0.5, rounding);
  EXPECT_NEAR(flux.forward_flow, 4.0, rounding);
  EXPECT_NEAR(flux.reverse_flow, 1.0, rounding);
}

// A zone with a step: lower row at x = 1, upper row at x = 1.5, and between them the tread, two faces at y =
// 0.5 which look along +y. Below the tread the air is behind the zone, above it ahead of it, so the zone
// looks along -y there (flipped), and 0.25 kg/s upwards through each tread face come back: 2*1 + 2*2 - 2*0.25
// = 5.5 kg/s.
TEST(PlaneFlux, FacesOnEdgeTakeTheZonesOrientation) {
  const ScratchFolder folder;
  Duct duct;
  const auto is_tread = [](const DuctFace& face) {
    return std::abs(face.centre.y - 0.5) < 1e-9 && std::abs(face.centre.x - 1.25) < 1e-9 &&
           face.area.y != 0.0;
  };
  duct.face_zones["step"] = [is_tread](const DuctFace& face) {
    return (faces_at_x(1.0)(face) && face.centre.y < 0.5) || (faces_at_x(1.5)(face) && face.centre.y > 0.5) ||
           is_tread(face);
  };
  duct.is_flipped = is_tread;
  duct.flux = [](const DuctFace& face) { return face.area.y != 0.0 ? 0.25 : row_flux(face); };
  write_duct(duct, folder.path(), "100");
  const PlaneFlux flux = fluxes(folder.path(), {plane("step")}).front();
  EXPECT_NEAR(flux.mass_flow, 5.5, rounding);
  EXPECT_NEAR(flux.flip_map_flow, 5.5, rounding);
  EXPECT_NEAR(flux.area, 1.0, rounding);               // seen along x; the tread shows none
  EXPECT_NEAR(flux.steep_share, 0.5 / 1.5, rounding);  // 2 of 6 equal faces
  EXPECT_EQ(flux.reverse_flow, 0.0);                   // the tread is not counted as spill-back
}

TEST(PlaneFlux, MissingAndEmptyZonesAreBothNamed) {
  const ScratchFolder folder;
  Duct duct = duct_with_plane(Encoding::Binary);
  duct.face_zones["nowhere"] = faces_at_x(0.3);
  write_duct(duct, folder.path(), "100");
  EXPECT_THAT(
      [&] {
        fluxes(folder.path(), {plane("middle"), plane("nowhere"), plane("absent")});
      },
      ThrowsMessage<base::ResultError>(AllOf(HasSubstr("plane nowhere: its faceZone is empty"),
                                             HasSubstr("plane absent: the mesh has no faceZone"),
                                             HasSubstr("Face zones there: entry, middle, nowhere"))));
}

TEST(PlaneFlux, FluxThatIsNotANumberIsAnErrorNamingThePlane) {
  const ScratchFolder folder;
  Duct duct = duct_with_plane(Encoding::Binary);
  duct.flux = [](const DuctFace& face) {
    return face.centre.y < 0.5 ? 1.0 : std::numeric_limits<double>::quiet_NaN();
  };
  write_duct(duct, folder.path(), "100");
  EXPECT_THAT([&] { fluxes(folder.path(), {plane("middle")}); },
              ThrowsMessage<base::ResultError>(HasSubstr("plane middle: 2 of 4 face fluxes are not finite")));
}

TEST(PlaneFlux, VolumetricFluxIsRefusedWithItsDimensions) {
  const ScratchFolder folder;
  Duct duct = duct_with_plane(Encoding::Ascii);
  duct.flux_dimensions = "[0 3 -1 0 0 0 0]";
  write_duct(duct, folder.path(), "100");
  EXPECT_THAT([&] { fluxes(folder.path(), {plane("middle")}); },
              ThrowsMessage<base::ResultError>(
                  AllOf(HasSubstr("[0 3 -1 0 0 0 0]"), HasSubstr("must be [1 0 -1 0 0 0 0]"))));
}

TEST(PlaneFlux, FieldOfAnotherMeshIsRefusedWithBothSizes) {
  const ScratchFolder folder;
  write_duct(duct_with_plane(Encoding::Ascii), folder.path(), "100");
  const ScratchFolder other;
  Duct longer = duct_with_plane(Encoding::Ascii);
  longer.nx = 5;
  write_duct(longer, other.path(), "100");
  std::filesystem::copy_file(other.path() / "100" / "phi",
                             folder.path() / "100" / "phi",
                             std::filesystem::copy_options::overwrite_existing);
  // Internal faces of nx * 2 * 2 cells: 4 (nx - 1) across plus 2 * 2 nx along: 28 for nx = 4, 36 for nx = 5.
  EXPECT_THAT([&] { fluxes(folder.path(), {plane("middle")}); },
              ThrowsMessage<base::ResultError>(HasSubstr("36 values for 28 faces")));
}

TEST(PlaneFlux, FileCutShortIsNamed) {
  const ScratchFolder folder;
  write_duct(duct_with_plane(Encoding::Binary), folder.path(), "100");
  std::filesystem::resize_file(folder.path() / "100" / "phi", 300);
  EXPECT_THAT(
      [&] { fluxes(folder.path(), {plane("middle")}); },
      ThrowsMessage<base::ResultError>(AllOf(HasSubstr("/100/phi: at byte"), HasSubstr("cut short"))));
}

}  // namespace
}  // namespace cowlwright::post
