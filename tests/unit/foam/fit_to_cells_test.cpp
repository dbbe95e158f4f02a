// SPDX-License-Identifier: GPL-3.0-or-later
//
// Planes and the ends of passages lie on cell faces, and records follow what was moved.
#include "cases/foam/parts.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace cowlwright::foam {
namespace {

struct Fitted {
  meshing::MeshPlan plan;
  shape::Installation before;
  shape::Installation after;
};

/// A rear oil cooler, whose air goes along x, and a leak through the centre wall, whose air goes along y.
const Fitted& fitted() {
  static const Fitted result = [] {
    shape::ShapeSpec spec;
    spec.plenum.kind = shape::PlenumKind::Split;
    spec.oil_cooler.place = shape::CoolerPlace::Rear;
    spec.leaks.effective_area.back() = 3e-4;
    Fitted each;
    each.plan = meshing::plan_mesh(spec, {}, meshing::GridLevel::Coarse);
    each.before = shape::build_installation(spec);
    each.after = each.before;
    fit_to_cells(each.after, each.plan);
    return each;
  }();
  return result;
}

template <typename Named>
const Named& named(const std::vector<Named>& list, const std::string& name) {
  const auto found =
      std::find_if(list.begin(), list.end(), [&](const Named& item) { return item.record.name == name; });
  if (found == list.end()) throw std::out_of_range(name);
  return *found;
}

const shape::Passage& passage(const shape::Installation& installation, const std::string& name) {
  const auto found = std::find_if(installation.passages.begin(),
                                  installation.passages.end(),
                                  [&](const shape::Passage& p) { return p.name == name; });
  if (found == installation.passages.end()) throw std::out_of_range(name);
  return *found;
}

/// Cell edge in a passage.
double cell_in(const std::string& name) {
  const std::vector<meshing::NamedLevel>& zones = fitted().plan.zones;
  const auto found = std::ranges::find(zones, name, &meshing::NamedLevel::name);
  if (found == zones.end()) throw std::out_of_range(name);
  return meshing::cell_size(fitted().plan, found->level);
}

void expect_on_face(double at, double start, double cell, const std::string& what) {
  const double cells = (at - start) / cell;
  EXPECT_NEAR(cells, std::round(cells), 1e-6) << what;  // rounding of coordinates over 500 cells
}

TEST(FitToCells, EndsTheOilCoolerOnCellFacesAndRecordsItsDepth) {
  const double cell = cell_in("oil_cooler");
  const double start = fitted().plan.far_field.low.x;
  const shape::Box box = shape::bounding_box(named(fitted().after.zones, "oil_cooler").surface);
  expect_on_face(box.low.x, start, cell, "front");
  expect_on_face(box.high.x, start, cell, "rear");
  const shape::Passage& cooler = passage(fitted().after, "oil_cooler");
  EXPECT_NEAR(cooler.depth, box.high.x - box.low.x, 1e-12);
  // Of 50 mm less than a cell is lost at either end, and nothing is added.
  EXPECT_GT(cooler.depth, 0.050 - 2.0 * cell);
  EXPECT_LE(cooler.depth, 0.050);
  EXPECT_NEAR(named(fitted().after.zones, "oil_cooler").record.volume, 0.016 * cooler.depth, 1e-12);
  EXPECT_NEAR(named(fitted().after.planes, "oil_cooler_outlet").record.origin.x, box.high.x, 1e-12);
  const double middle = named(fitted().after.planes, "oil_cooler").record.origin.x;
  expect_on_face(middle, start, cell, "middle");
  EXPECT_GT(middle, box.low.x);
  EXPECT_LT(middle, box.high.x);
}

TEST(FitToCells, EndsALeakAcrossTheCowlOnCellFaces) {
  const double cell = cell_in("leak_centre_wall");
  const shape::Box box = shape::bounding_box(named(fitted().after.zones, "leak_centre_wall").surface);
  // The plane of symmetry is a cell face, so both ends are alike.
  expect_on_face(box.high.y, 0.0, cell, "right end");
  EXPECT_NEAR(box.low.y, -box.high.y, 1e-12);
  EXPECT_NEAR(passage(fitted().after, "leak_centre_wall").depth, 2.0 * box.high.y, 1e-12);
}

TEST(FitToCells, LeavesTheCoresAsTheyAre) {
  for (const char* name : {"core_l1", "core_r2"}) {
    EXPECT_EQ(named(fitted().after.zones, name).surface.points,
              named(fitted().before.zones, name).surface.points);
    EXPECT_EQ(passage(fitted().after, name).depth, passage(fitted().before, name).depth);
    EXPECT_EQ(named(fitted().after.planes, name).record.origin,
              named(fitted().before.planes, name).record.origin);
    const std::string outlet = std::string(name) + "_outlet";
    EXPECT_EQ(named(fitted().after.planes, outlet).record.origin,
              named(fitted().before.planes, outlet).record.origin);
  }
}

}  // namespace
}  // namespace cowlwright::foam
