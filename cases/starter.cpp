// SPDX-License-Identifier: GPL-3.0-or-later
//
// Kept as one text, so that what a user gets is what one reads here.
#include "cases/starter.h"

namespace cowlwright {

std::string starter_study_text() {
  return R"toml(# A cowling flow study.
#
# Every quantity is a text of a number and a unit, such as "125 mm", "5.25 in", "110 kt", "12 degC", "6 inH2O".
# Stations count aft from the propeller plane, heights up from the crankshaft line; left and right are the pilot's.
# Keys marked "optional" may be left out; the value shown is then what is used.
# This installation is invented. Measure your own, then run:  cowlwright check <this file>
#
# What comes out is an estimate, not an approval. Instrument the engine and flight-test; the engine maker's limits,
# local rules and licensed people decide.

[study]
title = "Exit lip"                                    # optional
question = "Does bending the exit lip down lower the pressure below the cylinders?"   # optional

[flight]
true_airspeed = "105 kt"          # or calibrated_airspeed, not both; "0 kt" is a ground run in still air
# Exactly two of pressure_altitude, density_altitude, outside_temperature, isa_deviation:
density_altitude = "4000 ft"
outside_temperature = "20 degC"
incidence = "0 deg"               # optional; nose up against the oncoming air is positive
sideslip = "0 deg"                # optional; wind from the pilot's right is positive
turbulence_intensity = "1 %"      # optional; of the air far ahead, it decays on its way to the aircraft
eddy_viscosity_ratio = 10.0       # optional; turbulent over molecular viscosity there, sets how fast it decays

[engine]
cylinders = 4                     # 4 or 6, horizontally opposed
shaft_power = "75 kW"             # at this flight condition
rotational_speed = "2600 rpm"     # of the propeller shaft
# The fins' pressure drop: sigma*dp (dp times density ratio to sea level) at a mass flow through one cylinder.
# Ask the engine maker. One point with an exponent, or lists of a measured table without core_exponent.
core_mass_flow = "0.16 kg/s"
core_pressure_drop = "1200 Pa"
core_exponent = 1.85              # between 1 and 2
# Or from the fins' dimensions, in place of the three; an estimate from straight passages, less sure than a measurement:
# fin_pitch = "4 mm"              # between the centres of neighbouring fins
# fin_thickness = "1.5 mm"        # mean of one fin
# fin_depth = "20 mm"             # from the barrel to the tips
# bore = "130 mm"                 # diameter of the barrel under the fins
# baffle_arc = "270 deg"          # optional; over which the baffle holds air between the fins, both sides together
core_transverse = 100.0           # optional; resistance across the fins over that along them
heat_share = "50 %"               # heat to the cooling air as part of shaft_power; or heat = "37.5 kW"
# heat_split = ["25 %", "25 %", "25 %", "25 %"]   # optional: each cylinder's part, left ones first, front to rear
# head_heat_share = "70 %"        # optional, with head_width: the head's part of a cylinder's heat
# head_flow_share = "35 %"        # optional, with head_width: its part of the air at one pressure drop; by width if absent
# Where the finned blocks are; all optional:
first_core_station = "0.50 m"     # front edge of the first pair
core_length = "170 mm"            # along the shaft, per cylinder
core_gap = "30 mm"                # between neighbouring cylinders
core_inner = "130 mm"             # inner edge, from the shaft line outward
core_outer = "410 mm"             # outer edge
core_depth = "150 mm"             # along the air's way, half of it above the shaft line
crankcase_width = "220 mm"
crankcase_rise = "40 mm"          # above the floor of the upper deck
sump_drop = "60 mm"               # below the ceiling of the lower deck
# head_width = "90 mm"            # splits every core: its outer part is the head's, behind 15 mm of wall the barrel's

# A law of its own for one cylinder, [cylinder_l1] to [cylinder_r3] from the front: the same keys as in [engine].
# [cylinder_r1]
# core_mass_flow = "0.16 kg/s"
# core_pressure_drop = "1500 Pa"
# core_exponent = 1.85

[propeller]
kind = "blades"                   # optional; "uniform_disk" spreads the same thrust evenly, without swirl; "none"
diameter = "1.80 m"
blades = 2
rotation = "clockwise"            # optional; as the pilot sees it, or "anticlockwise"
hub_diameter = "360 mm"           # optional; where the blades begin
spinner_diameter = "320 mm"       # optional
spinner_length = "300 mm"         # optional; tip ahead of the propeller plane
# Optional blade table, plain numbers from hub to tip: r/R, chord/diameter, pitch/diameter. All three or none.
# blade_radius = [0.25, 0.50, 0.75, 1.00]
# blade_chord  = [0.060, 0.075, 0.062, 0.030]
# blade_pitch  = [0.70, 0.75, 0.75, 0.75]
# pitch = "1.45 m"                # instead of blade_pitch: one pitch at every radius
pitch_mode = "to_power"           # optional; the pitch is shifted as a whole until the blades absorb shaft_power;
                                  # "fixed" takes it as given, and the check says what power that absorbs
# Optional polar of the blade section, from low to high angle, to the face that pitch is measured from. All three or none.
# polar_angle = ["-8 deg", "-4 deg", "0 deg", "4 deg", "8 deg", "12 deg"]
# polar_lift  = [-0.37, 0.03, 0.43, 0.81, 1.14, 1.35]
# polar_drag  = [0.016, 0.010, 0.0085, 0.010, 0.014, 0.022]

[cowl]
firewall_station = "1.25 m"
width = "1.02 m"                  # full width at the cylinders
height_above = "270 mm"           # crown above the shaft line
depth_below = "420 mm"            # keel below the shaft line
nose_station = "140 mm"           # optional; flat face behind the propeller plane
nose_length = "320 mm"            # optional; over which the face grows to the full section
face_width = "860 mm"             # optional
face_height_above = "170 mm"      # optional
face_depth_below = "170 mm"       # optional
skin_thickness = "12 mm"          # optional; modelled, need not be the true one
corner_exponent = 3.0             # optional; 2 is an ellipse, larger is squarer

[fuselage]
depth_below = "360 mm"            # optional; belly below the shaft line
length = "3.6 m"                  # optional; firewall to tail end

[inlets]                          # both; what differs on one side goes into [inlet_left] or [inlet_right], see below
diameter = "133 mm"               # throat, each of two
# opening = "oval"                # optional; or "rectangular", then in place of diameter:
# opening_width = "160 mm"
# opening_height = "90 mm"
# corner_radius = "20 mm"         # optional; only of a rectangular one
spacing = "560 mm"                # optional; between the centres
height = "20 mm"                  # optional; centres above the shaft line
ring = "flush"                    # optional; "none" (bare hole), "flush" or "proud"
lip_radius = "20 mm"              # optional; rounding of the ring
# ring_stand = "15 mm"            # only with ring = "proud": how far it stands ahead of the face
# diffuser_length = "80 mm"       # optional; last part of the duct, which widens up to the plenum's front wall
# diffuser_area_ratio = 1.4       # with diffuser_length: area there over the throat's
# [inlet_left]                    # optional, and [inlet_right]: any key of [inlets] but spacing
# diameter = "125 mm"

# A surface of your own, one sheet from CAD or a scan, in place of [inlets], of [cowl] but for firewall_station and
# skin_thickness, and of gap and overhang in [exit]: take those out. Look at it first with: cowlwright inspect
# [own_cowl]
# file = "my-cowl.stl"            # beside this file
# unit = "mm"                     # of the numbers in it
# axes = "x y z"                  # which of its axes point aft, to the pilot's right, up
# origin = "0 0 0"                # optional; the crankshaft line at the propeller plane, in the file's numbers
# [own_inlet_left]                # its open edge, by a point near it or by a box that holds it; [own_inlet_right] alike
# near = ["250 mm", "-280 mm", "20 mm"]        # station, butt line (left is negative), waterline
# box_low = ["100 mm", "-380 mm", "-80 mm"]    # or in place of near these two corners
# box_high = ["400 mm", "-180 mm", "120 mm"]
# cut_station = "250 mm"          # optional, with a box: what lies in the box aft of it is cut off
# [own_exit]                      # the rear edge, which runs round the firewall and along the trailing edge
# near = ["1350 mm", "0 mm", "-440 mm"]

# [alternator]                    # optional; stands in the upper deck behind one inlet
# side = "left"                   # or "right"; "none" to compare without
# diameter = "120 mm"             # these, all optional: a cylinder along the shaft
# length = "80 mm"
# station = "390 mm"              # front face
# distance = "280 mm"             # axis from the plane of symmetry
# height = "60 mm"                # axis above the shaft line

[plenum]
kind = "shared"                   # optional; "split" puts a wall between left and right
front_station = "360 mm"          # optional; front wall of the upper deck
rear_baffle_clearance = "50 mm"   # optional; behind the last cylinder
wall_thickness = "12 mm"          # optional; of the centre wall of a split plenum
# wall_height = "60 %"            # of that wall as part of the deck's height; air passes over a wall below 100 %
roof = "cowl"                     # optional; flexible seals against the cowl, or "lid": a lid of its own below it
# lid_height = "120 mm"           # only with roof = "lid": above the deck's floor; the dead air over it is not computed

# Leaks past the baffles by their effective area Cd A (flow = Cd A sqrt(2 density pressure difference)); all
# optional, a place left out is tight. Openings of three times that area are cut where there is room for them.
# [leaks]
# cowl_seal_left = "4 cm2"        # outboard of the cores, past the seal to the cowl
# cowl_seal_right = "4 cm2"
# rear_baffle_left = "3 cm2"      # behind the last cylinder
# rear_baffle_right = "3 cm2"
# crankcase_nose = "2 cm2"        # round the crankcase beside the first cylinders
# between_cylinders_left = "2 cm2"     # between first and second cylinder; core_gap at least 44 mm
# between_cylinders_right = "2 cm2"
# centre_wall = "2 cm2"           # between the halves of a split plenum

# Optional oil cooler; without the section there is none.
# [oil_cooler]
# place = "rear"                  # on the rear baffle; "front" in the deck's floor ahead of the first core, "below" in it
#                                 # behind the last core (rear_baffle_clearance at least 20 mm above height); "none"
# side = "left"                   # optional; or "right"; its inner edge is in line with the cores'
# width = "160 mm"                # of its face, across the aircraft
# height = "100 mm"               # its other side: upright at the rear, along the shaft in the floor
# depth = "50 mm"                 # in the flow direction
# mass_flow = "0.15 kg/s"         # its law: sigma*dp at a mass flow, one point with an exponent or lists, as of the cores
# pressure_drop = "1000 Pa"
# exponent = 1.8
# heat_share = "8 %"              # heat of the oil to the air as part of shaft_power; or heat = "6 kW"

[exit]
gap = "75 mm"                     # between belly and lower cowl
width = "530 mm"
overhang = "100 mm"               # optional; trailing edge aft of the firewall
ramp_radius = "60 mm"             # optional; rounding of the firewall's lower edge
lip_length = "50 mm"              # optional; "0 mm" is no lip
lip_angle = "0 deg"               # optional; bent down from the skin; an adjustable flap is this angle varied
lip_thickness = "10 mm"           # optional; modelled, need not be the true one
# side_plates = true              # optional; upright plates that close the ends of the lip up to the belly
# strut_diameter = "40 mm"        # optional; a nose leg upright through the exit, on the centre line
# exhaust_diameter = "36 mm"      # optional; each of two pipes that run out through the gap. What comes out of them
# exhaust_spacing = "240 mm"      # is not computed: neither its heat nor the air it drags along (no augmentation)

[grid]
level = "coarse"                  # optional; "draft" only to try a file out, then "coarse", "medium", "fine"
compare = 1                       # optional; 3 solves each variant on this level and the two coarser ones, for bands
# cooling_drag = true             # optional; solves each variant once more with inlets and exit closed: the reference
                                  # of cooling drag from forces. Without it, only what the air's momentum says
domain_size = 1.0                 # optional; factor on the distances from the aircraft to the edge of the computed air
wall_treatment = "log_law"        # optional; or "blended" down to the viscous layer
start = "nearest"                 # optional; first guess of the flow: the result of the most similar variant, or "still" air

# Temperatures and margins of the quick estimate (cowlwright estimate, cowlwright envelope); nothing here changes a
# solved case. With readings of flight ([reading_1], ...) there is a number with a band; without, at most a band.
# [limits]                        # the engine maker's; a margin is shown for each that is given
# head_bottom = "216 degC"        # at the bottom of the head
# under_plug = "232 degC"         # under the spark plug: another place, another limit; the two are never mixed
# barrel = "150 degC"
# oil = "118 degC"                # before the cooler
# [fuel]
# fuel_flow = "8.1 gal/h"         # of the engine at shaft_power, as volume or mass; or specific_consumption = "0.44 lb/(hp h)"
# density = "6 lb/gal"            # optional; 0.719 kg/L
# fuel_air_ratio = 0.08           # optional; by mass. It cancels where it is as it was at the readings
# carburettor_temperature = "25 degC"   # optional; of the air there in this flight; that outside if absent
# [temperatures]                  # all optional
# rated_power = "85 kW"           # without readings: the band assumes that the engine maker's pressure drop, one core_mass_flow
#                                 # with core_pressure_drop, keeps the head at or below its limit at this power on a hot day
# required_pressure_drop = "1200 Pa"    # in its place, sigma*dp across a cylinder
# charge_exponent = 0.60          # n and m of (T - T_a) / (T_g - T) = K W^n / (sigma dp)^m, of NACA's reports
# cooling_exponent = 0.33
# cooler_heat = "6 kW"            # one point of the oil cooler, from its maker, these three together
# cooler_air_flow = "0.15 kg/s"
# cooler_temperature_difference = "60 K"      # oil that enters less air that enters
# oil_flow = "0.2 kg/s"           # for the oil behind the cooler
# [envelope]                      # what cowlwright envelope maps
# calibrated_airspeeds = ["65 kt", "80 kt", "95 kt", "110 kt"]     # or true_airspeeds
# incidences = ["8 deg", "5 deg", "3 deg", "1 deg"]     # optional; one for each airspeed
# pressure_altitudes = ["0 ft", "4000 ft", "8000 ft"]
# days = ["standard", "hot"]      # optional; or an outside temperature such as "35 degC", the same at every altitude
# hot_day = "14 CFR 23.1043"      # optional; 100 degF at sea level, or "CS 22.1047": 38 degC
# method = "model"                # optional; "regulation" carries the standard day's temperatures by the rule
# shaft_powers = ["85 kW", "60 kW"]           # optional; with rotational_speeds
# rotational_speeds = ["2700 rpm", "2400 rpm"]
# fuel_flows = ["9 gal/h", "5.5 gal/h"]       # optional; in proportion to the power if absent
# power_names = ["climb", "cruise"]           # optional
# stall_speed = "50 kt"           # optional; calibrated. What lies below is marked

# What was read in flight, one section for each steady moment, up to [reading_9]; or in a file of their own, as
# cowlwright readings writes it: [readings] with file = "readings.toml"
# [reading_1]
# source = "own flight, engine monitor"
# calibrated_airspeed = "95 kt"
# pressure_altitude = "4500 ft"   # two of four, as in [flight]
# outside_temperature = "49 degF"
# rotational_speed = "2400 rpm"
# shaft_power = "70 kW"           # or fuel_volume_flow with fuel_density and specific_consumption, or fuel_flow with the latter
# cylinders = ["r1", "l1", "r2", "l2"]        # where the values of a list belong; l1 is front left
# head_bottom = ["352 degF", "338 degF", "none", "347 degF"]   # under_plug, barrel likewise
# oil_hot = "194 degF"            # before the cooler; oil_cooled behind it
# deck_pressure_difference = "6.3 inH2O"      # between a tap in the upper deck and one in the lower

# [estimate]                      # optional; for: cowlwright estimate <this file>
# solved_flow = "my-cowl-study/solved_flow.json" # coefficients from solved cases, written by cowlpost, in place of handbooks'

# What to compare: a list of values for each "section.key" that changes. The first is the baseline. With several
# keys, mode = "factorial" takes every combination, mode = "paired" the first of each, then the second, and so on.
[vary]
mode = "factorial"
"exit.lip_angle" = ["0 deg", "15 deg", "30 deg"]
)toml";
}

}  // namespace cowlwright
