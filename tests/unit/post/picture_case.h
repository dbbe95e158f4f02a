// SPDX-License-Identifier: GPL-3.0-or-later
//
// A tiny solved case with two inlets, a cylinder and an exit, for the pictures: a block of air 2 x 1 x 1 m in
// cells of 0.125 m, with fields that are linear in space.
#pragma once

#include "geometry/base/manifest.h"
#include "tests/unit/post/synthetic_case.h"

namespace cowlwright::post::synthetic {

inline constexpr double picture_pressure = 90000.0;   ///< of the free stream [Pa]
inline constexpr double picture_reference = 1500.0;   ///< q [Pa]
inline constexpr double picture_temperature = 300.0;  ///< [K]
inline constexpr double picture_cell = 0.125;         ///< [m]

/// Pressure coefficient of the case's field at a place.
inline double exact_cp(const base::Vec3& place) {
  return 0.4 - 0.3 * place.x + 0.2 * place.y - 0.1 * place.z;
}
/// Temperature rise [K].
inline double exact_rise(const base::Vec3& place) {
  return 10.0 + 20.0 * place.x - 5.0 * place.z;
}

inline Duct picture_duct() {
  Duct duct;
  duct.nx = 16;
  duct.ny = 8;
  duct.nz = 8;
  duct.cell = picture_cell;
  duct.origin = {0.0, -0.5, -0.5};
  duct.encoding = Encoding::Binary;
  duct.face_zones = {{"exit", faces_at_x(1.5)}};
  duct.cell_zones = {{"core_l1", cells_between(0.75, 1.0)}};
  duct.pressure = [](const base::Vec3& c) { return picture_pressure + picture_reference * exact_cp(c); };
  duct.temperature = [](const base::Vec3& c) { return picture_temperature + exact_rise(c); };
  duct.density = [](const base::Vec3&) { return 1.2; };
  duct.velocity = [](const base::Vec3&) { return base::Vec3{25.0, 0.0, 0.0}; };
  return duct;
}

inline base::Manifest picture_manifest() {
  base::Manifest manifest;
  manifest.study = "Block";
  manifest.variant = "base";
  manifest.grid_level = "draft";
  manifest.flight = {.true_airspeed = 50.0,
                     .pressure = picture_pressure,
                     .temperature = picture_temperature,
                     .density = 1.2,
                     .dynamic_pressure = picture_reference,
                     .reference_pressure = picture_reference};
  const base::Vec3 aft{1.0, 0.0, 0.0};
  const base::Vec3 down{0.0, 0.0, -1.0};
  manifest.planes = {
      {"inlet_left", base::PlaneRole::Inlet, base::Side::Left, {0.5, -0.25, 0.1}, aft, 0.01, 0.06},
      {"inlet_right", base::PlaneRole::Inlet, base::Side::Right, {0.5, 0.25, 0.1}, aft, 0.01, 0.06},
      {"core_l1", base::PlaneRole::Core, base::Side::Left, {0.9, -0.2, 0.0}, down, 0.04, 0.15},
      {"exit", base::PlaneRole::Exit, base::Side::Centre, {1.5, 0.0, -0.19}, aft, 0.03, 0.2}};
  manifest.zones = {{"core_l1", base::ZoneRole::Core, base::Side::Left, 0.25}};
  manifest.passages = {{.zone = "core_l1",
                        .plane = "core_l1",
                        .area = 0.04,
                        .depth = 0.15,
                        .viscous = 2e6,
                        .inertial = 100.0,
                        .heat = 9000.0}};
  manifest.patches = {{"sides", 10.0}};
  return manifest;
}

/// Writes it as one rank's case.
inline void write_picture_case(const std::filesystem::path& dir) {
  write_duct(picture_duct(), dir, "400");
  base::write_manifest(picture_manifest(), dir);
}

}  // namespace cowlwright::post::synthetic
