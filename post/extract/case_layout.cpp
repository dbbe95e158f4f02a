// SPDX-License-Identifier: GPL-3.0-or-later
//
// Looks for time folders with results.
#include "post/extract/case_layout.h"

#include "geometry/base/error.h"
#include "geometry/base/foam_reader.h"
#include "geometry/base/time_folders.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

namespace cowlwright::post {

namespace {

namespace fs = std::filesystem;

using base::time_folders;
using base::TimeFolder;

/// Earliest first; only those after 0 with the face flux.
std::vector<TimeFolder> result_times(const fs::path& dir) {
  std::vector<TimeFolder> times = time_folders(dir);
  std::erase_if(times, [&dir](const TimeFolder& time) {
    return !(time.value > 0.0) || !base::foam_file_exists(dir / time.name / "phi");
  });
  return times;
}

/// OpenFOAM keeps a changed mesh in the time folder where it changed, otherwise in constant.
fs::path mesh_dir_at(const fs::path& dir, double time) {
  const std::vector<TimeFolder> times = time_folders(dir);
  const auto latest = std::find_if(times.rbegin(), times.rend(), [&](const TimeFolder& folder) {
    return folder.value <= time && base::foam_file_exists(dir / folder.name / "polyMesh" / "faces");
  });
  return dir / (latest == times.rend() ? "constant" : latest->name) / "polyMesh";
}

std::vector<fs::path> processor_folders(const fs::path& case_dir) {
  std::vector<fs::path> folders;
  for (int rank = 0;; ++rank) {
    fs::path folder = case_dir / fmt::format("processor{}", rank);
    if (!fs::is_directory(folder)) {
      return folders;
    }
    folders.push_back(std::move(folder));
  }
}

/// Latest result time that every rank has written.
std::optional<TimeFolder> latest_common_time(const std::vector<fs::path>& folders) {
  if (folders.empty()) {
    return std::nullopt;
  }
  const std::vector<TimeFolder> times = result_times(folders.front());
  const auto latest = std::find_if(times.rbegin(), times.rend(), [&folders](const TimeFolder& time) {
    return std::all_of(folders.begin(), folders.end(), [&time](const fs::path& folder) {
      return base::foam_file_exists(folder / time.name / "phi");
    });
  });
  return latest == times.rend() ? std::nullopt : std::optional(*latest);
}

[[noreturn]] void throw_no_results(const fs::path& case_dir, bool has_processors) {
  for (const fs::directory_entry& entry : fs::directory_iterator(case_dir)) {
    const std::string name = entry.path().filename().string();
    if (!has_processors && name.rfind("processors", 0) == 0) {
      throw base::ResultError(fmt::format(
          "{}: results are in the collated folder {}, which is not read. Run reconstructPar in the "
          "case and extract again.",
          case_dir.string(),
          name));
    }
  }
  const bool has_monitors = fs::is_directory(case_dir / "postProcessing");
  throw base::ResultError(fmt::format(
      "{}: no results yet: no iteration after 0 with the face flux phi, neither in the case folder "
      "nor in {}. {}",
      case_dir.string(),
      has_processors ? "all of its processor folders" : "processor folders (there are none)",
      has_monitors ? "The solver has started; wait for its next write."
                   : "Run the case (./Allrun) and extract again."));
}

}  // namespace

CaseLayout find_results(const fs::path& case_dir) {
  if (!fs::is_directory(case_dir)) {
    throw base::InputError(
        fmt::format("{}: no such case folder. Give the folder that holds manifest.json.", case_dir.string()));
  }
  CaseLayout layout;
  layout.case_dir = case_dir;
  const std::vector<fs::path> folders = processor_folders(case_dir);
  const std::vector<TimeFolder> whole = result_times(case_dir);
  const std::optional<TimeFolder> split = latest_common_time(folders);
  if (whole.empty() && !split) {
    throw_no_results(case_dir, !folders.empty());
  }
  layout.is_decomposed = whole.empty() || (split && split->value > whole.back().value);
  const TimeFolder& time = layout.is_decomposed ? *split : whole.back();
  layout.time = time.value;
  layout.time_name = time.name;
  const std::vector<fs::path> sources = layout.is_decomposed ? folders : std::vector<fs::path>{case_dir};
  for (const fs::path& source : sources) {
    layout.parts.push_back({mesh_dir_at(source, time.value), source / time.name});
  }
  return layout;
}

}  // namespace cowlwright::post
