// SPDX-License-Identifier: GPL-3.0-or-later
//
// The mesh plan: feature sizes set cell sizes, levels keep their ratio, the far field keeps the mirror plane.
#include "meshing/plan.h"

#include <gtest/gtest.h>

#include <cmath>

namespace cowlwright::meshing {
namespace {

constexpr DiskSize disk{1.8, 0.36};

TEST(MeshPlan, CoarseGridPutsSixCellsAcrossTheExitGapAndEightAcrossAnInlet) {
  for (const double gap : {0.03, 0.075, 0.12}) {
    shape::ShapeSpec shape;
    shape.exit.gap = gap;
    const MeshPlan plan = plan_mesh(shape, disk, GridLevel::Coarse);
    EXPECT_GE(plan.cells_across_exit_gap, 6.0 - 1e-9) << "gap " << gap;
    EXPECT_GE(plan.cells_across_inlet, 8.0) << "gap " << gap;
  }
}

TEST(MeshPlan, NeighbouringLevelsDifferByTheRefinementRatio) {
  const shape::ShapeSpec shape;
  const double coarse = plan_mesh(shape, disk, GridLevel::Coarse).base_size;
  const double medium = plan_mesh(shape, disk, GridLevel::Medium).base_size;
  const double fine = plan_mesh(shape, disk, GridLevel::Fine).base_size;
  EXPECT_NEAR(coarse / medium, refinement_ratio, 1e-12);  // rounding of one division
  EXPECT_NEAR(medium / fine, refinement_ratio, 1e-12);
}

// Cells are cubes but in z, where whole layers must fill the cores: half a layer in four is the most they are
// off.
TEST(MeshPlan, CellSizeThatGridsAreComparedByKeepsTheRatio) {
  const shape::ShapeSpec shape;
  double coarser = plan_mesh(shape, disk, GridLevel::Draft).cell_size;
  for (const GridLevel level : {GridLevel::Coarse, GridLevel::Medium, GridLevel::Fine}) {
    const double size = plan_mesh(shape, disk, level).cell_size;
    EXPECT_NEAR(coarser / size / refinement_ratio, 1.0, 0.05);
    coarser = size;
  }
}

// By hand: 10 mm of lip, draft cells of 75 mm / 6 * 1.5 = 18.75 mm in the exit; halved twice 4.7 mm, 2.1
// across.
TEST(MeshPlan, EvenTheDraftGridResolvesTheLipAndAllGridsRefineItAlike) {
  shape::ShapeSpec shape;
  shape.exit.gap = 0.075;
  shape.exit.lip_length = 0.05;
  shape.exit.lip_thickness = 0.010;
  const double draft = plan_mesh(shape, disk, GridLevel::Draft).cells_across_lip_thickness;
  EXPECT_NEAR(draft, 2.13, 0.01);  // rounding of the hand value
  EXPECT_NEAR(plan_mesh(shape, disk, GridLevel::Coarse).cells_across_lip_thickness, 1.5 * draft, 1e-9);
}

TEST(GridSpec, ComparesTheChosenLevelWithTheTwoCoarserOnes) {
  GridSpec grid;
  grid.level = GridLevel::Fine;
  EXPECT_EQ(grid_levels(grid), std::vector{GridLevel::Fine});
  grid.compare = 3;
  EXPECT_EQ(grid_levels(grid), (std::vector{GridLevel::Coarse, GridLevel::Medium, GridLevel::Fine}));
}

TEST(MeshPlan, ExpectedCellsGrowWithTheLevel) {
  const shape::ShapeSpec shape;
  double last = 0.0;
  for (const GridLevel level : {GridLevel::Draft, GridLevel::Coarse, GridLevel::Medium, GridLevel::Fine}) {
    const double cells = plan_mesh(shape, disk, level).expected_cells;
    EXPECT_GT(cells, last);
    last = cells;
  }
}

TEST(MeshPlan, HasEnoughCellsAcrossTheNarrowerOpening) {
  shape::ShapeSpec shape;
  shape.inlets.right.opening = shape::OpeningShape::Oval;
  shape.inlets.right.opening_width = 0.16;
  shape.inlets.right.opening_height = 0.08;
  const MeshPlan plan = plan_mesh(shape, disk, GridLevel::Coarse);
  EXPECT_NEAR(plan.cells_across_inlet, 9.0, 1e-9);
  EXPECT_NEAR(cell_size(plan, plan.plane_level), 0.08 / 9.0, 1e-9);  // metres
}

// The disk's cells on the draft grid are the deepest.
TEST(MeshPlan, KeepsTheDiskOffTheSurveyDiscsAheadOfTheInlets) {
  const MeshPlan plan = plan_mesh({}, disk, GridLevel::Draft);
  for (const base::PlaneRecord& survey : shape::build_installation({}).surveys) {
    EXPECT_GE(survey.origin.x, 0.5 * plan.disk_layer + 0.015) << survey.name;
  }
}

TEST(MeshPlan, LinesTheAlternatorAsFinelyAsARing) {
  shape::ShapeSpec shape;
  shape.alternator.side = base::Side::Left;
  int ring = 0;
  int alternator = 0;
  for (const NamedLevel& patch : plan_mesh(shape, disk, GridLevel::Coarse).patches) {
    if (patch.name == "ring_left") ring = patch.level;
    if (patch.name == "alternator") alternator = patch.level;
  }
  EXPECT_GT(ring, 0);
  EXPECT_EQ(alternator, ring);
}

TEST(MeshPlan, FarFieldMirrorsAboutThePlaneOfSymmetryOnCellFaces) {
  const MeshPlan plan = plan_mesh({}, disk, GridLevel::Coarse);
  EXPECT_DOUBLE_EQ(plan.far_field.low.y, -plan.far_field.high.y);
  EXPECT_EQ(plan.n_cells[1] % 2, 0);
  const double length = plan.far_field.high.x - plan.far_field.low.x;
  EXPECT_NEAR(length, plan.n_cells[0] * plan.base_size, 1e-9);  // metres
}

// Four widths ahead and aside, five behind, of a 1.02 m wide cowl; twice that, to within the one or two cells
// that round the block up.
TEST(MeshPlan, DomainSizeScalesTheDistancesToTheFarField) {
  const shape::ShapeSpec shape;
  const MeshPlan plain = plan_mesh(shape, disk, GridLevel::Coarse);
  const MeshPlan twice = plan_mesh(shape, disk, GridLevel::Coarse, 2.0);
  const double width = shape.cowl.width;
  const double tail = shape.cowl.firewall_station + shape.fuselage.length;
  const double cell = plain.base_size;
  EXPECT_NEAR(-twice.far_field.low.x, 8.0 * width, cell);
  EXPECT_NEAR(twice.far_field.high.x, tail + 10.0 * width, cell);
  EXPECT_NEAR(twice.far_field.high.y, 8.0 * width, cell);
  EXPECT_NEAR(twice.far_field.high.z, 8.0 * width, 1.1 * cell);  // cells are up to 10 % higher than wide
  EXPECT_NEAR(plain.far_field.high.y, 4.0 * width, cell);
  EXPECT_DOUBLE_EQ(twice.base_size, plain.base_size);
  const double layers_ahead = -twice.far_field.low.x / cell_size(twice, 3) - 0.5;
  EXPECT_NEAR(layers_ahead, std::round(layers_ahead), 1e-9);  // the disk's layer stays centred on x = 0
}

// The rotor-disk source loads only the first layer of the zone, so the zone must be one layer, centred on the
// propeller.
TEST(MeshPlan, PropellerDiskHoldsTheCentresOfExactlyOneLayerOfCells) {
  for (const GridLevel level : {GridLevel::Draft, GridLevel::Coarse, GridLevel::Medium, GridLevel::Fine}) {
    const MeshPlan plan = plan_mesh({}, disk, level);
    const double cell = cell_size(plan, 3);
    const double layers_ahead = -plan.far_field.low.x / cell - 0.5;
    EXPECT_NEAR(layers_ahead, std::round(layers_ahead), 1e-9);  // a layer is centred on x = 0
    EXPECT_GT(plan.disk_thickness, cell);
    EXPECT_LT(plan.disk_thickness, 2.0 * cell);
  }
}

TEST(MeshPlan, CoreFacesLieOnCellFaces) {
  shape::ShapeSpec shape;
  for (const double depth : {0.11, 0.15, 0.163}) {
    shape.engine.core_depth = depth;
    const MeshPlan plan = plan_mesh(shape, disk, GridLevel::Coarse);
    const double layer = (plan.far_field.high.z - plan.far_field.low.z) / plan.n_cells[2] / 32.0;
    EXPECT_NEAR(0.5 * depth / layer, std::round(0.5 * depth / layer), 1e-9);
    EXPECT_NEAR(layer / cell_size(plan, 5), 1.0, 0.1);
  }
}

TEST(MeshPlan, LeavesTheDiskOutWithoutAPropeller) {
  const MeshPlan plan = plan_mesh({}, {}, GridLevel::Coarse);
  for (const NamedLevel& zone : plan.zones) {
    EXPECT_NE(zone.name, "propeller_disk");
  }
}

/// A bay with something of everything.
shape::ShapeSpec full_bay() {
  shape::ShapeSpec shape;
  shape.engine.head_width = 0.09;
  shape.engine.core_gap = 0.05;
  shape.plenum.rear_baffle_clearance = 0.06;
  shape.oil_cooler.place = shape::CoolerPlace::Rear;
  shape.leaks.effective_area.fill(2e-4);
  return shape;
}

TEST(MeshPlan, EveryPassageHasACellZoneWithALevel) {
  const shape::ShapeSpec shape = full_bay();
  const MeshPlan plan = plan_mesh(shape, {}, GridLevel::Coarse);
  const std::vector<shape::Passage> passages = shape::make_passages(shape);
  ASSERT_EQ(plan.zones.size(), passages.size());
  for (std::size_t i = 0; i < passages.size(); ++i) EXPECT_EQ(plan.zones[i].name, passages[i].name);
}

// Narrower than 2.5 cells, an opening loses its shape on the draft grid.
TEST(MeshPlan, EvenTheDraftGridPutsTwoAndAHalfCellsAcrossEveryLeakAndTheCooler) {
  for (const double gap : {0.040, 0.075, 0.120}) {
    shape::ShapeSpec shape = full_bay();
    shape.exit.gap = gap;
    const MeshPlan plan = plan_mesh(shape, {}, GridLevel::Draft);
    const std::vector<shape::Passage> passages = shape::make_passages(shape);
    for (std::size_t i = 0; i < passages.size(); ++i) {
      if (passages[i].kind == base::PassageKind::Core) continue;
      EXPECT_GE(passages[i].narrowest / cell_size(plan, plan.zones[i].level), 2.5)
          << passages[i].name << ", gap " << gap;
    }
  }
}

TEST(MeshPlan, LeaksAndCoolerAddCells) {
  const double plain = plan_mesh({}, disk, GridLevel::Coarse).expected_cells;
  EXPECT_GT(plan_mesh(full_bay(), disk, GridLevel::Coarse).expected_cells, plain);
}

TEST(MeshPlan, EveryPatchOfTheSurfaceHasALevel) {
  const shape::ShapeSpec shape = full_bay();
  const MeshPlan plan = plan_mesh(shape, disk, GridLevel::Coarse);
  EXPECT_EQ(plan.patches.size(), shape::expected_patches(shape).size());
}

}  // namespace
}  // namespace cowlwright::meshing
