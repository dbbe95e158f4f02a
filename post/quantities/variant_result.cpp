// SPDX-License-Identifier: GPL-3.0-or-later
//
// From what was read of a case to what is published about it.
#include "post/quantities/variant_result.h"

#include "geometry/base/error.h"
#include "post/extract/case_layout.h"
#include "post/extract/run_log.h"
#include "post/quantities/measures.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace cowlwright::post {

namespace {

constexpr double route_tolerance = 0.01;     // fields against face fluxes: interpolation, not bookkeeping
constexpr double geometry_tolerance = 0.03;  // meshed against true area of a plane
constexpr double volume_tolerance = 0.05;    // meshed against true volume of a zone
constexpr double orientation_tolerance = 1e-6;
constexpr double slowed_air_allowance =
    0.05;  // common practice, no source: blockage of a cowl behind a propeller

/// The quantities whose settling makes the status; the rule stands in post/trust/window.h.
constexpr std::array judged_ids{
    "deck_pressure_difference", "inlet_mass_flow_left", "inlet_mass_flow_right", "exit_mass_flow"};

bool is_judged(const std::string& id) {
  return std::find(judged_ids.begin(), judged_ids.end(), id) != judged_ids.end();
}

/// Monitors as evaluated: statistics per measure over the window.
struct Trend {
  bool is_usable = false;
  bool window_is_full = false;
  std::vector<WindowStatistics> statistics;  ///< (n_measures)
};

Trend measure_trend(const MonitorTable& table,
                    const std::vector<Measure>& measures,
                    int length,
                    VariantResult& result) {
  Trend trend;
  if (!table.iteration.empty()) {
    result.last_iteration = table.iteration.back();
  }
  const Window window = last_window(table.iteration, length);
  if (table.iteration.size() < window.first + fewest_samples) {
    return trend;
  }
  trend.is_usable = true;
  trend.window_is_full = window.is_full;
  result.window_start = table.iteration[window.first];
  result.n_samples = static_cast<int>(table.iteration.size() - window.first);
  for (const Measure& measure : measures) {
    std::vector<double> values;
    for (std::size_t i = window.first; i < table.snapshots.size(); ++i) {
      values.push_back(measure.value(table.snapshots[i]));
    }
    trend.statistics.push_back(window_statistics(values));
  }
  return trend;
}

/// A measure's value over the window when its monitors are complete, else from the last fields.
Quantity publish(const Measure& measure, const Snapshot& last, const WindowStatistics* statistics) {
  Quantity quantity = measure.quantity;
  if (statistics != nullptr && std::isfinite(statistics->mean)) {
    quantity.value = statistics->mean;
    quantity.half_band = statistics->half_band;
    quantity.basis = Basis::WindowMean;
  } else {
    quantity.value = measure.value(last);
  }
  return quantity;
}

bool has_bad_number(const std::vector<MonitorHistory>& monitors, std::string& which) {
  for (const MonitorHistory& monitor : monitors) {
    for (std::size_t i = 0; i < monitor.history.value.size(); ++i) {
      if (!std::isfinite(monitor.history.value[i])) {
        which = fmt::format("monitor {} is not a finite number at iteration {}: the solver diverged",
                            monitor.record.function_object,
                            monitor.history.time[i]);
        return true;
      }
    }
  }
  return false;
}

RouteCheck worst(std::vector<RouteCheck> checks) {
  return *std::max_element(checks.begin(), checks.end(), [](const RouteCheck& a, const RouteCheck& b) {
    return a.difference / a.tolerance < b.difference / b.tolerance;
  });
}

void check_routes(const RawResults& raw, VariantResult& result) {
  const std::vector<MonitorAgreement> agreement =
      monitor_agreement(result.manifest, raw.monitors, raw.fluxes, raw.iteration);
  std::vector<RouteCheck> checks;
  checks.reserve(raw.fluxes.size());
  for (const MonitorAgreement& one : agreement) {
    checks.push_back({one.plane, one.difference, one.tolerance});
  }
  if (!checks.empty()) {
    result.monitor_check = worst(checks);
    if (!result.monitor_check->is_within()) {
      result.flags.push_back(
          fmt::format("our face fluxes differ from the solver's monitor on {} by {:.2e}: limit {:.1e}",
                      result.monitor_check->plane,
                      result.monitor_check->difference,
                      result.monitor_check->tolerance));
    }
  }
  checks.clear();
  for (std::size_t i = 0; i < raw.fluxes.size(); ++i) {
    const PlaneFlux& flux = raw.fluxes[i];
    const double deviation = std::abs(raw.fields.planes[i].mass_flow - flux.mass_flow);
    checks.push_back({flux.plane, deviation == 0.0 ? 0.0 : deviation / flux.absolute_flow, route_tolerance});
  }
  if (!checks.empty()) {
    result.field_check = worst(checks);
    if (!result.field_check->is_within()) {
      result.notes.push_back(fmt::format(
          "density times velocity of the fields gives {:.2f} % other flow than the face fluxes on {} "
          "(usual: below {:.0f} %): the grid is coarse there or the run has not settled",
          100.0 * result.field_check->difference,
          result.field_check->plane,
          100.0 * route_tolerance));
    }
  }
}

void check_orientation(const PlaneFlux& flux, VariantResult& result) {
  const double deviation = std::abs(std::abs(flux.flip_map_flow) - std::abs(flux.mass_flow));
  if (deviation > orientation_tolerance * flux.absolute_flow) {
    result.flags.push_back(fmt::format(
        "plane {}: faces of its zone look both ways; face normals give {:.4g} kg/s, the zone's own "
        "orientation (as the solver's monitor) {:.4g} kg/s",
        flux.plane,
        flux.mass_flow,
        flux.flip_map_flow));
  }
}

void check_geometry(const RawResults& raw, VariantResult& result) {
  const base::Manifest& manifest = result.manifest;
  for (std::size_t i = 0; i < raw.fluxes.size(); ++i) {
    check_orientation(raw.fluxes[i], result);
    const double deviation = raw.fluxes[i].area / manifest.planes[i].area - 1.0;
    if (!(std::abs(deviation) <= geometry_tolerance)) {
      result.notes.push_back(
          fmt::format("plane {}: meshed area {:.5g} m², {:+.1f} % off the shape's {:.5g} m²",
                      manifest.planes[i].name,
                      raw.fluxes[i].area,
                      100.0 * deviation,
                      manifest.planes[i].area));
    }
  }
  for (std::size_t i = 0; i < raw.fields.zones.size(); ++i) {
    const double deviation = raw.fields.zones[i].volume / manifest.zones[i].volume - 1.0;
    if (!(std::abs(deviation) <= volume_tolerance)) {
      result.notes.push_back(
          fmt::format("zone {}: meshed volume {:.5g} m³, {:+.1f} % off the shape's {:.5g} m³",
                      manifest.zones[i].name,
                      raw.fields.zones[i].volume,
                      100.0 * deviation,
                      manifest.zones[i].volume));
    }
  }
}

void check_closure(VariantResult& result) {
  const Quantity* closure = result.find("continuity_closure");
  const double tolerance = result.manifest.closure_tolerance;
  if (closure != nullptr) {
    result.closure = closure->value / 100.0;
  }
  result.closure_exceeded = !(result.closure && std::abs(*result.closure) <= tolerance);
  if (result.closure_exceeded) {
    result.flags.insert(
        result.flags.begin(),
        result.closure
            ? fmt::format("continuity closure {:+.2f} %: limit {:.2f} %; the flows do not balance",
                          100.0 * *result.closure,
                          100.0 * tolerance)
            : std::string("continuity closure cannot be formed: inlet or exit flow is missing or zero"));
  }
}

void drop_impossible_values(VariantResult& result) {
  for (const Quantity& quantity : result.quantities) {
    if (!std::isfinite(quantity.value)) {
      result.notes.push_back(
          fmt::format("{} cannot be formed (division by a flow, area or power of zero)", quantity.name));
    }
  }
  std::erase_if(result.quantities, [](const Quantity& quantity) { return !std::isfinite(quantity.value); });
}

/// A propeller that beats momentum theory: a little is possible in the air that a cowl slows, more is an
/// error.
void check_propeller(VariantResult& result) {
  const Quantity* efficiency = result.find("propeller_efficiency");
  const Quantity* limit = result.find("propeller_efficiency_limit");
  if (efficiency == nullptr || limit == nullptr || efficiency->value <= limit->value) {
    return;
  }
  const bool is_impossible = efficiency->value > (1.0 + slowed_air_allowance) * limit->value;
  std::string text = fmt::format(
      "propeller efficiency {:.3f} beats momentum theory's {:.3f} in free air{}",
      efficiency->value,
      limit->value,
      is_impossible
          ? fmt::format(" by more than {:.0f} %: the propeller model is wrong", 100.0 * slowed_air_allowance)
          : std::string(": the blades work in air that the cowl has slowed"));
  (is_impossible ? result.flags : result.notes).push_back(std::move(text));
}

void note_progress(const RawResults& raw, const MonitorTable& table, VariantResult& result) {
  if (result.last_iteration < result.manifest.last_iteration) {
    result.notes.push_back(fmt::format("the run stands at iteration {} of at most {}",
                                       result.last_iteration,
                                       result.manifest.last_iteration));
  }
  if (result.n_samples == 0) {
    result.notes.push_back(fmt::format(
        "{}: every value is of the last iteration only",
        table.iteration.empty() ? std::string("no monitors")
                                : fmt::format("monitors of {} iterations only", table.iteration.size())));
  } else if (!table.missing.empty()) {
    result.notes.push_back(
        fmt::format("no monitor for {}: values that need it are of the last iteration only",
                    fmt::join(table.missing, ", ")));
  }
  if (raw.is_decomposed) {
    result.notes.emplace_back("read from the processor folders (not reconstructed)");
  }
  if (result.manifest.propeller && !raw.fields.rotor) {
    result.notes.push_back(fmt::format("no field {} at this iteration: propeller loads are missing",
                                       result.manifest.propeller->force_field));
  }
}

VariantResult failed_result(base::Manifest manifest,
                            const std::filesystem::path& case_dir,
                            std::string reason) {
  VariantResult result;
  result.manifest = std::move(manifest);
  result.case_dir = case_dir;
  result.judgement = {Status::Failed, std::move(reason)};
  return result;
}

}  // namespace

RawResults read_raw_results(const std::filesystem::path& case_dir, const base::Manifest& manifest) {
  const CaseLayout layout = find_results(case_dir);
  RawResults raw;
  raw.iteration = layout.time;
  raw.is_decomposed = layout.is_decomposed;
  raw.fluxes = read_plane_fluxes(layout, manifest.planes);
  raw.fields = read_field_means(layout, manifest);
  for (const base::MonitorRecord& record : manifest.monitors) {
    raw.monitors.push_back({record, read_history(case_dir, record)});
  }
  return raw;
}

const Quantity* VariantResult::find(std::string_view id) const {
  const auto found = std::find_if(
      quantities.begin(), quantities.end(), [id](const Quantity& quantity) { return quantity.id == id; });
  return found == quantities.end() ? nullptr : &*found;
}

VariantResult evaluate(const base::Manifest& manifest, const RawResults& raw) {
  std::string bad;
  if (has_bad_number(raw.monitors, bad)) {
    return failed_result(manifest, {}, bad);
  }
  VariantResult result;
  result.manifest = manifest;
  result.iteration = raw.iteration;
  result.last_iteration = raw.iteration;
  result.is_decomposed = raw.is_decomposed;
  result.n_cells = raw.fields.n_cells;
  const std::vector<Measure> measures = snapshot_measures(manifest, raw.fluxes, raw.fields);
  const Snapshot last = field_snapshot(raw.fluxes, raw.fields.zones);
  const MonitorTable table = monitor_table(manifest, raw.monitors, raw.fluxes, raw.iteration);
  const Trend trend = measure_trend(table, measures, manifest.window, result);
  std::vector<JudgedQuantity> judged;
  for (std::size_t i = 0; i < measures.size(); ++i) {
    const WindowStatistics* statistics = trend.is_usable ? &trend.statistics[i] : nullptr;
    const Quantity quantity = publish(measures[i], last, statistics);
    if (is_judged(quantity.id) && quantity.basis == Basis::WindowMean) {
      judged.push_back({quantity.name, *statistics});
    }
    result.quantities.push_back(quantity);
  }
  const auto n_to_judge = std::count_if(measures.begin(), measures.end(), [](const Measure& measure) {
    return is_judged(measure.quantity.id);
  });
  result.judgement = static_cast<std::ptrdiff_t>(judged.size()) == n_to_judge
                         ? judge(judged, trend.window_is_full, manifest.settled_tolerance)
                         : Judgement{Status::NotSettled, "not judged: monitors are missing or too short"};
  for (Quantity& quantity : field_quantities(manifest, raw.fluxes, raw.fields)) {
    result.quantities.push_back(std::move(quantity));
  }
  std::stable_sort(result.quantities.begin(),
                   result.quantities.end(),
                   [](const Quantity& a, const Quantity& b) { return a.order < b.order; });
  drop_impossible_values(result);
  check_closure(result);
  check_routes(raw, result);
  check_geometry(raw, result);
  check_propeller(result);
  note_progress(raw, table, result);
  return result;
}

VariantResult extract_case(const std::filesystem::path& case_dir) {
  if (!std::filesystem::is_directory(case_dir)) {
    throw base::InputError(
        fmt::format("{}: no such case folder. Give the folder that holds manifest.json.", case_dir.string()));
  }
  const base::Manifest manifest = base::read_manifest(case_dir);
  if (const std::optional<std::string> fatal = fatal_log_line(case_dir)) {
    return failed_result(manifest, case_dir, "the run ended in an error: " + *fatal);
  }
  try {
    VariantResult result = evaluate(manifest, read_raw_results(case_dir, manifest));
    result.case_dir = case_dir;
    return result;
  } catch (const base::ResultError& error) {
    return failed_result(manifest, case_dir, error.what());
  }
}

}  // namespace cowlwright::post
