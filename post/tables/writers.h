// SPDX-License-Identifier: GPL-3.0-or-later
//
// The forms of the summary, all of the same comparison. None is published without status, flags, the
// grid statement and the cautions.
#pragma once

#include "post/tables/comparison.h"

#include <filesystem>
#include <string>

namespace cowlwright::post {

/// RFC 4180 text, one row per variant, a unit in every header. Absent values are empty fields.
std::string summary_csv(const Comparison& comparison);

/// The same, one row for each value, with the varied keys as columns. A failed variant has no rows.
std::string summary_tidy_csv(const Comparison& comparison);

/// GitHub-flavoured Markdown: quantities as rows, variants as columns with absolute and relative differences,
/// then definitions.
std::string summary_markdown(const Comparison& comparison);

/// JSON text as described by post/tables/results.schema.json.
std::string results_json(const Comparison& comparison);

/// Aligned text for a terminal, no line longer than 110 columns as long as variant names allow it: blocks of
/// at most three variants, the baseline first in each.
std::string screen_table(const Comparison& comparison);

/// File names in the output folder.
inline constexpr const char* csv_file_name = "summary.csv";
inline constexpr const char* tidy_csv_file_name = "summary_tidy.csv";
inline constexpr const char* markdown_file_name = "summary.md";
inline constexpr const char* json_file_name = "results.json";

/// Writes summary.csv, summary_tidy.csv, summary.md and results.json, each whole or not at all; makes the
/// folder.
/// @throws ExternalError  when something cannot be written.
void write_summary(const Comparison& comparison, const std::filesystem::path& folder);

/// "Written: out/summary.csv" and so on, a line for each file.
std::string written_text(const std::filesystem::path& folder);

}  // namespace cowlwright::post
