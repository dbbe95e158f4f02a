// SPDX-License-Identifier: GPL-3.0-or-later
//
// The invented engine bay.
#include "tests/unit/post/sample_bay.h"

#include <algorithm>
#include <stdexcept>

namespace cowlwright::post::synthetic {

namespace {

using base::PassageKind;
using base::PlaneRole;
using base::Side;

PlaneRole role_of(PassageKind kind) {
  return kind == PassageKind::Core     ? PlaneRole::Core
         : kind == PassageKind::Cooler ? PlaneRole::Cooler
                                       : PlaneRole::Leak;
}

base::PassageRecord& add_passage(
    base::Manifest& manifest, const std::string& name, PassageKind kind, Side side, double area) {
  add_plane(manifest, name, role_of(kind), side, area);
  base::PassageRecord record;
  record.zone = name;
  record.plane = name;
  record.kind = kind;
  record.area = area;
  return manifest.passages.emplace_back(record);
}

struct CorePart {
  const char* name;
  const char* cylinder;
  double area;
  double heat;
  const char* outlet;
};

void add_cores(base::Manifest& manifest) {
  for (const CorePart& part : {CorePart{"core_l1_head", "l1", 0.030, 5000.0, "outlet_l1_head"},
                               CorePart{"core_l1_barrel", "l1", 0.010, 2000.0, "outlet_l1_barrel"},
                               CorePart{"core_r1_head", "r1", 0.032, 7000.0, "outlet_r1"},
                               CorePart{"core_r1_barrel", "r1", 0.012, 2000.0, "outlet_r1"}}) {
    const Side side = part.cylinder[0] == 'l' ? Side::Left : Side::Right;
    base::PassageRecord& core = add_passage(manifest, part.name, PassageKind::Core, side, part.area);
    core.cylinder = part.cylinder;
    core.inertial = 50.0;
    core.heat = part.heat;
    core.outlet = part.outlet;
  }
}

void add_leak(base::Manifest& manifest, const std::string& name, Side side, double effective_area) {
  base::PassageRecord& leak = add_passage(manifest, name, PassageKind::Leak, side, 0.01);
  leak.effective_area = effective_area;
  leak.inertial = 1000.0;
}

}  // namespace

base::Manifest bay_manifest() {
  base::Manifest manifest = sample_manifest();
  manifest.planes.clear();
  manifest.passages.clear();
  std::erase_if(manifest.monitors,
                [](const base::MonitorRecord& monitor) { return monitor.quantity == "mass_flow"; });
  add_plane(manifest, "inlet_left", PlaneRole::Inlet, Side::Left, 0.02);
  add_plane(manifest, "inlet_right", PlaneRole::Inlet, Side::Right, 0.02);
  add_cores(manifest);
  base::PassageRecord& cooler = add_passage(manifest, "oil_cooler", PassageKind::Cooler, Side::Left, 0.016);
  cooler.inertial = 500.0;
  cooler.heat = 2400.0;
  cooler.outlet = "outlet_oil_cooler";
  add_leak(manifest, "leak_cowl_seal_left", Side::Left, 6e-4);
  add_leak(manifest, "leak_rear_baffle_right", Side::Right, 4e-4);
  add_leak(manifest, "leak_crankcase_nose", Side::Centre, 9e-4);
  add_leak(manifest, "leak_centre_wall", Side::Centre, 5e-4);
  manifest.passages.back().joins_decks = false;
  manifest.passages.back().direction = {0.0, 1.0, 0.0};
  add_plane(manifest, "outlet_l1_head", PlaneRole::Outlet, Side::Left, 0.030);
  add_plane(manifest, "outlet_l1_barrel", PlaneRole::Outlet, Side::Left, 0.010);
  add_plane(manifest, "outlet_r1", PlaneRole::Outlet, Side::Right, 0.044);
  add_plane(manifest, "outlet_oil_cooler", PlaneRole::Outlet, Side::Left, 0.016);
  add_plane(manifest, "exit", PlaneRole::Exit, Side::Centre, 0.05);
  return manifest;
}

RawResults bay_results() {
  RawResults raw = sample_results();
  raw.fluxes.clear();
  raw.fields.planes.clear();
  add_flow(raw, "inlet_left", 0.24, 0.02);
  add_flow(raw, "inlet_right", 0.36, 0.02);
  add_flow(raw, "core_l1_head", 0.15, 0.030);
  add_flow(raw, "core_l1_barrel", 0.05, 0.010);
  add_flow(raw, "core_r1_head", 0.16, 0.032);
  add_flow(raw, "core_r1_barrel", 0.06, 0.012);
  add_flow(raw, "oil_cooler", 0.08, 0.016);
  add_flow(raw, "leak_cowl_seal_left", 0.03, 0.01);
  add_flow(raw, "leak_rear_baffle_right", 0.02, 0.01);
  add_flow(raw, "leak_crankcase_nose", 0.05, 0.01);
  add_flow(raw, "leak_centre_wall", -0.008, 0.01);
  raw.fluxes.back().absolute_flow = 0.008;
  add_flow(raw, "outlet_l1_head", 0.15, 0.030).upwind_excess_flow = 6.0;
  add_flow(raw, "outlet_l1_barrel", 0.05, 0.010).upwind_excess_flow = 1.0;
  add_flow(raw, "outlet_r1", 0.22, 0.044).upwind_excess_flow = 8.8;
  add_flow(raw, "outlet_oil_cooler", 0.08, 0.016).upwind_excess_flow = 2.4;
  PlaneMean& exit = add_flow(raw, "exit", 0.60, 0.05);
  exit.static_pressure = 89700.0;
  exit.temperature_excess_flow = 18.2;
  return raw;
}

std::size_t bay_plane(const std::string& name) {
  const base::Manifest manifest = bay_manifest();
  for (std::size_t i = 0; i < manifest.planes.size(); ++i) {
    if (manifest.planes[i].name == name) {
      return i;
    }
  }
  throw std::out_of_range("no plane " + name);
}

}  // namespace cowlwright::post::synthetic
