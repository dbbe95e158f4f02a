// SPDX-License-Identifier: GPL-3.0-or-later
//
// A cowl of ours given out as a sheet and taken in again as a stranger's: the installation in it must be the
// same; and what a stranger's sheet may be refused for.
#include "geometry/shape/own_cowl.h"

#include "geometry/base/error.h"
#include "geometry/shape/boolean.h"
#include "geometry/shape/connectivity.h"
#include "geometry/shape/cowl_skin.h"
#include "geometry/shape/installation.h"
#include "geometry/shape/layout.h"
#include "geometry/shape/outline.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <string>

namespace cowlwright::shape {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::StartsWith;
using ::testing::ThrowsMessage;

constexpr double cut_station = 0.25;  // behind the rings' rounding, 110 mm ahead of the front wall

NamedOpening inlet_box(double y) {
  return {
      .near_point = {}, .box = Box{{0.10, y - 0.1, -0.1}, {0.40, y + 0.1, 0.15}}, .cut_station = cut_station};
}

OwnSkin own_skin(const ShapeSpec& spec) {
  OwnSkin skin;
  skin.name = "mine.stl";
  skin.surface = cowl_skin(spec);
  skin.inlet_left = inlet_box(-0.5 * spec.inlets.spacing);
  skin.inlet_right = inlet_box(0.5 * spec.inlets.spacing);
  skin.exit.near_point = base::Vec3{layout(spec).trailing_edge, 0.0, -0.45};
  return skin;
}

OwnCowlRoom room_of(const ShapeSpec& spec) {
  return {spec.plenum.front_station,
          spec.cowl.firewall_station,
          spec.cowl.skin_thickness,
          0.5 * spec.spinner.diameter,
          spec.exit.width};
}

/// The parametric spec with its skin and inlets replaced by its own sheet.
ShapeSpec taken_in_again(const ShapeSpec& spec) {
  ShapeSpec own = spec;
  take_dimensions(fit_own_cowl(own_skin(spec), room_of(spec)), own);
  return own;
}

std::map<std::string, double> volumes(const Installation& built) {
  std::map<std::string, double> volume;
  for (const Zone& zone : built.zones) volume[zone.record.name] = zone.record.volume;
  return volume;
}

std::map<std::string, double> areas(const Installation& built) {
  std::map<std::string, double> area;
  for (const MeasurementPlane& plane : built.planes) area[plane.record.name] = plane.record.area;
  return area;
}

TEST(OwnCowl, IsWhatItsCowlSkinIs) {
  const ShapeSpec own = taken_in_again({});
  const Surface skin = cowl_skin(own);
  EXPECT_EQ(skin.triangles, own.own->skin.triangles);
  EXPECT_EQ(edge_loops(skin).size(), 3U);  // two inlets and the rear edge
}

TEST(OwnCowl, TakenInAgainHoldsTheSameInstallation) {
  const ShapeSpec parametric;
  const ShapeSpec own = taken_in_again(parametric);
  EXPECT_NEAR(own.exit.overhang, parametric.exit.overhang, 1e-6);
  EXPECT_NEAR(own.exit.gap, parametric.exit.gap, 0.0005);  // chords of the skin's facets
  EXPECT_NEAR(own.inlets.spacing, parametric.inlets.spacing, 1e-6);

  const Installation a = build_installation(parametric);
  const Installation b = build_installation(own);
  EXPECT_EQ(b.proof.n_tunnels, a.proof.n_tunnels);
  EXPECT_EQ(b.proof.n_components, 1U);
  EXPECT_EQ(b.wetted.patch_names, a.wetted.patch_names);
  // Solid differs by the throats' length that is now duct, by 1 mm round the fuselage and by facets.
  EXPECT_NEAR(b.proof.volume / a.proof.volume, 1.0, 0.01);
  // The parametric inset moves a superellipse's half axes in, which leaves corners a little thicker than the
  // skin.
  for (const auto& [name, volume] : volumes(a)) EXPECT_NEAR(volumes(b).at(name) / volume, 1.0, 0.015) << name;
  for (const auto& [name, area] : areas(a)) EXPECT_NEAR(areas(b).at(name) / area, 1.0, 0.01) << name;
}

TEST(OwnCowl, HoldsASplitDeckWithSixCylindersBentLipAndProudRings) {
  ShapeSpec spec;
  spec.engine.n_cylinders = 6;
  spec.engine.core_length = 0.12;
  spec.plenum.kind = PlenumKind::Split;
  spec.inlets.left.ring = spec.inlets.right.ring = RingStyle::Proud;
  spec.inlets.left.ring_stand = spec.inlets.right.ring_stand = 0.02;
  spec.exit.lip_angle = 0.7;
  ASSERT_TRUE(shape_conflicts(spec).empty());
  const Installation built = build_installation(taken_in_again(spec));
  EXPECT_EQ(built.proof.n_components, 1U);
  EXPECT_EQ(built.proof.n_tunnels, 2 + 6 + 1 - 4 + 1);
  EXPECT_GE(built.proof.smallest_clearance, 0.8 * spec.cowl.skin_thickness);
}

/// A stranger's cowl: cheeks, a dip in the crown, the right side 3 mm fuller, a hole for the spinner's shaft.
Surface strangers_skin(const ShapeSpec& spec) {
  Surface skin = cowl_skin(spec);
  for (base::Vec3& p : skin.points) {
    const double along = smooth_step((p.x - 0.45) / 0.3) * smooth_step((1.2 - p.x) / 0.3);
    const double cheek = 0.03 * along * std::exp(-std::pow((p.z - 0.02) / 0.12, 2.0));
    p.y *= 1.0 + cheek / 0.5;
    if (p.y > 0.0) p.y += 0.003 * along * smooth_step(p.y / 0.2);
    if (p.z > 0.0) p.z -= 0.02 * along * std::exp(-std::pow(p.y / 0.15, 2.0));
  }
  // The flat nose face is a fan about the shaft: its middle goes, up to 120 mm from it.
  constexpr double hole = 0.12;
  const auto is_shaft = [&](std::uint32_t k) {
    return std::hypot(skin.points[k].y, skin.points[k].z) < 1e-6;
  };
  std::map<std::uint32_t, std::uint32_t> rim;
  const auto rim_point = [&](std::uint32_t k) {
    const auto [entry, is_new] = rim.try_emplace(k, static_cast<std::uint32_t>(skin.points.size()));
    if (is_new) {
      const base::Vec3 p = skin.points[k];
      const double share = hole / std::hypot(p.y, p.z);
      skin.points.push_back({p.x, share * p.y, share * p.z});
    }
    return entry->second;
  };
  Surface open;
  open.patch_names = skin.patch_names;
  for (std::size_t i = 0; i < skin.triangles.size(); ++i) {
    std::array<std::uint32_t, 3> t = skin.triangles[i];
    std::rotate(t.begin(), std::find_if(t.begin(), t.end(), is_shaft), t.end());
    if (!is_shaft(t[0])) {
      open.triangles.push_back(t);
    } else {
      open.triangles.push_back({rim_point(t[1]), t[1], t[2]});
      open.triangles.push_back({rim_point(t[1]), t[2], rim_point(t[2])});
    }
    open.patch.resize(open.triangles.size(), skin.patch[i]);
  }
  open.points = skin.points;
  return open;
}

TEST(OwnCowl, HoldsAStrangersUnevenCowlAndSaysWhatIsUneven) {
  const ShapeSpec spec;
  OwnSkin skin = own_skin(spec);
  skin.surface = strangers_skin(spec);
  const auto own = fit_own_cowl(skin, room_of(spec));
  EXPECT_THAT(own->notes, testing::Contains(HasSubstr("the hole round the shaft")));
  EXPECT_NEAR(own->form.asymmetry(), 0.003, 0.002);
  ShapeSpec inside = spec;
  take_dimensions(own, inside);
  const Installation built = build_installation(inside);
  EXPECT_EQ(built.proof.n_components, 1U);
  EXPECT_GE(built.proof.smallest_clearance, 0.8 * spec.cowl.skin_thickness);
}

TEST(OwnCowl, TurnsASheetThatFacesInwardAndSaysSo) {
  OwnSkin skin = own_skin(ShapeSpec{});
  for (auto& t : skin.surface.triangles) std::swap(t[1], t[2]);
  const auto own = fit_own_cowl(skin, room_of(ShapeSpec{}));
  EXPECT_THAT(own->notes, testing::Contains(HasSubstr("faced inward")));
}

/// Takes out the triangle nearest to a place.
void punch(Surface& surface, const base::Vec3& place) {
  std::size_t nearest = 0;
  double least = HUGE_VAL;
  for (std::size_t i = 0; i < surface.triangles.size(); ++i) {
    const auto& t = surface.triangles[i];
    const base::Vec3 middle =
        (1.0 / 3.0) * (surface.points[t[0]] + surface.points[t[1]] + surface.points[t[2]]);
    if (norm(middle - place) < least) {
      least = norm(middle - place);
      nearest = i;
    }
  }
  surface.triangles.erase(surface.triangles.begin() + static_cast<std::ptrdiff_t>(nearest));
  surface.patch.erase(surface.patch.begin() + static_cast<std::ptrdiff_t>(nearest));
}

/// What the sheet is refused with in the default room; empty when it is not.
std::string refusal(const OwnSkin& skin) {
  try {
    fit_own_cowl(skin, room_of(ShapeSpec{}));
  } catch (const base::InputError& error) {
    return error.what();
  }
  return {};
}

TEST(OwnCowl, RefusesAHoleThatIsNoOpeningNamingItsPlace) {
  OwnSkin skin = own_skin(ShapeSpec{});
  punch(skin.surface, {0.8, 0.5, 0.05});
  EXPECT_THAT(refusal(skin),
              AllOf(StartsWith("mine.stl: "),
                    HasSubstr("a hole that is no named opening"),
                    HasSubstr("centre FS 789.2 BL 508.3 WL 54.4 mm")));
}

TEST(OwnCowl, RefusesACrumbBesideTheSheet) {
  OwnSkin skin = own_skin(ShapeSpec{});
  const auto n = static_cast<std::uint32_t>(skin.surface.points.size());
  skin.surface.points.insert(skin.surface.points.end(), {{2, 0, 0}, {2, 0.1, 0}, {2, 0, 0.1}});
  skin.surface.triangles.push_back({n, n + 1, n + 2});
  skin.surface.patch.push_back(0);
  EXPECT_THAT(
      refusal(skin),
      AllOf(StartsWith("mine.stl: "), HasSubstr("2 separate pieces"), HasSubstr("cowlwright repair")));
}

TEST(OwnCowl, RefusesAFlippedFaceNamingItsPlace) {
  OwnSkin skin = own_skin(ShapeSpec{});
  std::swap(skin.surface.triangles[1000][0], skin.surface.triangles[1000][1]);
  EXPECT_THAT(refusal(skin),
              AllOf(StartsWith("mine.stl: "), HasSubstr("flipped or doubled"), HasSubstr("FS ")));
}

TEST(OwnCowl, RefusesAPointFarFromAnyEdgeListingTheEdges) {
  OwnSkin skin = own_skin(ShapeSpec{});
  skin.inlet_left = {.near_point = base::Vec3{0.7, 0.0, 0.2}, .box = {}, .cut_station = {}};
  EXPECT_THAT(refusal(skin),
              AllOf(StartsWith("mine.stl: "),
                    HasSubstr("own_inlet_left"),
                    HasSubstr("must be exactly one"),
                    HasSubstr("centre FS")));
}

TEST(OwnCowl, RefusesInletsNamedOnTheWrongSide) {
  OwnSkin skin = own_skin(ShapeSpec{});
  std::swap(skin.inlet_left, skin.inlet_right);
  EXPECT_THAT(refusal(skin),
              AllOf(StartsWith("mine.stl: "), HasSubstr("own_inlet_left"), HasSubstr("on the other side")));
}

TEST(OwnCowl, RefusesADuctThatReachesThePlenum) {
  OwnSkin skin = own_skin(ShapeSpec{});
  skin.inlet_left.cut_station = 0.345;
  EXPECT_THAT(
      refusal(skin),
      AllOf(StartsWith("mine.stl: "), HasSubstr("345.0 mm: must be <= 330.0 mm"), HasSubstr("cut_station")));
}

TEST(OwnCowl, RefusesACutThatCutsNothing) {
  OwnSkin skin = own_skin(ShapeSpec{});
  skin.inlet_right.cut_station = 0.39;
  EXPECT_THAT(refusal(skin),
              AllOf(StartsWith("mine.stl: "), HasSubstr("own_inlet_right"), HasSubstr("cuts nothing")));
}

TEST(OwnCowl, RefusesASkinThatEndsAheadOfTheFirewall) {
  OwnSkin skin = own_skin(ShapeSpec{});
  const OwnCowlRoom room = [] {
    OwnCowlRoom r = room_of(ShapeSpec{});
    r.firewall_station += 0.05;
    return r;
  }();
  EXPECT_THAT([&] { fit_own_cowl(skin, room); },
              ThrowsMessage<base::InputError>(
                  AllOf(HasSubstr("upper cowl ends at FS 1250.0 mm"), HasSubstr("1300.0 mm"))));
}

TEST(OwnCowl, RefusesATrailingEdgeThatIsNotStraightAcrossTheExit) {
  OwnSkin skin = own_skin(ShapeSpec{});
  for (base::Vec3& p : skin.surface.points) {
    if (p.x > 1.34 && p.y > 0.1) p.x += 0.01;
  }
  EXPECT_THAT(
      refusal(skin),
      AllOf(
          StartsWith("mine.stl: "), HasSubstr("trailing edge runs from FS"), HasSubstr("must be straight")));
}

}  // namespace
}  // namespace cowlwright::shape
