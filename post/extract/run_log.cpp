// SPDX-License-Identifier: GPL-3.0-or-later
//
// Finds fatal errors in logs.
#include "post/extract/run_log.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <fstream>
#include <string_view>

namespace cowlwright::post {

namespace {

namespace fs = std::filesystem;

constexpr std::array<std::string_view, 5> fatal_words{
    "FOAM FATAL", "sigFpe", "Floating point exception", "Segmentation fault", "MPI_ABORT"};
constexpr std::streamoff tail_bytes = 262144;  // 256 KiB

std::optional<fs::path> newest_log(const fs::path& case_dir) {
  std::optional<fs::path> newest;
  for (const fs::directory_entry& entry : fs::directory_iterator(case_dir)) {
    const bool is_log = entry.is_regular_file() && entry.path().filename().string().rfind("log.", 0) == 0;
    if (is_log && (!newest || entry.last_write_time() > fs::last_write_time(*newest))) {
      newest = entry.path();
    }
  }
  return newest;
}

/// OpenFOAM reports at its start that it will trap such errors: that line is no error.
bool is_fatal(std::string_view line) {
  const bool announces_trapping =
      line.find("Enabling floating point exception trapping") != std::string_view::npos ||
      line.find("trapFpe") != std::string_view::npos;
  return !announces_trapping &&
         std::any_of(fatal_words.begin(), fatal_words.end(), [line](std::string_view word) {
           return line.find(word) != std::string_view::npos;
         });
}

}  // namespace

std::optional<std::string> fatal_log_line(const fs::path& case_dir) {
  const std::optional<fs::path> log = newest_log(case_dir);
  if (!log) {
    return std::nullopt;
  }
  std::ifstream file(*log, std::ios::binary);
  const auto size = static_cast<std::streamoff>(fs::file_size(*log));
  const bool is_whole = size <= tail_bytes;
  file.seekg(is_whole ? 0 : size - tail_bytes);
  std::string line;
  for (int number = 1; std::getline(file, line); ++number) {
    if (is_fatal(line)) {
      const std::string place = is_whole ? fmt::format(":{}", number) : std::string();
      return fmt::format("{}{}: {}", log->filename().string(), place, line.substr(0, 200));
    }
  }
  return std::nullopt;
}

}  // namespace cowlwright::post
