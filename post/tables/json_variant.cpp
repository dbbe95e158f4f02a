// SPDX-License-Identifier: GPL-3.0-or-later
//
// One variant in results.json.
#include "post/quantities/pressure_budget.h"
#include "post/tables/json_parts.h"
#include "post/tables/wording.h"

namespace cowlwright::post {

namespace {

template <typename Value>
Json or_null(const std::optional<Value>& value) {
  return value ? Json(*value) : Json(nullptr);
}

Json grid_values_json(const std::vector<GridValue>& values) {
  Json list = Json::array();
  for (const GridValue& value : values) {
    list.push_back({{"grid", value.grid},
                    {"cell_size", value.cell_size},
                    {"value", or_null(value.value)},
                    {"half_band", or_null(value.half_band)},
                    {"left_out", value.trouble.empty() ? Json(nullptr) : Json(value.trouble)}});
  }
  return list;
}

Json grids_json(const std::optional<GridVerdict>& grids) {
  if (!grids) {
    return nullptr;
  }
  const GridConvergence none;
  const GridConvergence& found = grids->convergence ? *grids->convergence : none;
  const auto if_found = [&](double value) { return grids->convergence ? Json(value) : Json(nullptr); };
  return {{"behaviour", grids->behaviour()},
          {"is_flagged", grids->is_flagged()},
          {"statement", grids->text},
          {"band", or_null(grids->band())},
          {"observed_order", or_null(found.order)},
          {"extrapolated", or_null(found.extrapolated)},
          {"gci_fine", or_null(found.gci_21)},
          {"gci_middle", or_null(found.gci_32)},
          {"approximate_error", or_null(found.approximate_error)},
          {"extrapolated_error", or_null(found.extrapolated_error)},
          {"range", if_found(found.range)},
          {"ratio_fine", if_found(found.ratio_21)},
          {"ratio_coarse", if_found(found.ratio_32)},
          {"values", grid_values_json(grids->values)}};
}

Json difference_json(const std::optional<Difference>& difference) {
  if (!difference) {
    return nullptr;
  }
  return {{"absolute", difference->absolute},
          {"relative", or_null(difference->relative)},
          {"band", or_null(difference->band)},
          {"relative_band", or_null(difference->relative_band)},
          {"band_contains", contents_name(difference->contents)},
          {"within_bands", difference->within_bands},
          {"on_unlike_grids", difference->on_unlike_grids},
          {"grids", grids_json(difference->grids)}};
}

Json balances_json(const VariantResult& variant) {
  Json list = Json::array();
  for (const BalanceCheck& check : variant.balances) {
    list.push_back({{"id", check.id},
                    {"name", check.name},
                    {"value", or_null(check.value)},
                    {"lowest", check.lowest},
                    {"highest", check.highest},
                    {"exceeded", check.is_exceeded()}});
  }
  return list;
}

Json members_json(const VariantResult& variant) {
  Json list = Json::array();
  for (const GridMember& member : variant.grids) {
    list.push_back({{"level", member.level},
                    {"case", member.folder},
                    {"cell_size", member.cell_size},
                    {"cells", member.status == Status::Failed ? Json(nullptr) : Json(member.n_cells)},
                    {"status", status_name(member.status)},
                    {"status_reason", member.reason},
                    {"left_out", member.trouble.empty() ? Json(nullptr) : Json(member.trouble)}});
  }
  return list;
}

Json check_json(const std::optional<RouteCheck>& check) {
  if (!check) {
    return nullptr;
  }
  return {{"worst_plane", check->plane},
          {"relative_difference", check->difference},
          {"tolerance", check->tolerance},
          {"is_within", check->is_within()}};
}

Json quantities_json(const Comparison& comparison, std::size_t index) {
  Json list = Json::array();
  for (const ComparisonRow& row : comparison.rows) {
    const Quantity* quantity = row.values[index];
    if (quantity == nullptr) {
      continue;
    }
    list.push_back({{"id", quantity->id},
                    {"group", quantity->group},
                    {"name", quantity->name},
                    {"unit", quantity->unit},
                    {"decimals", quantity->decimals},
                    {"difference_in", difference_unit(*quantity)},
                    {"value", quantity->value},
                    {"half_band", or_null(quantity->half_band)},
                    {"standard_error", or_null(quantity->standard_error)},
                    {"effective_samples", or_null(quantity->effective_samples)},
                    {"band", or_null(published_band(*quantity))},
                    {"band_contains", contents_name(band_contents(*quantity))},
                    {"grids", grids_json(quantity->grids)},
                    {"basis", basis_name(quantity->basis)},
                    {"difference", difference_json(comparison.difference_in(row, index))},
                    {"definition", quantity->definition}});
  }
  return list;
}

/// Steps of the pressure on its way, null when one is not known.
Json budget_json(const VariantResult& variant) {
  const auto steps = pressure_budget(variant);
  if (!steps) {
    return nullptr;
  }
  Json list = Json::array();
  for (const BudgetStep& step : *steps) {
    list.push_back(
        {{"id", step.id}, {"name", step.name}, {"value", step.change}, {"of_reference", step.of_reference}});
  }
  return list;
}

Json histories_json(const Histories& histories) {
  if (histories.iterations.empty()) {
    return nullptr;
  }
  Json series = Json::array();
  for (const QuantityHistory& one : histories.series) {
    series.push_back({{"id", one.id}, {"name", one.name}, {"unit", one.unit}, {"values", one.values}});
  }
  return {{"iterations", histories.iterations}, {"series", series}};
}

Json flight_json(const base::FlightRecord& flight) {
  return {{"true_airspeed", flight.true_airspeed},
          {"pressure", flight.pressure},
          {"temperature", flight.temperature},
          {"density", flight.density},
          {"dynamic_pressure", flight.dynamic_pressure},
          {"reference_pressure", flight.reference_pressure},
          {"reference_name", flight.reference_name},
          {"pressure_altitude", flight.pressure_altitude},
          {"density_altitude", flight.density_altitude},
          {"incidence", flight.incidence},
          {"sideslip", flight.sideslip}};
}

Json provenance_json(const Provenance& provenance) {
  Json settings = Json::array();
  for (const HashedFile& file : provenance.settings) {
    settings.push_back({{"file", file.file}, {"sha256", file.sha256}});
  }
  Json times = Json::array();
  for (const base::StageTime& stage :
       provenance.state ? provenance.state->finished : std::vector<base::StageTime>()) {
    times.push_back({{"stage", stage.name}, {"seconds", stage.seconds}});
  }
  return {{"settings", settings},
          {"times", times},
          {"ranks", provenance.state ? Json(provenance.state->ranks) : Json(nullptr)},
          {"solver_end",
           provenance.solver_end ? Json(base::solver_end_text(*provenance.solver_end)) : Json(nullptr)}};
}

Json varied_values_json(const std::vector<VariedKey>& keys, std::size_t index) {
  Json list = Json::array();
  for (const VariedKey& key : keys) {
    list.push_back({{"key", key.key},
                    {"text", key.texts[index]},
                    {"number", key.numbers ? Json(key.numbers->at(index)) : Json(nullptr)}});
  }
  return list;
}

Json settings_json(const base::Manifest& manifest) {
  Json settings = Json::object();
  for (const base::Setting& setting : manifest.settings) {
    settings[setting.key] = setting.text;
  }
  return settings;
}

Json window_json(const VariantResult& variant) {
  if (variant.n_samples == 0) {
    return nullptr;
  }
  return {{"first_iteration", variant.window_start},
          {"last_iteration", variant.last_iteration},
          {"samples", variant.n_samples}};
}

/// What an estimate stands on; null for a solved case.
Json coefficients_json(const VariantResult& variant) {
  if (!variant.is_estimate()) return nullptr;
  Json list = Json::array();
  for (const EstimateCoefficient& one : variant.coefficients) {
    list.push_back({{"name", one.name},
                    {"value", one.value},
                    {"half_band", one.half_band},
                    {"unit", one.unit},
                    {"source", one.source},
                    {"shift", one.shift}});
  }
  return list;
}

}  // namespace

Json variant_json(const Comparison& comparison, std::size_t index) {
  const VariantResult& variant = comparison.variants[index];
  const bool has_fields = !variant.has_failed() && !variant.is_estimate();
  return {{"name", comparison.labels[index]},
          {"case", std::filesystem::weakly_canonical(variant.case_dir).filename().string()},
          {"is_baseline", comparison.is_baseline(index)},
          {"phrase", comparison.phrases[index]},
          {"settings", settings_json(variant.manifest)},
          {"varied_values", varied_values_json(comparison.varied, index)},
          {"status", status_name(variant.judgement.status)},
          {"status_reason", variant.judgement.reason},
          {"is_flagged", !variant.flags.empty() || variant.has_failed()},
          {"flags", variant.flags},
          {"notes", variant.notes},
          {"discretisation", variant.discretisation},
          {"grid_level", variant.manifest.grid_level},
          {"grids", members_json(variant)},
          {"cells", has_fields ? Json(variant.n_cells) : Json(nullptr)},
          {"fields_iteration", has_fields ? Json(variant.iteration) : Json(nullptr)},
          {"window", window_json(variant)},
          {"balances", balances_json(variant)},
          {"checks",
           {{"face_flux_against_monitor", check_json(variant.monitor_check)},
            {"fields_against_face_flux", check_json(variant.field_check)}}},
          {"flight", flight_json(variant.manifest.flight)},
          {"budget", budget_json(variant)},
          {"histories", histories_json(variant.histories)},
          {"coefficients", coefficients_json(variant)},
          {"provenance", provenance_json(variant.provenance)},
          {"input_hash", variant.manifest.input_hash},
          {"program_version", variant.manifest.program_version},
          {"openfoam_version", variant.manifest.openfoam_version},
          {"quantities", quantities_json(comparison, index)}};
}

}  // namespace cowlwright::post
