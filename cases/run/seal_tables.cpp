// SPDX-License-Identifier: GPL-3.0-or-later
//
// The monitors' tables of a checkpoint: the rows up to it and no others.
#include "cases/run/seal.h"
#include "geometry/base/manifest.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <map>
#include <optional>
#include <set>
#include <string_view>

namespace cowlwright::run {
namespace {

namespace fs = std::filesystem;

constexpr const char* tables_folder = "postProcessing";

/// A table's file as postProcessing/<function object>/<start iteration>/<file>.
struct TableFile {
  std::string path;
  std::string monitor;  ///< "<function object>/<file>", the same for all its starts
  int start = 0;
};

std::optional<int> leading_number(std::string_view text) {
  const std::size_t begin = std::min(text.find_first_not_of(" \t"), text.size());
  int number = 0;
  const auto [end, error] = std::from_chars(text.data() + begin, text.data() + text.size(), number);
  return error == std::errc() ? std::optional(number) : std::nullopt;
}

std::vector<TableFile> table_files(const fs::path& case_dir) {
  std::vector<TableFile> tables;
  for (const std::string& path : files_below(case_dir, tables_folder)) {
    const fs::path file(path);
    const fs::path start = file.parent_path().filename();
    const std::optional<int> number = leading_number(start.string());
    if (file.extension() != ".dat" || !number) continue;
    // The solver names a second table of the same start iteration "<name>_<start>.dat".
    std::string name = file.stem().string();
    const std::string again = fmt::format("_{}", start.string());
    if (name.ends_with(again)) name.resize(name.size() - again.size());
    tables.push_back(
        {path, fmt::format("{}/{}", file.parent_path().parent_path().filename().string(), name), *number});
  }
  std::stable_sort(
      tables.begin(), tables.end(), [](const TableFile& a, const TableFile& b) { return a.start < b.start; });
  return tables;
}

struct Rows {
  std::uintmax_t size = 0;        ///< bytes up to the end of the last whole row that counts
  std::vector<int> iterations{};  ///< of these rows, each once
};

Rows rows_up_to(const std::string& text, int iteration) {
  Rows rows;
  for (std::size_t begin = 0; begin < text.size();) {
    const std::size_t end = text.find('\n', begin);
    if (end == std::string::npos) break;  // still being written
    const std::optional<int> number = leading_number(std::string_view(text).substr(begin, end - begin));
    if (number && *number > iteration) break;
    if (number && (rows.iterations.empty() || rows.iterations.back() != *number))
      rows.iterations.push_back(*number);
    rows.size = end + 1;
    begin = end + 1;
  }
  return rows;
}

/// Adds a later start's iterations, which supersede what went beyond it.
void add(std::vector<int>& so_far, const std::vector<int>& later) {
  so_far.erase(std::lower_bound(so_far.begin(), so_far.end(), later.front()), so_far.end());
  so_far.insert(so_far.end(), later.begin(), later.end());
}

/// "<function object>/<file>" of the monitors that write a row in every iteration: all but those that write
/// with the fields.
std::set<std::string> monitors_of_every_iteration(const fs::path& case_dir) {
  std::set<std::string> monitors;
  for (const base::MonitorRecord& record : base::read_manifest(case_dir).monitors) {
    if (record.quantity == "y_plus") continue;
    monitors.insert(record.function_object + "/" + fs::path(record.file).stem().string());
  }
  return monitors;
}

std::string gap(const std::string& monitor, const std::vector<int>& iterations, int iteration) {
  int expected = 1;
  for (const int found : iterations) {
    if (found != expected) return fmt::format("table {} lacks iteration {}", monitor, expected);
    ++expected;
  }
  if (expected <= iteration) return fmt::format("table {} lacks iteration {}", monitor, expected);
  return {};
}

}  // namespace

std::vector<TablePart> tables_up_to(const fs::path& case_dir, int iteration, std::string& trouble) {
  std::vector<TablePart> parts;
  std::map<std::string, std::vector<int>> iterations;  // by monitor
  for (const TableFile& table : table_files(case_dir)) {
    const Rows rows = rows_up_to(base::read_text(case_dir / table.path), iteration);
    if (rows.iterations.empty()) continue;
    parts.push_back({table.path, rows.size});
    add(iterations[table.monitor], rows.iterations);
  }
  if (iterations.empty()) return parts;
  const std::set<std::string> of_every_iteration = monitors_of_every_iteration(case_dir);
  for (const auto& [monitor, found] : iterations) {
    if (trouble.empty() && of_every_iteration.contains(monitor)) trouble = gap(monitor, found, iteration);
  }
  return parts;
}

void cut_tables(const fs::path& case_dir, const std::vector<SealedFile>& tables) {
  for (const TableFile& table : table_files(case_dir)) {
    const auto sealed = std::find_if(
        tables.begin(), tables.end(), [&](const SealedFile& file) { return file.path == table.path; });
    if (sealed == tables.end()) {
      std::error_code not_empty;
      fs::remove(case_dir / table.path);
      fs::remove((case_dir / table.path).parent_path(), not_empty);
    } else {
      fs::resize_file(case_dir / table.path, sealed->size);
    }
  }
}

}  // namespace cowlwright::run
