// SPDX-License-Identifier: GPL-3.0-or-later
//
// From words to compared cases.
#include "post/verbs/given_cases.h"

#include "geometry/base/case_state.h"
#include "geometry/base/error.h"
#include "geometry/base/manifest.h"
#include "geometry/base/sweep.h"
#include "post/quantities/cooling_drag.h"
#include "post/quantities/grid_family.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <set>
#include <utility>

namespace cowlwright::post {

namespace {

namespace fs = std::filesystem;

bool is_case(const fs::path& folder) {
  return fs::exists(folder / base::manifest_file_name);
}

/// The cases in a study's folder, as the study orders its variants.
std::vector<fs::path> cases_in(const fs::path& folder) {
  std::vector<std::pair<int, fs::path>> found;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder)) {
    if (entry.is_directory() && is_case(entry.path())) {
      found.emplace_back(base::read_manifest(entry.path()).variant_index, entry.path());
    }
  }
  std::sort(found.begin(), found.end());
  std::vector<fs::path> cases;
  cases.reserve(found.size());
  for (auto& [index, path] : found) {
    cases.push_back(std::move(path));
  }
  return cases;
}

/// Cases that the study's sweep wants besides those that have ended; empty when these are all, or the cases
/// are of no sweep.
std::string unfinished_note(const std::vector<fs::path>& cases) {
  const fs::path study = fs::weakly_canonical(cases.front()).parent_path();
  const std::optional<base::Sweep> sweep = base::read_sweep(study);
  if (!sweep) return {};
  std::size_t n_wanted = 0;
  std::vector<std::string> missing;
  for (const base::Task& task : sweep->tasks) {
    if (task.kind != base::TaskKind::Solve) continue;
    ++n_wanted;
    const std::optional<base::CaseState> state = base::read_case_state(study / task.case_folder);
    if (!state || state->phase == base::CasePhase::Running) missing.push_back(task.case_folder);
  }
  if (missing.empty()) return {};
  return fmt::format("{} of {} cases of the study have ended; not yet: {}",
                     n_wanted - missing.size(),
                     n_wanted,
                     fmt::join(missing, ", "));
}

/// One line a case, starting with its folder.
std::string failure_text(const fs::path& case_dir, const std::string& reason) {
  const bool has_folder = reason.rfind(case_dir.string(), 0) == 0;
  return has_folder ? fmt::format("{}\n", reason) : fmt::format("{}: {}\n", case_dir.string(), reason);
}

}  // namespace

std::vector<fs::path> given_cases(const std::vector<std::string>& names, const std::string& verb) {
  if (names.empty()) {
    throw base::InputError(fmt::format("{0}: no case folder given. Example: cowlpost {0} study/base", verb));
  }
  std::vector<fs::path> cases;
  std::set<fs::path> seen;
  for (const std::string& name : names) {
    const bool is_study = fs::is_directory(name) && !is_case(name);
    const std::vector<fs::path> named = is_study ? cases_in(name) : std::vector<fs::path>{name};
    if (named.empty()) {
      throw base::InputError(fmt::format(
          "{}: no manifest.json in it or in a folder below it: it must be a case or a study's folder. "
          "`cowlwright run` makes both.",
          name));
    }
    for (const fs::path& one : named) {
      if (!seen.insert(fs::weakly_canonical(fs::absolute(one))).second) {
        throw base::InputError(
            fmt::format("{}: the case is given twice. Name each folder once.", one.string()));
      }
      cases.push_back(one);
    }
  }
  return cases;
}

fs::path output_folder(const std::vector<fs::path>& cases, const std::string& asked) {
  return asked.empty() ? fs::weakly_canonical(cases.front()).parent_path() : fs::path(asked);
}

Extraction extract_cases(const std::vector<fs::path>& cases) {
  std::vector<VariantResult> results;
  std::string failures;
  std::size_t n_failed = 0;
  for (const fs::path& case_dir : cases) {
    const VariantResult& result = results.emplace_back(extract_case(case_dir));
    if (result.has_failed()) {
      ++n_failed;
      failures += failure_text(case_dir, result.judgement.reason);
    }
  }
  const bool has_results = n_failed < results.size();
  Extraction extraction{
      Comparison(group_grids(join_references(std::move(results)))), std::move(failures), has_results};
  if (std::string note = unfinished_note(cases); !note.empty()) {
    extraction.comparison.notes.push_back(std::move(note));
  }
  return extraction;
}

}  // namespace cowlwright::post
