// SPDX-License-Identifier: GPL-3.0-or-later
//
// From what was read of a case to what is published about it.
#include "post/quantities/variant_result.h"

#include "geometry/base/error.h"
#include "post/extract/kept_readings.h"
#include "post/extract/run_log.h"
#include "post/quantities/cooling_drag.h"
#include "post/quantities/measures.h"
#include "post/quantities/monitor_trend.h"
#include "post/quantities/passages.h"
#include "post/quantities/solved_parts.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <iterator>

namespace cowlwright::post {

namespace {

constexpr double route_tolerance = 0.01;      // fields against face fluxes: interpolation, not bookkeeping
constexpr double geometry_tolerance = 0.03;   // meshed against true area of a plane
constexpr double volume_tolerance = 0.05;     // meshed against true volume of a zone
constexpr double usual_leak_deviation = 0.2;  // of a leak's flow from its law; chosen, no source
constexpr double orientation_tolerance = 1e-6;
constexpr double slowed_air_allowance =
    0.05;  // common practice, no source: blockage of a cowl behind a propeller

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

/// Not so behind the fins and in a leak, where velocity leaps from cell to cell.
bool has_even_stream(base::PlaneRole role) {
  return role != base::PlaneRole::Outlet && role != base::PlaneRole::Leak;
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
    if (!has_even_stream(result.manifest.planes[i].role)) {
      continue;
    }
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

void check_balances(VariantResult& result) {
  result.balances = balance_checks(result.manifest, result.quantities);
  for (const BalanceCheck& check : result.balances) {
    if (check.is_exceeded()) {
      result.flags.push_back(check.flag);
    }
  }
}

void drop_impossible_values(VariantResult& result) {
  for (const Quantity& quantity : result.quantities) {
    if (!std::isfinite(quantity.value)) {
      result.notes.push_back(fmt::format(
          "{} cannot be formed (division by a flow, area, power or airspeed of zero)", quantity.name));
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

/// Leaks that pass another amount than their law at the deck's mean pressures.
void check_leaks(VariantResult& result) {
  for (const Quantity& quantity : result.quantities) {
    if (quantity.id.starts_with("leak_flow_ratio") && std::abs(quantity.value - 1.0) > usual_leak_deviation) {
      result.notes.push_back(
          fmt::format("{} {:.2f} (usual: within {:.0f} % of 1): the pressures at the leak are not the deck's "
                      "means, or the grid does not resolve it",
                      quantity.name,
                      quantity.value,
                      100.0 * usual_leak_deviation));
    }
  }
}

/// How the run stands: stopped by the driver, at its ceiling, or on its way.
std::string run_note(const std::optional<base::SolverEnd>& end, const VariantResult& result) {
  const bool is_current = end && end->iteration == static_cast<int>(result.last_iteration);
  if (is_current && end->ended_by == base::EndedBy::Held) {
    return fmt::format("solver stopped: {}", base::solver_end_text(*end));
  }
  if (result.last_iteration >= result.manifest.last_iteration) {
    return fmt::format("solver ran to its ceiling of {} iterations{}",
                       result.manifest.last_iteration,
                       is_current ? "; " + end->reason : std::string());
  }
  return fmt::format("the run stands at iteration {} of at most {}{}",
                     result.last_iteration,
                     result.manifest.last_iteration,
                     is_current ? ": " + base::solver_end_text(*end) : std::string());
}

void append(std::vector<std::string> more, std::vector<std::string>& list) {
  std::move(more.begin(), more.end(), std::back_inserter(list));
}

/// What a reader must know of the flight condition and of a propeller of fixed pitch.
void note_condition(VariantResult& result) {
  const base::Manifest& manifest = result.manifest;
  if (!is_by_q(manifest.flight)) {
    result.notes.push_back(fmt::format(
        "near standstill q says nothing: pressures are divided by the propeller's {} of {:.0f} Pa",
        manifest.flight.reference_name,
        manifest.flight.reference_pressure));
  }
  const Quantity* power = result.find("propeller_power");
  if (manifest.propeller && manifest.propeller->pitch_mode == base::PitchMode::Fixed && power != nullptr) {
    result.notes.push_back(fmt::format(
        "fixed pitch: the propeller absorbs {:.1f} kW here and {:.1f} kW in free air, the shaft power is "
        "{:.1f} kW: the engine would settle at another speed, unless they agree",
        power->value,
        manifest.propeller->power / 1000.0,
        manifest.propeller->shaft_power / 1000.0));
  }
}

void note_progress(const RawResults& raw, const MonitorTable& table, VariantResult& result) {
  result.notes.push_back(run_note(raw.solver_end, result));
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
  for (const SurveyMean& survey : raw.fields.surveys) {
    if (!survey.is_complete()) {
      result.notes.push_back(fmt::format(
          "survey {}: {} of its {} points lie in no cell: swirl and total pressure there are left out",
          survey.survey,
          survey.n_outside,
          survey.n_points));
    }
  }
  if (result.manifest.propeller && !result.manifest.propeller->force_field.empty() && !raw.fields.rotor) {
    result.notes.push_back(fmt::format("no field {} at this iteration: propeller loads are missing",
                                       result.manifest.propeller->force_field));
  }
}

/// What the monitors tell. A closed reference has nothing but its force.
std::vector<Measure> all_measures(const base::Manifest& manifest, const RawResults& raw) {
  std::vector<Measure> measures;
  if (!manifest.is_reference) {
    measures = snapshot_measures(manifest, raw.fluxes, raw.fields);
  }
  for (Measure& measure : force_measures(manifest)) {
    measures.push_back(std::move(measure));
  }
  return measures;
}

VariantResult failed_result(base::Manifest manifest,
                            const std::filesystem::path& case_dir,
                            std::string reason) {
  VariantResult result;
  result.manifest = std::move(manifest);
  result.case_dir = case_dir;
  result.judgement = {Status::Failed, std::move(reason)};
  if (!case_dir.empty()) {
    result.provenance = read_provenance(case_dir, result.manifest);
  }
  return result;
}

/// A flow may have two steady solutions near each other (a wake that leans or does not); which one a solver
/// finds then depends on where it starts.
void note_start(VariantResult& result) {
  if (const auto& state = result.provenance.state; state && !state->start_from.empty()) {
    result.notes.push_back(fmt::format(
        "started from the result of {}: where two steady flows are possible, that chooses between them",
        state->start_from));
  }
}

}  // namespace

RawResults read_raw_results(const std::filesystem::path& case_dir, const base::Manifest& manifest) {
  check_passages(manifest);
  FieldReadings readings = read_field_readings(case_dir, manifest);
  RawResults raw;
  raw.iteration = readings.iteration;
  raw.is_decomposed = readings.is_decomposed;
  raw.fluxes = std::move(readings.fluxes);
  raw.fields = std::move(readings.fields);
  raw.solver_end = base::read_solver_end(case_dir);
  for (const base::MonitorRecord& record : manifest.monitors) {
    if (record.quantity != "y_plus") {  // a table of patches, read with the fields
      raw.monitors.push_back({record, read_history(case_dir, record)});
    }
  }
  return raw;
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
  const std::vector<Measure> measures = all_measures(manifest, raw);
  const Snapshot last = field_snapshot(raw.fluxes, raw.fields.zones);
  const MonitorTable table = monitor_table(manifest, raw.monitors, raw.fluxes, raw.iteration);
  const MonitorTrend trend =
      monitor_trend(table, measures, {manifest.window, manifest.settled_tolerance}, raw.iteration);
  result.judgement = trend.judgement;
  result.n_samples = trend.n_samples;
  result.histories = judged_histories(table, measures);
  result.averaging = trend.window;
  if (!table.iteration.empty()) {
    result.last_iteration = table.iteration.back();
    result.window_start = table.iteration[trend.window.first];
  }
  for (std::size_t i = 0; i < measures.size(); ++i) {
    result.quantities.push_back(
        publish(measures[i], last, trend.n_samples > 0 ? &trend.statistics[i] : nullptr));
  }
  for (Quantity& quantity : manifest.is_reference ? propeller_quantities(manifest, raw.fields)
                                                  : field_quantities(manifest, raw.fluxes, raw.fields)) {
    result.quantities.push_back(std::move(quantity));
  }
  std::stable_sort(result.quantities.begin(),
                   result.quantities.end(),
                   [](const Quantity& a, const Quantity& b) { return a.order < b.order; });
  drop_impossible_values(result);
  if (!manifest.is_reference) {
    check_balances(result);
    result.solved = solved_parts(result, raw);
  }
  check_routes(raw, result);
  check_geometry(raw, result);
  check_propeller(result);
  check_leaks(result);
  note_condition(result);
  note_progress(raw, table, result);
  append(monitor_flags(table, raw.iteration), result.flags);
  append(window_notes(trend, table), result.notes);
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
  // Fields of a run that failed on its way, and may be gone on with, are no results.
  if (const auto state = base::read_case_state(case_dir); state && state->phase == base::CasePhase::Failed) {
    return failed_result(
        manifest, case_dir, "the run failed: " + state->message.substr(0, state->message.find('\n')));
  }
  try {
    VariantResult result = evaluate(manifest, read_raw_results(case_dir, manifest));
    result.case_dir = case_dir;
    result.provenance = read_provenance(case_dir, manifest);
    note_start(result);
    return result;
  } catch (const base::ResultError& error) {
    return failed_result(manifest, case_dir, error.what());
  }
}

}  // namespace cowlwright::post
