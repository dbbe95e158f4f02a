// SPDX-License-Identifier: GPL-3.0-or-later
//
// results.json: everything, for programs. Described by results.schema.json beside this file.
#include "geometry/base/version.h"
#include "post/tables/statements.h"
#include "post/tables/wording.h"
#include "post/tables/writers.h"

#include <nlohmann/json.hpp>

namespace cowlwright::post {

namespace {

using Json = nlohmann::ordered_json;

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

std::string_view basis_name(Basis basis) {
  switch (basis) {
    case Basis::WindowMean:
      return "window mean";
    case Basis::LastIteration:
      return "last iteration only";
    case Basis::Fixed:
      return "fixed";
  }
  return "last iteration only";
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

Json variant_json(const Comparison& comparison, std::size_t index) {
  const VariantResult& variant = comparison.variants[index];
  const bool has_fields = !variant.has_failed();
  return {{"name", comparison.labels[index]},
          {"case", std::filesystem::weakly_canonical(variant.case_dir).filename().string()},
          {"is_baseline", comparison.is_baseline(index)},
          {"settings", settings_json(variant.manifest)},
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
          {"input_hash", variant.manifest.input_hash},
          {"program_version", variant.manifest.program_version},
          {"openfoam_version", variant.manifest.openfoam_version},
          {"quantities", quantities_json(comparison, index)}};
}

}  // namespace

std::string results_json(const Comparison& comparison) {
  const base::Manifest& manifest = comparison.variants.front().manifest;
  Json document{{"format", "cowlwright results"},
                {"version", 1},
                {"written_by", std::string("cowlpost ") + base::program_version},
                {"study", manifest.study},
                {"question", manifest.question},
                {"study_file", manifest.study_file},
                {"study_hash", manifest.study_hash},
                {"cautions", cautions},
                {"status_rule", status_rule},
                {"half_band", band_statement},
                {"band", grid_rule},
                {"not_in_bands", not_in_bands},
                {"baseline", comparison.labels[comparison.baseline]},
                {"notes", comparison.notes}};
  document["variants"] = Json::array();
  for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
    document["variants"].push_back(variant_json(comparison, i));
  }
  // A log line quoted in a reason may hold bytes that are no UTF-8.
  return document.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace cowlwright::post
