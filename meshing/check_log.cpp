// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reads the text checkMesh printed.
#include "geometry/base/error.h"
#include "meshing/quality_gate.h"

#include <fmt/format.h>

#include <fstream>
#include <regex>

namespace cowlwright::meshing {

namespace {

/// The first number after `label` in `line`, if the line holds the label.
bool number_after(const std::string& line, const std::string& label, double& value) {
  const std::size_t at = line.find(label);
  if (at == std::string::npos) {
    return false;
  }
  try {
    value = std::stod(line.substr(at + label.size()));
  } catch (const std::exception&) {
    return false;
  }
  return true;
}

void read_figures(const std::string& line, MeshReport& report) {
  double cells = 0.0;
  if (report.n_cells == 0 && number_after(line, "    cells:", cells)) {
    report.n_cells = static_cast<long>(cells);
  }
  if (number_after(line, "non-orthogonality Max:", report.max_non_orthogonality)) {
    number_after(line, "average:", report.mean_non_orthogonality);
  }
  number_after(line, "Max skewness =", report.max_skewness);
  number_after(line, "Max aspect ratio =", report.max_aspect_ratio);
  number_after(line, "Total volume =", report.volume);
}

}  // namespace

MeshReport read_check_log(const std::filesystem::path& log) {
  std::ifstream file(log);
  if (!file) {
    throw base::ResultError(
        fmt::format("{}: cannot be read. Run checkMesh with its output in that file.", log.string()));
  }
  static const std::regex set_line(R"(<<Writing \d+ .*to set (\w+))");
  MeshReport report;
  bool has_verdict = false;
  std::string line;
  for (int number = 1; std::getline(file, line); ++number) {
    read_figures(line, report);
    const std::size_t stars = line.find("***");
    std::smatch match;
    if (stars != std::string::npos) {
      report.faults.push_back({line.substr(stars + 3), number, {}, {}});
    } else if (!report.faults.empty() && report.faults.back().set.empty() &&
               std::regex_search(line, match, set_line)) {
      report.faults.back().set = match[1];
    }
    if (line.find("Mesh OK.") != std::string::npos) {
      has_verdict = report.is_ok = true;
    } else if (line.find("Failed ") == 0 && line.find("mesh checks.") != std::string::npos) {
      has_verdict = true;
    }
  }
  if (!has_verdict) {
    throw base::ResultError(
        fmt::format("{}: no verdict, checkMesh did not finish. See the end of that log.", log.string()));
  }
  return report;
}

}  // namespace cowlwright::meshing
