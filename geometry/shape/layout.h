// SPDX-License-Identifier: GPL-3.0-or-later
//
// Stations, heights and small allowances that follow from the dimensions; every part, zone, plane and rule
// takes them from here, so that they agree.
#pragma once

#include "geometry/shape/spec.h"

#include <array>

namespace cowlwright::shape {

/// Flat land between a proud ring's inner and outer rounding [m].
inline constexpr double crest_land = 0.003;
/// Clear distance kept between a deck's floor and the bottom of a throat that opens into it [m].
inline constexpr double throat_step = 0.012;
/// Solid between the foot of the deck's front ramp, or the lower deck's front wall, and the first core [m].
inline constexpr double core_front_wall = 0.015;
/// The crankcase block reaches this far past the deck's start and its rear baffle, so that no narrow slots
/// are left at its ends [m].
inline constexpr double crankcase_overlap = 0.020;
/// The step from the cowl's trailing edge up to the belly takes this much of x [m].
inline constexpr double step_run = 0.005;
/// How far a zone is drawn into thick solid [m].
inline constexpr double zone_overlap = 0.030;
/// How far an inlet's measurement plane is drawn into the solid round the throat [m].
inline constexpr double plane_overlap = 0.010;

/// Solid, or air, kept between the channel's firewall edge and the strut [m].
inline constexpr double strut_front = 0.010;
/// Air kept between the exhaust pipes' legs and the firewall behind them, and the crankcase ahead [m].
inline constexpr double leg_to_firewall = 0.040;
inline constexpr double leg_to_crankcase = 0.020;

struct Layout {
  double nose_end;       ///< station where the section is full
  double last_core_end;  ///< station of the last core's rear face
  double deck_start;     ///< station where the upper deck's ramp ends; also the lower deck's front wall
  double deck_end;       ///< station of the rear baffle
  double deck_floor;     ///< height of the upper deck's floor; minus this is the lower deck's ceiling
  double deck_lid;       ///< height of the plenum's lid; infinite without one
  double ramp_foot;      ///< height of the floor at the deck's front wall
  double trailing_edge;  ///< station of the lower cowl's trailing edge
  double tail_end;       ///< station of the tail
  double bump;           ///< depth of the exit fairing below the belly: gap and skin
  double bump_end;   ///< station where the fairing has ended: the trailing edge, where it stops short; of the
                     ///< closed reference further aft, where it has run out into the belly
  double bump_flat;  ///< half width over which the fairing has its full depth
  double bump_side;  ///< width of the fairing's flank
  double crankcase_front;  ///< stations of the crankcase block
  double crankcase_rear;
};

Layout layout(const ShapeSpec& spec);

inline constexpr std::array both_sides{base::Side::Left, base::Side::Right};
/// -1 on the left, where y is negative, 1 on the right.
inline double sign_of(base::Side side) {
  return side == base::Side::Left ? -1.0 : 1.0;
}

/// Where one inlet's duct changes, from front to rear.
struct InletLayout {
  double y;             ///< butt line of its axis
  double crest;         ///< station of the ring's foremost point
  double throat_start;  ///< station where the ring's rounding ends and the constant section begins
  double throat_end;    ///< station where the diffuser begins; the deck's front wall without one
  double end_scale;     ///< section at the deck's front wall over the throat's, in length
};

InletLayout inlet_layout(const ShapeSpec& spec, base::Side side);

/// Station of the front face of the k-th core from the front, k = 0 ... n_cylinders/2 - 1.
double core_front(const EngineSpec& engine, int k);

/// Height of the upper deck's floor at a station between its front wall and its rear baffle [m].
double deck_floor_at(const ShapeSpec& spec, const Layout& at, double x);

/// Height of the centre wall's top; infinite where it reaches the roof [m].
double centre_wall_top(const ShapeSpec& spec, const Layout& at);

/// Station of the measurement plane in the exit channel: behind the firewall's rounding and the strut, ahead
/// of the edge.
double exit_plane_station(const ShapeSpec& spec);

/// How far the mesh may move the exit's measurement plane: half a cell of its coarsest grid [m].
double exit_plane_play(const ExitSpec& exit);

/// Station of the nose-leg strut's axis: as far aft in the channel as the measurement plane behind it allows.
double strut_station(const ShapeSpec& spec);

/// Centre line of the right exhaust pipe, in the plane y = `side`: down from the lower deck's ceiling, round
/// a quarter bend, aft.
struct ExhaustPath {
  double radius;       ///< of the pipe
  double side;         ///< y
  double leg_station;  ///< x of the upright leg
  double bend_radius;  ///< of the centre line
  double height;       ///< z of the run aft: midway between the belly and the highest floor below the run
  double end_station;  ///< x of its end
};
ExhaustPath exhaust_path(const ShapeSpec& spec);

/// Of both pipes' part in the lower deck [m³].
double exhaust_volume_in_deck(const ShapeSpec& spec);

}  // namespace cowlwright::shape
