// SPDX-License-Identifier: GPL-3.0-or-later
//
// results.json: everything, for programs. Described by results.schema.json beside this file.
#include "geometry/base/version.h"
#include "post/quantities/passages.h"
#include "post/tables/answer.h"
#include "post/tables/json_parts.h"
#include "post/tables/statements.h"
#include "post/tables/writers.h"

#include <algorithm>

namespace cowlwright::post {

namespace {

Json answer_json(const Comparison& comparison) {
  const Answer answer = answer_of(comparison);
  return {{"standing", standing_name(answer.standing)},
          {"standing_text", standing_text(answer.standing)},
          {"sentences", answer.sentences},
          {"reasons", answer.reasons},
          {"quantities", answer.quantities}};
}

Json varied_json(const std::vector<VariedKey>& keys) {
  Json list = Json::array();
  for (const VariedKey& key : keys) {
    list.push_back({{"key", key.key},
                    {"label", key.label},
                    {"unit", key.unit.empty() ? Json(nullptr) : Json(key.unit)},
                    {"is_number", key.numbers.has_value()}});
  }
  return list;
}

std::string_view side_name(base::Side side) {
  return side == base::Side::Left ? "left" : side == base::Side::Right ? "right" : "centre";
}

/// Where cylinders, inlets and exit lie, seen from above.
Json layout_json(const base::Manifest& manifest) {
  Json cylinder_list = Json::array();
  for (const HeatedPassage& cylinder : cylinders(manifest)) {
    Json flows = Json::array();
    for (const std::size_t plane : cylinder.planes) {
      flows.push_back("core_mass_flow_" + manifest.planes[plane].name);
    }
    const base::PlaneRecord& plane = manifest.planes[cylinder.planes.front()];
    cylinder_list.push_back({{"name", cylinder.name},
                             {"side", side_name(plane.side)},
                             {"position", {plane.origin.x, plane.origin.y}},
                             {"mass_flow", flows},
                             {"temperature", "cylinder_outlet_temperature_" + cylinder.name}});
  }
  Json inlets = Json::array();
  Json exit = nullptr;
  for (const base::PlaneRecord& plane : manifest.planes) {
    const Json position{plane.origin.x, plane.origin.y};
    if (plane.role == base::PlaneRole::Inlet) {
      inlets.push_back({{"name", plane.name}, {"side", side_name(plane.side)}, {"position", position}});
    } else if (plane.role == base::PlaneRole::Exit) {
      exit = {{"position", position}};
    }
  }
  return {{"cylinders", cylinder_list}, {"inlets", inlets}, {"exit", exit}};
}

/// The first that is known; all variants are of one study when it is shown.
Json study_text_json(const Comparison& comparison) {
  for (const VariantResult& variant : comparison.variants) {
    if (!variant.provenance.study_text.empty()) {
      return variant.provenance.study_text;
    }
  }
  return nullptr;
}

}  // namespace

std::string results_json(const Comparison& comparison) {
  const base::Manifest& manifest = comparison.variants.front().manifest;
  Json document{{"format", "cowlwright results"},
                {"version", 2},
                {"written_by",
                 std::string(comparison.is_estimate ? "cowlwright " : "cowlpost ") + base::program_version},
                {"study", manifest.study},
                {"question", manifest.question},
                {"study_file", manifest.study_file},
                {"study_hash", manifest.study_hash},
                {"study_text", study_text_json(comparison)},
                {"answer", answer_json(comparison)},
                {"cautions", cautions},
                {"status_rule", comparison.is_estimate ? estimate_status_rule : status_rule},
                {"half_band", comparison.is_estimate ? estimate_band_statement : band_statement},
                {"band", grid_rule},
                {"not_in_bands", comparison.is_estimate ? not_in_estimate_bands : not_in_bands},
                {"varied", varied_json(comparison.varied)},
                {"layout", layout_json(manifest)},
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
