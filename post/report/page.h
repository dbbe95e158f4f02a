// SPDX-License-Identifier: GPL-3.0-or-later
//
// The page of a study: one HTML file with everything in it, that opens without a network. All it shows is
// what is put into its five places: results.json as it was written, the map of margins, pictures, 3-D scenes,
// and a word on the page itself.
#pragma once

#include "post/report/envelope.h"
#include "post/report/figures.h"

#include <span>
#include <string>
#include <vector>

namespace cowlwright::post {

struct PageInput {
  std::string results;                      ///< the text of results.json
  std::vector<std::string> variants;        ///< (n_variants) names as in results.json
  std::span<const VariantFigures> figures;  ///< (n_variants)
  std::string written;                      ///< date and time, ISO 8601
  EnvelopeFile envelope{};                  ///< of the study's folder
};

/// The text of the page.
/// @throws ResultError  when a file that pictures.json names is missing or damaged.
std::string report_page(const PageInput& input);

/// JSON as it may stand in a script element: no "<".
std::string script_safe(std::string json);

}  // namespace cowlwright::post
