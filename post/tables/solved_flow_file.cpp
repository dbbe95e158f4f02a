// SPDX-License-Identifier: GPL-3.0-or-later
//
// Gathers the cases of one study that can be handed over.
#include "post/tables/solved_flow_file.h"

#include "geometry/base/text_file.h"
#include "post/quantities/solved_parts.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <system_error>

namespace cowlwright::post {

namespace {

/// Why nothing can be written; empty when something can.
std::string objection(const Comparison& comparison, const base::SolvedFlow& flow) {
  for (const VariantResult& variant : comparison.variants) {
    if (variant.manifest.study_hash != flow.study_hash) {
      return "the cases are of unlike studies; give those of one study";
    }
  }
  if (flow.study_text.empty()) {
    return fmt::format(
        "the study file that the cases were made from, {}, is not in the folder above them, or "
        "has changed since",
        flow.study_file);
  }
  return flow.cases.empty()
             ? fmt::format("no case has all that is needed: {}", fmt::join(flow.left_out, "; "))
             : std::string();
}

void add(const VariantResult& variant, const std::string& label, base::SolvedFlow& flow) {
  if (variant.manifest.is_reference) {
    return;  // closed: no air passes it
  }
  if (variant.has_failed()) {
    flow.left_out.push_back(fmt::format("{}: failed: {}", label, variant.judgement.reason));
  } else if (!variant.solved.parts) {
    flow.left_out.push_back(fmt::format("{}: lacks {}", label, fmt::join(variant.solved.missing, ", ")));
  } else {
    flow.cases.push_back(complete_case(variant));
  }
}

}  // namespace

std::string write_solved_flow(const Comparison& comparison, const std::filesystem::path& folder) {
  const VariantResult& first = comparison.variants.front();
  base::SolvedFlow flow{.file = {},
                        .study_file = first.manifest.study_file,
                        .study_text = {},
                        .study_hash = first.manifest.study_hash,
                        .cases = {},
                        .left_out = {}};
  for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
    if (flow.study_text.empty()) {
      flow.study_text = comparison.variants[i].provenance.study_text;
    }
    add(comparison.variants[i], comparison.labels[i], flow);
  }
  const std::filesystem::path file = folder / base::solved_flow_file_name;
  if (const std::string why_not = objection(comparison, flow); !why_not.empty()) {
    std::error_code ignored;
    std::filesystem::remove(file, ignored);
    return fmt::format("No {} for `cowlwright estimate`: {}.\n", base::solved_flow_file_name, why_not);
  }
  base::write_text(file, base::solved_flow_json(flow));
  std::string text = fmt::format("         {}\n", file.string());
  for (const std::string& left_out : flow.left_out) {
    text += fmt::format("{} leaves out {}.\n", base::solved_flow_file_name, left_out);
  }
  return text;
}

}  // namespace cowlwright::post
