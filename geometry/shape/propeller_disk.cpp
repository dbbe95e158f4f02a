// SPDX-License-Identifier: GPL-3.0-or-later
//
// The zone of the propeller's blades.
#include "geometry/shape/builder.h"
#include "geometry/shape/installation.h"

#include <array>
#include <cstdint>
#include <numbers>
#include <utility>

namespace cowlwright::shape {

Zone propeller_disk(double hub_diameter, double diameter, double thickness) {
  constexpr std::uint32_t n = 96;
  const double pi = std::numbers::pi;
  const double step = 2.0 * pi / n;
  // A polygon of the true circle's area.
  const double widening = std::sqrt(step / std::sin(step));
  SurfaceBuilder builder;
  for (std::uint32_t k = 0; k < n; ++k) {
    const double y = widening * std::cos(step * (k + 0.5));
    const double z = widening * std::sin(step * (k + 0.5));
    const double inner = 0.5 * hub_diameter;
    const double outer = 0.5 * diameter;
    builder.add_point({-0.5 * thickness, inner * y, inner * z});
    builder.add_point({-0.5 * thickness, outer * y, outer * z});
    builder.add_point({0.5 * thickness, outer * y, outer * z});
    builder.add_point({0.5 * thickness, inner * y, inner * z});
  }
  for (std::uint32_t k = 0; k < n; ++k) {
    for (std::uint32_t i = 0; i < 4; ++i) {
      const std::uint32_t a = 4 * k + i;
      const std::uint32_t b = 4 * k + (i + 1) % 4;
      const std::uint32_t far = 4 * ((k + 1) % n);
      builder.add_quad(a, b, far + (i + 1) % 4, far + i, Patch::Spinner);
    }
  }
  Zone zone;
  zone.surface = std::move(builder).closed();
  for (std::string& name : zone.surface.patch_names) name = "propeller_disk";
  const double section = 0.25 * pi * (diameter * diameter - hub_diameter * hub_diameter);
  zone.record = {"propeller_disk", base::ZoneRole::PropellerDisk, base::Side::Centre, section * thickness};
  return zone;
}

}  // namespace cowlwright::shape
