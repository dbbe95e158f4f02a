// SPDX-License-Identifier: GPL-3.0-or-later
//
// Formulas of heat, temperatures and energy. Definitions in words are in the vocabulary. Temperatures are
// total ones: the solver conserves enthalpy plus kinetic energy, and convects both upwind.
#include "geometry/base/air.h"
#include "geometry/base/units.h"
#include "post/quantities/measures.h"
#include "post/quantities/passages.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>

namespace cowlwright::post {

namespace {

using base::PlaneRole;

/// Total temperature above the free stream's over some planes.
struct HeatFlow {
  double mean = 0.0;  ///< weighted with the mass flow of the fields [K]
  double mass = 0.0;  ///< mass flow of the face fluxes [kg/s]
  bool is_known = false;

  double flow() const { return mean * mass; }  ///< [kg K/s]
};

/// @param excess  which of a plane's two excess flows: interpolated on the faces, or upwind of them.
HeatFlow heat_flow(std::span<const PlaneFlux> fluxes,
                   const FieldMeans& fields,
                   const Places& planes,
                   std::optional<double> PlaneMean::*excess = &PlaneMean::temperature_excess_flow) {
  double excess_flow = 0.0;
  double field_flow = 0.0;
  double solver_flow = 0.0;
  bool is_known = !planes.empty();
  for (const std::size_t plane : planes) {
    const PlaneMean& mean = fields.planes[plane];
    is_known = is_known && (mean.*excess).has_value();
    excess_flow += (mean.*excess).value_or(0.0);
    field_flow += mean.mass_flow;
    solver_flow += fluxes[plane].mass_flow;
  }
  return {.mean = excess_flow / field_flow, .mass = solver_flow, .is_known = is_known};
}

/// Of the air behind a heated passage; NaN where on balance none leaves. Nothing without outlets or T.
std::optional<HeatFlow> outlet_of(const HeatedPassage& passage,
                                  std::span<const PlaneFlux> fluxes,
                                  const FieldMeans& fields) {
  HeatFlow out = heat_flow(fluxes, fields, passage.outlets, &PlaneMean::upwind_excess_flow);
  if (!passage.has_outlets || !out.is_known) {
    return std::nullopt;
  }
  if (!(out.mass > 0.0)) {
    out.mean = std::numeric_limits<double>::quiet_NaN();
  }
  return out;
}

/// A total temperature from its excess over the free stream's.
double celsius(double excess, const base::FlightRecord& flight) {
  const double free_stream =
      flight.temperature + 0.5 * flight.true_airspeed * flight.true_airspeed / base::air::specific_heat;
  return base::in_unit(free_stream + excess, "degC", base::Dimension::Temperature);
}

/// Share of the heat put in that the air which leaves does not carry off, warmed from the inlets' mean [%].
double heat_closure(const HeatedPassage& passage, const HeatFlow& in, const HeatFlow& out) {
  const double carried = base::air::specific_heat * out.mass * (out.mean - in.mean);
  return percent * (passage.heat - carried) / passage.heat;
}

/// @param in  at the inlets.
void add_cylinders(std::vector<Quantity>& quantities,
                   const base::Manifest& manifest,
                   std::span<const PlaneFlux> fluxes,
                   const FieldMeans& fields,
                   const HeatFlow& in) {
  std::vector<double> temperatures;
  const std::vector<HeatedPassage> all = cylinders(manifest);
  for (const HeatedPassage& cylinder : all) {
    const std::optional<HeatFlow> out = outlet_of(cylinder, fluxes, fields);
    if (!out) {
      continue;
    }
    const double temperature = celsius(out->mean, manifest.flight);
    add_value(quantities, "cylinder_outlet_temperature", temperature, cylinder.name);
    if (std::isfinite(temperature)) {
      temperatures.push_back(temperature);
    }
    if (in.is_known && cylinder.heat > 0.0) {
      add_value(quantities, "heat_closure", heat_closure(cylinder, in, *out), cylinder.name);
    }
  }
  if (temperatures.size() > 1 && temperatures.size() == all.size()) {
    const auto [low, high] = std::minmax_element(temperatures.begin(), temperatures.end());
    add_value(quantities, "cylinder_outlet_spread", *high - *low);
  }
}

void add_cooler(std::vector<Quantity>& quantities,
                const base::Manifest& manifest,
                std::span<const PlaneFlux> fluxes,
                const FieldMeans& fields,
                const HeatFlow& in) {
  const std::optional<HeatedPassage> cooler = oil_cooler(manifest);
  if (!cooler) {
    return;
  }
  add_value(quantities, "cooler_heat", cooler->heat / 1000.0, {}, Basis::Fixed);
  const std::optional<HeatFlow> out = outlet_of(*cooler, fluxes, fields);
  if (!out) {
    return;
  }
  add_value(quantities, "cooler_outlet_temperature", celsius(out->mean, manifest.flight));
  if (in.is_known) {
    add_value(quantities, "cooler_temperature_rise", out->mean - in.mean);
    if (cooler->heat > 0.0) {
      add_value(quantities, "heat_closure", heat_closure(*cooler, in, *out), cooler->name);
    }
  }
}

}  // namespace

std::vector<Quantity> heat_quantities(const base::Manifest& manifest,
                                      std::span<const PlaneFlux> fluxes,
                                      const FieldMeans& fields) {
  std::vector<Quantity> quantities;
  const HeatFlow in = heat_flow(fluxes, fields, planes_of(manifest, PlaneRole::Inlet));
  add_cylinders(quantities, manifest, fluxes, fields, in);
  add_cooler(quantities, manifest, fluxes, fields, in);
  double cores = 0.0;
  double all = 0.0;
  for (const base::PassageRecord& passage : manifest.passages) {
    cores += passage.kind == base::PassageKind::Core ? passage.heat : 0.0;
    all += passage.heat;
  }
  add_value(quantities, "heat", cores / 1000.0, {}, Basis::Fixed);
  const HeatFlow out = heat_flow(fluxes, fields, planes_of(manifest, PlaneRole::Exit));
  if (!in.is_known || !out.is_known) {
    return quantities;
  }
  add_value(quantities, "temperature_rise", out.mean - in.mean);
  if (all > 0.0) {
    add_value(quantities,
              "energy_closure",
              percent * (all - base::air::specific_heat * (out.flow() - in.flow())) / all);
  }
  return quantities;
}

}  // namespace cowlwright::post
