// SPDX-License-Identifier: GPL-3.0-or-later
//
// One file for each defect of a box of 100 x 60 x 40 mm: read, found faulty, repaired to its exact volume.
#include "geometry/imported/faults.h"
#include "geometry/imported/read_surface.h"
#include "geometry/imported/repair.h"
#include "geometry/shape/boolean.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <string>

namespace cowlwright::imported {
namespace {

struct Defect {
  std::string file;
  std::string step;       ///< the one that must find it
  std::size_t count = 0;  ///< what it must find
  double volume = 2.4e-4;
  RepairSettings settings{};
};

void PrintTo(const Defect& defect, std::ostream* out) {
  *out << defect.file;
}

class DefectFile : public testing::TestWithParam<Defect> {};

TEST_P(DefectFile, IsRepairedToItsExactVolume) {
  const Defect& defect = GetParam();
  const std::filesystem::path path = std::filesystem::path(COWLWRIGHT_TEST_DATA) / "surfaces" / defect.file;
  const shape::Surface given = read_surface(path, read_placement("mm", "x y z", "0 0 0"));
  EXPECT_FALSE(shape::prove_surface(given).bounds_a_volume);
  const RepairedSurface repaired = repair(given, defect.settings);
  for (const RepairStep& step : repaired.steps) {
    if (step.name == defect.step) {
      EXPECT_EQ(step.count, defect.count) << step.name;
    }
  }
  const shape::SurfaceProof proof = shape::prove_surface(repaired.surface);
  EXPECT_TRUE(proof.bounds_a_volume) << proof.first_fault;
  EXPECT_NEAR(proof.volume, defect.volume, 1e-15);
  EXPECT_EQ(repaired.broken_tolerance, "");
  EXPECT_THAT(repaired.faults, testing::IsEmpty());
  const Faults left = diagnose(repaired.surface);
  EXPECT_TRUE(left.is_closed());
  EXPECT_THAT(left.intersections, testing::IsEmpty());
  EXPECT_THAT(left.flipped_faces, testing::IsEmpty());
}

// The overlapping box has half the sides and half of it inside; the crack's lid comes down to the walls.
INSTANTIATE_TEST_SUITE_P(
    All,
    DefectFile,
    testing::Values(
        Defect{.file = "defect_flipped_faces.off", .step = "orient", .count = 2},
        Defect{.file = "defect_inside_out.off", .step = "outward", .count = 12},
        Defect{.file = "defect_duplicate_faces.off", .step = "duplicates", .count = 2},
        Defect{.file = "defect_collapsed_face.off", .step = "degenerate", .count = 1},
        Defect{.file = "defect_flat_face.off", .step = "flat", .count = 1},
        Defect{.file = "defect_hole.off", .step = "fill", .count = 1, .settings = {.fill_holes = 0.075}},
        Defect{.file = "defect_crack.off", .step = "weld", .count = 4, .settings = {.weld = 1e-4}},
        Defect{.file = "defect_hanging_point.off", .step = "stitch", .count = 1},
        Defect{.file = "defect_crumb.off", .step = "crumbs", .count = 1},
        Defect{.file = "defect_fin.off", .step = "split", .count = 1, .settings = {.crumb_share = 0.01}},
        Defect{.file = "defect_overlapping_shells.off",
               .step = "unite",
               .count = 1,
               .volume = 2.4e-4 + 0.025 * 0.03 * 0.02}),
    [](const testing::TestParamInfo<Defect>& defect) {
      return defect.param.file.substr(7, defect.param.file.size() - 11);  // without "defect_" and ".off"
    });

}  // namespace
}  // namespace cowlwright::imported
