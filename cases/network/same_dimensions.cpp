// SPDX-License-Identifier: GPL-3.0-or-later
//
// Comparing specs member by member. Structured bindings name every member, so that one that is added to a
// spec does not go uncompared: this file then no longer compiles.
#include "cases/network/same_dimensions.h"

#include "geometry/shape/own_cowl.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>
#include <tuple>
#include <utility>

namespace cowlwright::network {

namespace {

/// What a study file's "7.5 cm" and "75 mm" differ by.
constexpr double rounding = 1e-9;

template <typename T>
bool alike(const T& a, const T& b) {
  return a == b;
}

template <>
bool alike(const double& a, const double& b) {
  return std::abs(a - b) <= rounding * std::max(1.0, std::abs(a));
}

template <typename... T>
bool alike(const std::tuple<T...>& a, const std::tuple<T...>& b) {
  return [&]<std::size_t... I>(std::index_sequence<I...>) {
    return (alike(std::get<I>(a), std::get<I>(b)) && ...);
  }
  (std::index_sequence_for<T...>{});
}

template <typename T, typename Members>
bool alike(const std::vector<T>& a, const std::vector<T>& b, Members members) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [&](const T& x, const T& y) {
    return alike(members(x), members(y));
  });
}

auto members(const shape::SpinnerSpec& s) {
  const auto& [diameter, length] = s;
  return std::make_tuple(diameter, length);
}

auto members(const shape::CowlSpec& s) {
  const auto& [nose,
               nose_length,
               firewall,
               width,
               above,
               below,
               face_width,
               face_above,
               face_below,
               skin,
               corner] = s;
  return std::make_tuple(
      nose, nose_length, firewall, width, above, below, face_width, face_above, face_below, skin, corner);
}

auto members(const shape::FuselageSpec& s) {
  const auto& [depth, length] = s;
  return std::make_tuple(depth, length);
}

/// Without the own opening, which own_alike() looks at.
auto members(const shape::InletSpec& s) {
  const auto& [opening, diameter, width, height, corner, z, ring, lip, stand, diffuser, ratio, own] = s;
  static_cast<void>(own);
  return std::make_tuple(opening, diameter, width, height, corner, z, ring, lip, stand, diffuser, ratio);
}

auto members(const shape::AlternatorSpec& s) {
  const auto& [side, diameter, length, station, distance, height] = s;
  return std::make_tuple(side, diameter, length, station, distance, height);
}

auto members(const shape::EngineSpec& s) {
  const auto& [n, first, length, gap, inner, outer, depth, width, rise, sump, head] = s;
  return std::make_tuple(n, first, length, gap, inner, outer, depth, width, rise, sump, head);
}

auto members(const shape::PlenumSpec& s) {
  const auto& [kind, front, clearance, thickness, height, roof, lid] = s;
  return std::make_tuple(kind, front, clearance, thickness, height, roof, lid);
}

auto members(const shape::OilCoolerSpec& s) {
  const auto& [place, side, width, height, depth] = s;
  return std::make_tuple(place, side, width, height, depth);
}

/// Without the lip's angle.
auto members(const shape::ExitSpec& s) {
  const auto& [gap, width, overhang, ramp, lip, angle, thickness, plates, strut, pipe, spacing] = s;
  static_cast<void>(angle);
  return std::make_tuple(gap, width, overhang, ramp, lip, thickness, plates, strut, pipe, spacing);
}

auto members(const core::LawPoint& s) {
  const auto& [flow, drop] = s;
  return std::make_tuple(flow, drop);
}

auto members(const propeller::BladeStation& s) {
  const auto& [radius, chord, pitch] = s;
  return std::make_tuple(radius, chord, pitch);
}

auto members(const propeller::PolarPoint& s) {
  const auto& [angle, lift, drag] = s;
  return std::make_tuple(angle, lift, drag);
}

template <typename T>
bool same(const T& a, const T& b) {
  return alike(members(a), members(b));
}

template <typename T>
bool same(const std::vector<T>& a, const std::vector<T>& b) {
  return alike(a, b, [](const T& one) { return members(one); });
}

bool same_law(const core::Law& a, const core::Law& b) {
  return a.kind == b.kind && same(a.points, b.points);
}

/// A user's own cowl by its file's name and what was measured on it.
bool own_alike(const shape::ShapeSpec& a, const shape::ShapeSpec& b) {
  if (!a.own || !b.own) return !a.own && !b.own;
  const auto measured = [](const shape::OwnCowl& own) {
    return std::make_tuple(
        own.name, own.nose_station, own.trailing_edge, own.width, own.height_above, own.depth_below);
  };
  return alike(measured(*a.own), measured(*b.own));
}

bool same_propeller(const propeller::PropellerSpec& a, const propeller::PropellerSpec& b) {
  if (!a.present || !b.present) return a.present == b.present;
  return a.is_uniform == b.is_uniform && a.n_blades == b.n_blades && alike(a.diameter, b.diameter) &&
         alike(a.hub_diameter, b.hub_diameter) && a.rotation == b.rotation && same(a.blade, b.blade) &&
         same(a.polar, b.polar);
}

bool same_upper_deck(const shape::ShapeSpec& a, const shape::ShapeSpec& b) {
  return same(a.cowl, b.cowl) && own_alike(a, b) && same(a.engine, b.engine) && same(a.plenum, b.plenum) &&
         same(a.alternator, b.alternator);
}

double leak_area(const shape::LeakSpec& leaks, std::string_view name) {
  constexpr std::array<std::string_view, shape::n_leak_places> names{"leak_cowl_seal_left",
                                                                     "leak_cowl_seal_right",
                                                                     "leak_rear_baffle_left",
                                                                     "leak_rear_baffle_right",
                                                                     "leak_crankcase_nose",
                                                                     "leak_between_cylinders_left",
                                                                     "leak_between_cylinders_right",
                                                                     "leak_centre_wall"};
  const auto place = std::find(names.begin(), names.end(), name);
  return place == names.end() ? std::nan("")
                              : leaks.effective_area.at(static_cast<std::size_t>(place - names.begin()));
}

}  // namespace

bool same_inlet(const VariantSpec& a, const VariantSpec& b, base::Side side) {
  return same(shape::inlet(a.shape, side), shape::inlet(b.shape, side)) &&
         alike(a.shape.inlets.spacing, b.shape.inlets.spacing) && same(a.shape.spinner, b.shape.spinner) &&
         same_propeller(a.propeller, b.propeller) && same_upper_deck(a.shape, b.shape);
}

bool same_core(const VariantSpec& a, const VariantSpec& b, const std::string& cylinder) {
  const std::vector<std::string> names = core::cylinder_names(a.shape.engine.n_cylinders);
  const auto place =
      static_cast<std::size_t>(std::find(names.begin(), names.end(), cylinder) - names.begin());
  return same_upper_deck(a.shape, b.shape) && place < a.core.law.size() && place < b.core.law.size() &&
         same_law(a.core.law[place], b.core.law[place]);
}

bool same_cooler(const VariantSpec& a, const VariantSpec& b) {
  return a.oil_cooler && b.oil_cooler && same_upper_deck(a.shape, b.shape) &&
         same(a.shape.oil_cooler, b.shape.oil_cooler) && same_law(a.oil_cooler->law, b.oil_cooler->law);
}

bool same_leak(const VariantSpec& a, const VariantSpec& b, const std::string& name) {
  return same_upper_deck(a.shape, b.shape) &&
         alike(leak_area(a.shape.leaks, name), leak_area(b.shape.leaks, name));
}

bool same_exit_but_lip_angle(const VariantSpec& a, const VariantSpec& b) {
  return same(a.shape.exit, b.shape.exit) && same(a.shape.fuselage, b.shape.fuselage) &&
         same(a.shape.cowl, b.shape.cowl) && own_alike(a.shape, b.shape) &&
         alike(a.shape.engine.sump_drop, b.shape.engine.sump_drop);
}

}  // namespace cowlwright::network
