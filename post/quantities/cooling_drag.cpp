// SPDX-License-Identifier: GPL-3.0-or-later
//
// Balances of force and momentum along the wind.
#include "post/quantities/cooling_drag.h"

#include "post/quantities/inlet_air.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <string>

namespace cowlwright::post {

namespace {

using base::PlaneRole;
using base::Side;

constexpr double square_centimetres = 1e4;  // in a square metre
constexpr double unknown = std::numeric_limits<double>::quiet_NaN();

/// Sum of the forces at some places of a snapshot; unknown in one of the fields alone.
SnapshotValue force_sum(Places places) {
  return [places = std::move(places)](const Snapshot& snapshot) {
    double sum = 0.0;
    for (const std::size_t place : places) {
      sum += place < snapshot.force.size() ? snapshot.force[place] : unknown;
    }
    return sum;
  };
}

/// Drag area and power of a cooling drag [N] found by one route.
void add_equivalents(std::vector<Quantity>& quantities,
                     const base::FlightRecord& flight,
                     const Quantity& drag,
                     std::string_view route) {
  if (!(flight.true_airspeed > 0.0)) {
    return;
  }
  const auto add = [&](std::string_view id, double factor) {
    Quantity quantity = empty_quantity(id, route);
    quantity.value = factor * drag.value;
    quantity.basis = drag.basis;
    if (drag.half_band) quantity.half_band = factor * *drag.half_band;
    if (drag.standard_error) quantity.standard_error = factor * *drag.standard_error;
    quantity.effective_samples = drag.effective_samples;
    quantities.push_back(std::move(quantity));
  };
  add("cooling_drag_area", square_centimetres / flight.dynamic_pressure);
  add("cooling_drag_power", flight.true_airspeed / 1000.0);
}

/// Speed that the air ahead of one side's inlet has at the free stream's pressure; nothing without a survey.
std::optional<double> speed_ahead(const base::Manifest& manifest, const FieldMeans& fields, Side side) {
  if (!manifest.propeller) {
    return manifest.flight.true_airspeed;
  }
  const std::optional<InletAir> air = inlet_air(manifest, fields, {side});
  if (!air) {
    return std::nullopt;
  }
  const double gauge = air->total_pressure - manifest.flight.pressure;
  return std::sqrt(std::max(0.0, 2.0 * gauge / manifest.flight.density));
}

/// The cooling air as it arrives.
struct Arrival {
  double free_stream = 0.0;          ///< its flow times the flight speed [N]
  std::optional<double> ahead{0.0};  ///< its momentum ahead of the inlets [N]; unknown without surveys
};

Arrival arrival(const base::Manifest& manifest, std::span<const PlaneFlux> fluxes, const FieldMeans& fields) {
  Arrival in;
  for (const Side side : {Side::Left, Side::Right}) {
    double flow = 0.0;
    for (const std::size_t plane : planes_of(manifest, PlaneRole::Inlet, side)) {
      flow += fluxes[plane].mass_flow;
    }
    const std::optional<double> speed = speed_ahead(manifest, fields, side);
    in.free_stream += flow * manifest.flight.true_airspeed;
    in.ahead = in.ahead && speed ? std::optional(*in.ahead + flow * *speed) : std::nullopt;
  }
  return in;
}

/// The cooling air as it leaves, along the wind.
struct Departure {
  double thrust = 0.0;  ///< momentum and gauge pressure on the exit planes [N]
  double ideal = 0.0;   ///< momentum once it has expanded to the free stream's pressure [N]
};

Departure departure(const base::Manifest& manifest,
                    std::span<const PlaneFlux> fluxes,
                    const FieldMeans& fields) {
  const base::Vec3 wind = base::wind_direction(manifest.flight.incidence, manifest.flight.sideslip);
  Departure out;
  for (const std::size_t plane : planes_of(manifest, PlaneRole::Exit)) {
    const PlaneMean& mean = fields.planes[plane];
    const double flow = fluxes[plane].mass_flow;
    const double speed = dot(wind, mean.momentum_flow) / mean.mass_flow;  // weighted with the flow
    const double gauge = mean.static_pressure - manifest.flight.pressure;
    const double expanded = speed * std::abs(speed) + 2.0 * gauge / mean.density;
    out.thrust += flow * speed + gauge * fluxes[plane].area * dot(wind, manifest.planes[plane].normal);
    out.ideal += flow * std::sqrt(std::max(0.0, expanded));
  }
  return out;
}

Quantity with_value(std::string_view id, double value) {
  Quantity quantity = empty_quantity(id);
  quantity.value = value;
  return quantity;
}

/// Open less closed. The two runs are independent of each other: each adds its band and its standard error.
Quantity difference(std::string_view id, const Quantity& open, const Quantity& closed) {
  Quantity quantity = with_value(id, open.value - closed.value);
  quantity.basis = Basis::WindowMean;
  quantity.half_band = *open.half_band + *closed.half_band;
  quantity.standard_error = *open.standard_error + *closed.standard_error;
  quantity.effective_samples = std::min(*open.effective_samples, *closed.effective_samples);
  return quantity;
}

/// Why a closed reference does not count; empty when it does.
std::string trouble_of(const VariantResult& reference) {
  if (reference.has_failed() || reference.judgement.status == Status::NotSettled) {
    return fmt::format(
        "{} ({})", reference.has_failed() ? "has failed" : "is not settled", reference.judgement.reason);
  }
  const Quantity* drag = reference.find("drag");
  return drag == nullptr || !drag->half_band ? "has no history of its force" : "";
}

void add_drag_from_forces(VariantResult& open, const VariantResult& reference) {
  const std::string& folder = open.manifest.reference;
  const std::string trouble = trouble_of(reference);
  const Quantity* drag = open.find("drag");
  if (!trouble.empty() || drag == nullptr || !drag->half_band) {
    open.notes.push_back(fmt::format("cooling drag from forces: not given, {}",
                                     trouble.empty()
                                         ? "the case has no history of its own force"
                                         : fmt::format("the closed reference {} {}", folder, trouble)));
    return;
  }
  const Quantity& closed = *reference.find("drag");
  const Quantity from_forces = difference("cooling_drag_forces", *drag, closed);
  std::vector<Quantity> more{closed, from_forces};
  more.front().order = empty_quantity("drag_closed").order;
  more.front().id = "drag_closed";
  more.front().name = quantity_spec("drag_closed").name;
  more.front().definition = quantity_spec("drag_closed").definition;
  add_equivalents(more, open.manifest.flight, from_forces, "forces");
  if (const Quantity* momentum = open.find("cooling_drag_momentum")) {
    more.push_back(with_value("cooling_drag_disagreement", from_forces.value - momentum->value));
  }
  open.quantities.insert(open.quantities.end(), more.begin(), more.end());
  std::stable_sort(open.quantities.begin(), open.quantities.end(), [](const Quantity& a, const Quantity& b) {
    return a.order < b.order;
  });
  std::erase_if(open.quantities, [](const Quantity& quantity) { return !std::isfinite(quantity.value); });
  const Quantity* thrust = open.find("propeller_thrust");
  const Quantity* closed_thrust = reference.find("propeller_thrust");
  open.notes.push_back(fmt::format(
      "closed reference {}: {}{}",
      folder,
      base::status_name(reference.judgement.status),
      thrust != nullptr && closed_thrust != nullptr
          ? fmt::format(
                "; propeller thrust there {:.1f} N, here {:.1f} N", closed_thrust->value, thrust->value)
          : std::string()));
}

std::string folder_of(const VariantResult& result) {
  return std::filesystem::weakly_canonical(result.case_dir).filename().string();
}

/// The reference among the results, or read from beside the open case; nothing when it is nowhere.
std::optional<VariantResult> reference_of(const VariantResult& open,
                                          const std::vector<VariantResult>& results) {
  const auto found = std::find_if(results.begin(), results.end(), [&](const VariantResult& result) {
    return result.manifest.is_reference && folder_of(result) == open.manifest.reference;
  });
  if (found != results.end()) {
    return *found;
  }
  const std::filesystem::path beside =
      std::filesystem::weakly_canonical(open.case_dir).parent_path() / open.manifest.reference;
  return std::filesystem::exists(beside / base::manifest_file_name) ? std::optional(extract_case(beside))
                                                                    : std::nullopt;
}

}  // namespace

std::vector<Measure> force_measures(const base::Manifest& manifest) {
  const std::vector<base::MonitorRecord> monitors = force_monitors(manifest);
  const auto places = [&](auto belongs) {
    Places found;
    for (std::size_t i = 0; i < monitors.size(); ++i) {
      if (belongs(monitors[i])) found.push_back(i);
    }
    return found;
  };
  std::vector<Measure> measures;
  const auto add = [&](std::string_view id, Places found) {
    if (!found.empty()) measures.push_back({empty_quantity(id), force_sum(std::move(found))});
  };
  using Record = base::MonitorRecord;
  add("drag", places([](const Record&) { return true; }));
  add("drag_outside", places([](const Record& r) { return r.subject == "outside"; }));
  add("drag_inside",
      places([](const Record& r) { return r.subject == "inside" && r.quantity != "porous_force"; }));
  add("drag_passages", places([](const Record& r) { return r.quantity == "porous_force"; }));
  add("drag_pressure", places([](const Record& r) { return r.quantity == "pressure_force"; }));
  add("drag_friction", places([](const Record& r) { return r.quantity == "viscous_force"; }));
  return measures;
}

std::vector<Quantity> momentum_drag(const base::Manifest& manifest,
                                    std::span<const PlaneFlux> fluxes,
                                    const FieldMeans& fields) {
  std::vector<Quantity> quantities;
  if (planes_of(manifest, PlaneRole::Inlet).empty() || planes_of(manifest, PlaneRole::Exit).empty()) {
    return quantities;
  }
  const Arrival in = arrival(manifest, fluxes, fields);
  const Departure out = departure(manifest, fluxes, fields);
  quantities.push_back(with_value("cooling_drag_free_stream", in.free_stream - out.thrust));
  if (in.ahead) {
    quantities.push_back(with_value("cooling_drag_momentum", *in.ahead - out.thrust));
    const Quantity momentum = quantities.back();
    quantities.push_back(with_value("cooling_drag_ideal", *in.ahead - out.ideal));
    add_equivalents(quantities, manifest.flight, momentum, "momentum");
  }
  return quantities;
}

std::vector<VariantResult> join_references(std::vector<VariantResult> results) {
  std::vector<std::string> joined;
  for (VariantResult& open : results) {
    if (open.manifest.is_reference || open.has_failed()) {
      continue;
    }
    if (open.manifest.reference.empty()) {
      open.notes.emplace_back("cooling drag from forces: not asked for ([grid] cooling_drag)");
      continue;
    }
    joined.push_back(open.manifest.reference);
    if (const std::optional<VariantResult> reference = reference_of(open, results)) {
      add_drag_from_forces(open, *reference);
    } else {
      open.notes.push_back(fmt::format("cooling drag from forces: not given, there is no closed reference {}",
                                       open.manifest.reference));
    }
  }
  std::erase_if(results, [&](const VariantResult& result) {
    return result.manifest.is_reference &&
           std::find(joined.begin(), joined.end(), folder_of(result)) != joined.end();
  });
  return results;
}

}  // namespace cowlwright::post
