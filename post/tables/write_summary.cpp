// SPDX-License-Identifier: GPL-3.0-or-later
//
// Puts the summary on disk.
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"
#include "post/tables/writers.h"

#include <fmt/format.h>

#include <system_error>

namespace cowlwright::post {

void write_summary(const Comparison& comparison, const std::filesystem::path& folder) {
  const std::string csv = summary_csv(comparison);
  const std::string tidy_csv = summary_tidy_csv(comparison);
  const std::string markdown = summary_markdown(comparison);
  const std::string json = results_json(comparison);
  std::error_code error;
  std::filesystem::create_directories(folder, error);
  if (error) {
    throw base::ExternalError(fmt::format(
        "{}: folder cannot be made: {}. Choose another one with -o.", folder.string(), error.message()));
  }
  base::write_text(folder / csv_file_name, csv);
  base::write_text(folder / tidy_csv_file_name, tidy_csv);
  base::write_text(folder / markdown_file_name, markdown);
  base::write_text(folder / json_file_name, json);
}

std::string written_text(const std::filesystem::path& folder) {
  std::string text;
  for (const char* name : {csv_file_name, tidy_csv_file_name, markdown_file_name, json_file_name}) {
    text += fmt::format("{}{}\n", text.empty() ? "Written: " : "         ", (folder / name).string());
  }
  return text;
}

}  // namespace cowlwright::post
