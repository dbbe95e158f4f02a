// SPDX-License-Identifier: GPL-3.0-or-later
//
// One annulus solved by itself.
#include "cases/propeller/local_air.h"

#include "cases/propeller/annulus.h"
#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::propeller {

LocalAir local_air(const PropellerSpec& propeller,
                   const Operating& operating,
                   double collective,
                   const DiskPlace& place) {
  if (!(place.radius > 0.5 * propeller.hub_diameter) || !(place.radius < 0.5 * propeller.diameter)) return {};
  const double blade_speed = operating.rotational_speed * place.radius - place.following_wind;
  if (!(blade_speed > 0.0)) {
    throw base::ResultError(
        fmt::format("propeller at r = {:.4f} m: blades at {:.1f} m/s with a following wind of {:.1f} m/s: "
                    "must be faster than "
                    "it. Check rotational_speed, incidence and airspeed.",
                    place.radius,
                    operating.rotational_speed * place.radius,
                    place.following_wind));
  }
  const Annulus annulus = annulus_at(propeller, place.radius, collective);
  const double angle = mean_inflow_angle(annulus, operating.airspeed, blade_speed / place.radius);
  const DiskForce force = disk_force(annulus, angle);
  // As in performance_at(): W cos = blade speed - v_t with v_t = s c_t W / (4 |sin|).
  const double through_flow = std::max(std::abs(std::sin(angle)), 1e-9);
  const double swirl_share = 0.25 * annulus.solidity * force.tangential / through_flow;
  const double speed = blade_speed / (std::cos(angle) + swirl_share);
  const double rise = 0.5 * operating.density * speed * speed * annulus.solidity * force.axial;
  return {rise, 2.0 * swirl_share * speed};
}

}  // namespace cowlwright::propeller
