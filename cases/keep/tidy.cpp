// SPDX-License-Identifier: GPL-3.0-or-later
//
// The state names what is kept before anything goes: a tidying that is broken off leaves no case that looks
// damaged, and is completed by the next.
#include "cases/keep/tidy.h"

#include "cases/keep/case_folder.h"
#include "cases/keep/disk_use.h"
#include "cases/run/checkpoint.h"
#include "geometry/base/case_state.h"
#include "geometry/base/error.h"
#include "geometry/base/folder_lock.h"
#include "geometry/base/sweep.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>
#include <set>

namespace cowlwright::keep {
namespace {

namespace fs = std::filesystem;

constexpr std::array<std::string_view, 3> keep_names{"all", "last", "tables"};
constexpr std::size_t key_length = 64;  // hexadecimal digits of a mesh key

void remove_all_of(const fs::path& path) {
  std::error_code error;
  fs::remove_all(path, error);
  if (error) {
    throw base::ExternalError(
        fmt::format("{}: cannot be removed: {}. Check its permissions, then tidy again.",
                    path.string(),
                    error.message()));
  }
}

std::vector<fs::path> processor_folders(const fs::path& case_dir) {
  std::vector<fs::path> folders;
  for (const fs::directory_entry& entry : fs::directory_iterator(case_dir)) {
    if (is_processor_folder(entry.path().filename().string())) folders.push_back(entry.path());
  }
  return folders;
}

/// Why the case must be left as it is; empty: it may be tidied.
std::string obstacle(const fs::path& case_dir, const std::optional<base::CaseState>& state) {
  if (!state || state->phase != base::CasePhase::Finished) return "not solved: left as it is";
  if (state->kept == keep_name(Keep::Tables)) return "";
  const std::vector<base::TimeFolder> times = own_time_folders(case_dir);
  if (times.empty() || !fs::exists(case_dir / times.back().name / "phi"))
    return "its last fields are not here: left as it is";
  for (const fs::path& part : processor_folders(case_dir)) {
    const std::vector<base::TimeFolder> of_part = own_time_folders(part);
    if (!of_part.empty() && of_part.back().value > times.back().value)
      return fmt::format("iteration {} is not joined: left as it is", of_part.back().name);
  }
  const std::string damage = run::result_damage(case_dir);
  return damage.empty() ? "" : fmt::format("damaged, {}: left as it is", damage);
}

/// A case that is to start from this one and is not solved yet; empty: none.
std::string dependent(const fs::path& output, const std::string& case_folder) {
  const std::optional<base::Sweep> sweep = base::read_sweep(output);
  if (!sweep) return "";
  for (const base::Task& task : sweep->tasks) {
    if (task.start_from != case_folder || task.is_done) continue;
    const auto state = base::read_case_state(output / task.case_folder);
    if (!state || state->phase != base::CasePhase::Finished) return task.case_folder;
  }
  return "";
}

/// Takes away what `keep` does not name.
void strip(const fs::path& case_dir, Keep keep) {
  for (const fs::path& folder : processor_folders(case_dir)) remove_all_of(folder);
  const std::vector<base::TimeFolder> times = own_time_folders(case_dir);
  for (const base::TimeFolder& time : times) {
    const bool stays = keep == Keep::Last && (time.value == 0.0 || time.name == times.back().name);
    if (!stays) remove_all_of(case_dir / time.name);
  }
  if (keep != Keep::Tables) return;
  for (const char* folder : {"polyMesh", "triSurface", "extendedFeatureEdgeMesh"})
    remove_all_of(case_dir / "constant" / folder);
}

/// As asked for, or less with the reason.
Keep allowed(const fs::path& output, const std::string& case_folder, Keep keep, std::string& note) {
  if (keep != Keep::Tables) return keep;
  const std::string other = dependent(output, case_folder);
  if (!other.empty()) note = fmt::format("its last fields stay: {}, not solved yet, starts from it", other);
  if (!fs::exists(output / case_folder / base::field_readings_file_name))
    note = "its last fields stay: no readings of them are kept; `cowlpost extract` keeps them";
  return note.empty() ? Keep::Tables : Keep::Last;
}

/// Mesh keys that some case still needs.
std::set<std::string> needed_meshes(const fs::path& output) {
  std::set<std::string> keys;
  for (const fs::directory_entry& entry : fs::directory_iterator(output)) {
    const auto state = base::read_case_state(entry.path());
    if (state && state->kept != keep_name(Keep::Tables)) keys.insert(state->keys.mesh);
  }
  return keys;
}

}  // namespace

Keep keep_of(const std::string& word) {
  const auto found = std::find(keep_names.begin(), keep_names.end(), word);
  if (found == keep_names.end())
    throw base::InputError(fmt::format("--keep = {}: must be all, last or tables.", word));
  return static_cast<Keep>(found - keep_names.begin());
}

std::string_view keep_name(Keep keep) {
  return keep_names.at(static_cast<std::size_t>(keep));
}

Tidied tidy_case(const fs::path& output, const std::string& case_folder, Keep keep) {
  const fs::path case_dir = output / case_folder;
  Tidied tidied{.case_folder = case_folder, .before = own_disk_use(case_dir)};
  tidied.after = tidied.before;
  if (keep == Keep::All) return tidied;
  tidied.note = obstacle(case_dir, base::read_case_state(case_dir));  // then nothing is touched, no lock made
  if (!tidied.note.empty()) return tidied;
  const std::string holder = base::lock_holder(case_dir, base::case_lock_name);
  if (!holder.empty()) {
    tidied.note = fmt::format("in use by {}: left as it is", holder);
    return tidied;
  }
  const base::FolderLock lock(case_dir, base::case_lock_name, "cowlwright tidy");
  std::optional<base::CaseState> state = base::read_case_state(case_dir);
  tidied.note = obstacle(case_dir, state);
  if (!tidied.note.empty()) return tidied;
  const bool is_stripped = state->kept == keep_name(Keep::Tables);
  const Keep result = is_stripped ? Keep::Tables : allowed(output, case_folder, keep, tidied.note);
  if (is_stripped && keep == Keep::Last) tidied.note = "only tables were kept of it before";
  state->kept = keep_name(result);
  base::write_case_state(*state, case_dir);
  strip(case_dir, result);
  tidied.after = own_disk_use(case_dir);
  return tidied;
}

TidiedMeshes tidy_meshes(const fs::path& output) {
  const fs::path store = output / meshes_folder_name;
  TidiedMeshes meshes{.before = disk_use(store)};
  const std::set<std::string> needed = needed_meshes(output);
  std::error_code error;
  std::vector<fs::path> spare;
  for (fs::directory_iterator i(store, error), end; !error && i != end; i.increment(error)) {
    const std::string key = i->path().filename().string();
    const bool is_key =
        key.size() == key_length && key.find_first_not_of("0123456789abcdef") == std::string::npos;
    if (is_key && needed.count(key) == 0) spare.push_back(i->path());
  }
  for (const fs::path& entry : spare) remove_all_of(entry);
  meshes.after = disk_use(store);
  return meshes;
}

TidiedStudy tidy_study(const fs::path& output, Keep keep) {
  if (!fs::is_directory(output)) {
    throw base::InputError(
        fmt::format("{}: is no folder. Name the output folder of a study.", output.string()));
  }
  std::vector<std::string> folders;
  for (const fs::directory_entry& entry : fs::directory_iterator(output)) {
    if (is_case(entry.path())) folders.push_back(entry.path().filename().string());
  }
  if (folders.empty()) {
    throw base::InputError(
        fmt::format("{}: holds no case. Name the output folder of `cowlwright run`.", output.string()));
  }
  std::sort(folders.begin(), folders.end());
  std::optional<base::FolderLock> lock;
  if (keep != Keep::All) lock.emplace(output, base::driver_lock_name, "cowlwright tidy");
  TidiedStudy study;
  for (const std::string& folder : folders) study.cases.push_back(tidy_case(output, folder, keep));
  const double of_meshes = disk_use(output / meshes_folder_name);
  study.meshes = keep == Keep::All ? TidiedMeshes{of_meshes, of_meshes} : tidy_meshes(output);
  return study;
}

std::string size_text(double bytes) {
  if (bytes < 999.5e3) return fmt::format("{:.0f} kB", bytes / 1e3);
  if (bytes < 999.5e6) return fmt::format("{:.{}f} MB", bytes / 1e6, bytes < 9.95e6 ? 1 : 0);
  return fmt::format("{:.{}f} GB", bytes / 1e9, bytes < 9.95e9 ? 1 : 0);
}

std::string tidied_text(const TidiedStudy& study) {
  const auto row =
      [](std::string_view name, std::size_t width, double before, double after, const std::string& note) {
        return fmt::format("{:<{}}  {:>8}  {:>8}{}{}\n",
                           name,
                           width,
                           size_text(before),
                           size_text(after),
                           note.empty() ? "" : "  ",
                           note);
      };
  std::size_t width = std::string_view("shared meshes").size();
  for (const Tidied& one : study.cases) width = std::max(width, one.case_folder.size());
  std::string text = fmt::format("{:<{}}  {:>8}  {:>8}\n", "case", width, "before", "after");
  double before = study.meshes.before;
  double after = study.meshes.after;
  for (const Tidied& one : study.cases) {
    text += row(one.case_folder, width, one.before, one.after, one.note);
    before += one.before;
    after += one.after;
  }
  if (study.meshes.before > 0.0)
    text += row("shared meshes", width, study.meshes.before, study.meshes.after, "");
  return text + row("sum", width, before, after, "");
}

}  // namespace cowlwright::keep
