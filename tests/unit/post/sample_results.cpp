// SPDX-License-Identifier: GPL-3.0-or-later
//
// The invented installation.
#include "tests/unit/post/sample_results.h"

#include <algorithm>

namespace cowlwright::post::synthetic {

namespace {

using base::PlaneRole;
using base::Side;
using base::ZoneRole;

void add_zone(base::Manifest& manifest, const std::string& name, ZoneRole role, Side side, double volume) {
  manifest.zones.push_back({name, role, side, volume});
  if (role == ZoneRole::UpperDeck || role == ZoneRole::LowerDeck) {
    manifest.monitors.push_back({"mean_pressure", name, "pressure_" + name, "volFieldValue.dat"});
  }
}

void add_mean(
    RawResults& raw, const std::string& zone, double volume, double pressure, double total_pressure) {
  ZoneMean mean;
  mean.zone = zone;
  mean.n_cells = 1000;
  mean.volume = volume;
  mean.static_pressure = pressure;
  mean.total_pressure = total_pressure;
  raw.fields.zones.push_back(mean);
}

double field_value(const RawResults& raw, const base::MonitorRecord& monitor) {
  for (const PlaneFlux& flux : raw.fluxes) {
    if (monitor.quantity == "mass_flow" && flux.plane == monitor.subject) {
      return flux.flip_map_flow;
    }
  }
  for (const ZoneMean& zone : raw.fields.zones) {
    if (zone.zone == monitor.subject) {
      return zone.static_pressure;
    }
  }
  return 0.0;
}

}  // namespace

void add_plane(base::Manifest& manifest, const std::string& name, PlaneRole role, Side side, double area) {
  base::PlaneRecord plane;
  plane.name = name;
  plane.role = role;
  plane.side = side;
  plane.normal = {1.0, 0.0, 0.0};
  plane.area = area;
  manifest.planes.push_back(plane);
  manifest.monitors.push_back({"mass_flow", name, "flow_" + name, "surfaceFieldValue.dat"});
}

PlaneMean& add_flow(RawResults& raw, const std::string& plane, double flow, double area) {
  PlaneFlux flux;
  flux.plane = plane;
  flux.n_faces = 100;
  flux.area = area;
  flux.mass_flow = flow;
  flux.absolute_flow = flow;
  flux.forward_flow = flow;
  flux.flip_map_flow = flow;
  raw.fluxes.push_back(flux);
  PlaneMean mean;
  mean.plane = plane;
  mean.area = area;
  mean.mass_flow = flow;
  mean.static_pressure = 90000.0;
  mean.density = 1.25;
  mean.temperature_excess_flow = 0.0;
  mean.upwind_excess_flow = 0.0;
  return raw.fields.planes.emplace_back(mean);
}

base::Manifest sample_manifest() {
  base::Manifest manifest;
  manifest.study = "Sample study";
  manifest.question = "Does the lip help?";
  manifest.study_file = "sample.toml";
  manifest.study_hash = "abc";
  manifest.variant = "base";
  manifest.is_baseline = true;
  manifest.program_version = "0.1.0";
  manifest.openfoam_version = "1912";
  manifest.grid_level = "coarse";
  manifest.last_iteration = 400;
  manifest.window = 100;
  manifest.closure_tolerance = 0.01;
  manifest.energy_tolerance = 0.02;
  manifest.settled_tolerance = 0.01;
  manifest.flight.true_airspeed = 50.0;
  manifest.flight.pressure = 90000.0;
  manifest.flight.temperature = 300.0;
  manifest.flight.density = 1.2;
  manifest.flight.dynamic_pressure = 1500.0;
  manifest.flight.reference_pressure = 1500.0;
  manifest.propeller = base::PropellerRecord{};
  manifest.propeller->rotational_speed = 240.0;
  manifest.propeller->diameter = 2.0;
  manifest.propeller->thrust = 1000.0;
  manifest.propeller->torque = 250.0;
  manifest.propeller->force_field = "propeller:rotorForce";
  manifest.propeller->zone = "propeller_disk";
  add_plane(manifest, "inlet_left", PlaneRole::Inlet, Side::Left, 0.02);
  add_plane(manifest, "inlet_right", PlaneRole::Inlet, Side::Right, 0.02);
  for (const char* core : {"core_l1", "core_l2", "core_r1", "core_r2"}) {
    add_plane(manifest, core, PlaneRole::Core, core[5] == 'l' ? Side::Left : Side::Right, 0.04);
    base::PassageRecord record;
    record.zone = core;
    record.plane = core;
    record.area = 0.04;
    record.inertial = 40.0;
    record.heat = 10000.0;
    manifest.passages.push_back(record);
  }
  add_plane(manifest, "exit", PlaneRole::Exit, Side::Centre, 0.05);
  add_zone(manifest, "upper_deck_left", ZoneRole::UpperDeck, Side::Left, 0.1);
  add_zone(manifest, "upper_deck_right", ZoneRole::UpperDeck, Side::Right, 0.1);
  add_zone(manifest, "lower_deck", ZoneRole::LowerDeck, Side::Centre, 0.2);
  add_zone(manifest, "propeller_disk", ZoneRole::PropellerDisk, Side::Centre, 0.1);
  return manifest;
}

RawResults sample_results() {
  RawResults raw;
  raw.iteration = 400.0;
  raw.fields.n_cells = 88000;
  add_flow(raw, "inlet_left", 0.40, 0.02);
  add_flow(raw, "inlet_right", 0.50, 0.02);
  add_flow(raw, "core_l1", 0.22, 0.04);
  add_flow(raw, "core_l2", 0.22, 0.04);
  add_flow(raw, "core_r1", 0.23, 0.04);
  add_flow(raw, "core_r2", 0.23, 0.04);
  add_flow(raw, "exit", 0.90, 0.05);
  raw.fields.planes.back().static_pressure = 89700.0;
  raw.fields.planes.back().temperature_excess_flow = 39.6;
  add_mean(raw, "upper_deck_left", 0.1, 91200.0, 91230.0);
  add_mean(raw, "upper_deck_right", 0.1, 91300.0, 91350.0);
  add_mean(raw, "lower_deck", 0.2, 90150.0, 90160.0);
  add_mean(raw, "propeller_disk", 0.1, 90000.0, 91500.0);
  raw.fields.rotor = RotorLoad{
      .force = {-980.0, 15.0, -8.0}, .moment = {245.0, 0.0, 0.0}, .right_force = {-539.0, 9.0, -40.0}};
  return raw;
}

void add_monitors(RawResults& raw, const base::Manifest& manifest, int last, const MonitorChange& change) {
  for (const base::MonitorRecord& record : manifest.monitors) {
    MonitorHistory monitor{record, {}};
    const double value = field_value(raw, record);
    for (int iteration = 1; iteration <= last; ++iteration) {
      monitor.history.time.push_back(iteration);
      monitor.history.value.push_back(change ? change(record.subject, iteration, value) : value);
    }
    monitor.history.digits = 9;
    raw.monitors.push_back(std::move(monitor));
  }
}

VariantResult sample_variant(const std::string& name, bool is_baseline) {
  base::Manifest manifest = sample_manifest();
  manifest.variant = name;
  manifest.is_baseline = is_baseline;
  manifest.variant_index = is_baseline ? 0 : 1;
  manifest.settings = {{"exit.lip_angle", name}};
  RawResults raw = sample_results();
  add_monitors(raw, manifest, 400);
  VariantResult result = evaluate(manifest, raw);
  result.case_dir = name;
  return result;
}

void set_value(VariantResult& result, const std::string& id, double value, std::optional<double> half_band) {
  for (Quantity& quantity : result.quantities) {
    if (quantity.id == id) {
      quantity.value = value;
      quantity.half_band = half_band;
    }
  }
}

}  // namespace cowlwright::post::synthetic
