// SPDX-License-Identifier: GPL-3.0-or-later
//
// Seals checkpoints while the solver runs, and goes back to the newest sound one.
#include "cases/run/checkpoint.h"

#include "cases/run/seal.h"
#include "geometry/base/case_state.h"
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>
#include <string_view>
#include <vector>

namespace cowlwright::run {
namespace {

namespace fs = std::filesystem;

/// What the solver cannot go on without; a folder has those of them that the start field has.
constexpr std::array solved_fields{"U", "p", "T", "k", "omega", "nut", "alphat"};

/// Whether a file goes to its end: the solver's programs close each with a divider; our own start fields end
/// with a brace.
bool is_whole(const fs::path& case_dir, const std::string& path, int iteration) {
  std::string text = base::read_text(case_dir / path);
  text.erase(text.find_last_not_of(" \n") + 1);
  return text.ends_with("*** //") || (iteration == 0 && text.ends_with("}"));
}

/// Why a time folder is not complete in all ranks; else empty.
std::string incompleteness(const fs::path& case_dir, int ranks, int iteration) {
  for (const fs::path& rank : rank_folders(ranks)) {
    const fs::path folder = (rank / std::to_string(iteration)).lexically_normal();
    const std::vector<std::string> files = files_below(case_dir, folder);
    if (files.empty()) return fmt::format("{} is missing or empty", folder.string());
    for (const char* field : solved_fields) {
      if (fs::exists(case_dir / rank / "0" / field) && !fs::exists(case_dir / folder / field))
        return fmt::format("{} is missing", (folder / field).string());
    }
    for (const std::string& file : files) {
      if (!is_whole(case_dir, file, iteration)) return fmt::format("{} is cut short", file);
    }
  }
  return {};
}

std::vector<SealedFile> seal_below(const fs::path& case_dir, int ranks, const std::string& name) {
  std::vector<SealedFile> sealed;
  for (const fs::path& rank : rank_folders(ranks)) {
    for (const std::string& file : files_below(case_dir, rank / name))
      sealed.push_back(seal_file(case_dir, file));
  }
  return sealed;
}

/// Seals the mesh with the first checkpoint of a set. @return trouble
std::string seal_mesh(const fs::path& case_dir, SealSet& set) {
  if (!set.mesh.empty()) return {};
  for (const fs::path& rank : rank_folders(set.ranks)) {
    for (const std::string& file : files_below(case_dir, rank / "constant/polyMesh")) {
      if (!is_whole(case_dir, file, 1)) return fmt::format("{} is cut short", file);
    }
  }
  set.mesh = seal_below(case_dir, set.ranks, "constant/polyMesh");
  return {};
}

/// Adds the seal of one time folder. @return trouble
std::string add_seal(const fs::path& case_dir, SealSet& set, int iteration) {
  try {
    std::string trouble = incompleteness(case_dir, set.ranks, iteration);
    if (trouble.empty()) trouble = seal_mesh(case_dir, set);
    const std::vector<TablePart> tables = tables_up_to(case_dir, iteration, trouble);
    if (!trouble.empty()) return trouble;
    Seal seal{.iteration = iteration, .fields = seal_below(case_dir, set.ranks, std::to_string(iteration))};
    for (const TablePart& table : tables) seal.tables.push_back(seal_file(case_dir, table.path, table.size));
    set.seals.push_back(std::move(seal));
    return {};
  } catch (const base::InputError& error) {
    return error.what();
  } catch (const fs::filesystem_error& error) {
    return error.what();
  }
}

/// A folder that has gone meanwhile is no trouble: the solver keeps only its last ones.
std::string seal_one(const fs::path& case_dir, SealSet& set, int iteration) {
  std::string trouble = add_seal(case_dir, set, iteration);
  const fs::path folder = case_dir / rank_folders(set.ranks).front() / std::to_string(iteration);
  return fs::exists(folder) ? trouble : std::string();
}

bool has_seal(const SealSet& set, int iteration) {
  return std::any_of(
      set.seals.begin(), set.seals.end(), [&](const Seal& seal) { return seal.iteration == iteration; });
}

/// Removes the time folders after an iteration, in the ranks and in the case folder.
std::vector<int> remove_after(const fs::path& case_dir, int ranks, int iteration) {
  std::set<int> removed;
  std::vector<fs::path> folders = rank_folders(ranks);
  if (ranks > 1) folders.emplace_back(".");
  for (const fs::path& folder : folders) {
    for (const int time : iterations_in(case_dir / folder)) {
      if (time <= iteration) continue;
      fs::remove_all(case_dir / folder / std::to_string(time));
      removed.insert(time);
    }
  }
  return {removed.begin(), removed.end()};
}

/// What is thrown away and why. `damage` is of the newest seal that does not match.
std::string trouble_text(const std::string& damage, const std::vector<int>& removed) {
  if (!damage.empty()) return damage;
  if (removed.empty()) return {};
  return fmt::format("iteration {} had not been secured when the run broke off", removed.back());
}

}  // namespace

std::string seal_checkpoints(const fs::path& case_dir, int ranks, int iteration) {
  const fs::path first_rank = case_dir / rank_folders(ranks).front();
  const std::vector<int> times = iterations_in(first_rank);
  std::vector<SealSet> sets = read_seals(case_dir);
  SealSet& set = seal_set(sets, ranks);
  const std::size_t n_gone = std::erase_if(set.seals, [&](const Seal& seal) {
    return !std::binary_search(times.begin(), times.end(), seal.iteration);
  });
  bool is_changed = n_gone > 0;
  std::string trouble;
  for (const int time : times) {
    if (time >= iteration || has_seal(set, time)) continue;
    trouble = seal_one(case_dir, set, time);
    is_changed = is_changed || trouble.empty();
  }
  std::sort(set.seals.begin(), set.seals.end(), [](const Seal& a, const Seal& b) {
    return a.iteration < b.iteration;
  });
  if (is_changed) write_seals(sets, case_dir);
  return trouble;
}

void forget_checkpoints(const fs::path& case_dir, int ranks) {
  std::vector<SealSet> sets = read_seals(case_dir);
  if (std::erase_if(sets, [&](const SealSet& set) { return set.ranks == ranks; }) > 0)
    write_seals(sets, case_dir);
}

std::optional<Restored> restore_checkpoint(const fs::path& case_dir, int ranks) {
  try {
    std::vector<SealSet> sets = read_seals(case_dir);
    SealSet& set = seal_set(sets, ranks);
    std::string damage;
    while (!set.seals.empty()) {
      const std::string found = seal_damage(case_dir, set, set.seals.back());
      if (found.empty()) break;
      if (damage.empty()) damage = found;
      set.seals.pop_back();
    }
    if (set.seals.empty()) return std::nullopt;
    const Seal& sound = set.seals.back();
    const std::vector<int> removed = remove_after(case_dir, ranks, sound.iteration);
    cut_tables(case_dir, sound.tables);
    for (SealSet& other : sets)
      std::erase_if(other.seals, [&](const Seal& seal) { return seal.iteration > sound.iteration; });
    write_seals(sets, case_dir);
    return Restored{sound.iteration, trouble_text(damage, removed)};
  } catch (const fs::filesystem_error& error) {
    throw base::ExternalError(fmt::format(
        "{}: cannot go back to its last sound iteration: {}. Check the folder and its permissions.",
        case_dir.string(),
        error.what()));
  }
}

std::string result_damage(const fs::path& case_dir) {
  const std::optional<base::CaseState> state = base::read_case_state(case_dir);
  if (state && state->kept == "tables") return {};  // fields and mesh are not there by intent
  const std::vector<int> times = iterations_in(case_dir);
  if (times.empty()) return "it has no fields";
  std::vector<SealSet> sets = read_seals(case_dir);
  const SealSet& set = seal_set(sets, 1);
  if (set.seals.empty() || set.seals.back().iteration != times.back())
    return fmt::format("iteration {} has no seal", times.back());
  return seal_damage(case_dir, set, set.seals.back());
}

}  // namespace cowlwright::run
