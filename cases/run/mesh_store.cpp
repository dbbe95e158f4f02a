// SPDX-License-Identifier: GPL-3.0-or-later
//
// An entry is made under another name and renamed. Its record holds size and hash of every file, so that a
// file that changed or was lost with the power is noticed before a case gets it.
#include "cases/run/mesh_store.h"

#include "cases/run/seal.h"
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <unistd.h>

#include <cstdlib>

namespace cowlwright::run {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

constexpr int format_version = 1;
constexpr const char* record_name = "mesh.json";
constexpr const char* mesh_dir = "constant/polyMesh";

[[noreturn]] void fail(const fs::path& path, const std::string& reason) {
  throw base::ExternalError(
      fmt::format("{}: cannot be written: {}. Check the folder, its permissions and the disk's space.",
                  path.string(),
                  reason));
}

/// A file of its own: whoever runs a case by hand writes its logs anew.
void own_copy(const fs::path& from, const fs::path& to) {
  std::error_code error;
  fs::create_directories(to.parent_path(), error);
  fs::copy_file(from, to, fs::copy_options::overwrite_existing, error);
  if (error) fail(to, error.message());
}

/// One file under two names where the file system can, else a copy.
void share_file(const fs::path& from, const fs::path& to) {
  std::error_code error;
  fs::create_directories(to.parent_path(), error);
  fs::create_hard_link(from, to, error);
  if (error) own_copy(from, to);
}

/// Nobody's to write, as a guard against slips.
void lock_file(const fs::path& file) {
  std::error_code ignored;
  fs::permissions(file,
                  fs::perms::owner_write | fs::perms::group_write | fs::perms::others_write,
                  fs::perm_options::remove,
                  ignored);
}

std::string log_of(const base::StageTime& stage) {
  return "log." + stage.name;
}

Json record_of(const fs::path& entry, const std::vector<base::StageTime>& stages) {
  Json files = Json::array();
  for (const std::string& path : files_below(entry, ".")) {
    const SealedFile file = seal_file(entry, path);
    files.push_back({{"file", file.path}, {"size", file.size}, {"sha256", file.sha256}});
  }
  Json times = Json::array();
  for (const base::StageTime& stage : stages)
    times.push_back({{"name", stage.name}, {"seconds", stage.seconds}});
  return {{"format", format_version}, {"stages", times}, {"files", files}};
}

/// Stages of an entry whose files are all as they were kept; nothing otherwise.
std::optional<std::vector<base::StageTime>> sound_stages(const fs::path& entry) {
  try {
    const Json record = Json::parse(base::read_text(entry / record_name));
    if (record.at("format") != format_version) return std::nullopt;
    for (const Json& one : record.at("files")) {
      const SealedFile file{one.at("file"), one.at("size"), one.at("sha256")};
      if (!file_damage(entry, file, false).empty()) return std::nullopt;
    }
    std::vector<base::StageTime> stages;
    for (const Json& stage : record.at("stages"))
      stages.push_back({stage.at("name"), stage.at("seconds"), true});
    return stages;
  } catch (const Json::exception&) {
    return std::nullopt;
  } catch (const base::InputError&) {
    return std::nullopt;
  }
}

}  // namespace

fs::path mesh_store(const fs::path& output) {
  const char* shared = std::getenv("COWLWRIGHT_MESHES");
  return shared != nullptr && *shared != '\0' ? fs::path(shared) : output / "meshes";
}

bool has_mesh(const fs::path& store, const std::string& mesh_key) {
  std::error_code error;
  return !mesh_key.empty() && fs::exists(store / mesh_key / record_name, error);
}

void keep_mesh(const fs::path& store,
               const std::string& mesh_key,
               const fs::path& case_dir,
               const std::vector<base::StageTime>& stages) {
  if (has_mesh(store, mesh_key)) return;
  const fs::path entry = store / mesh_key;
  const fs::path part = store / fmt::format("{}.{}.part", mesh_key, ::getpid());
  std::error_code error;
  fs::remove_all(part, error);
  try {
    for (const std::string& file : files_below(case_dir / mesh_dir, ".")) {
      lock_file(case_dir / mesh_dir / file);
      share_file(case_dir / mesh_dir / file, part / "polyMesh" / file);
    }
    for (const base::StageTime& stage : stages) {
      if (!fs::exists(case_dir / log_of(stage))) continue;
      own_copy(case_dir / log_of(stage), part / log_of(stage));
    }
    base::write_text(part / record_name, record_of(part, stages).dump(1) + "\n");
  } catch (const base::ExternalError&) {
    fs::remove_all(part, error);
    throw;
  }
  fs::remove_all(entry, error);  // half a one, without a record
  fs::rename(part, entry, error);
  if (error && !has_mesh(store, mesh_key)) fail(entry, error.message());
  fs::remove_all(part, error);
}

std::optional<std::vector<base::StageTime>> take_mesh(const fs::path& store,
                                                      const std::string& mesh_key,
                                                      const fs::path& case_dir) {
  if (!has_mesh(store, mesh_key)) return std::nullopt;
  const fs::path entry = store / mesh_key;
  std::optional<std::vector<base::StageTime>> stages = sound_stages(entry);
  std::error_code error;
  if (!stages) {
    fs::remove_all(entry, error);
    return std::nullopt;
  }
  fs::remove_all(case_dir / mesh_dir, error);
  for (const std::string& file : files_below(entry / "polyMesh", "."))
    share_file(entry / "polyMesh" / file, case_dir / mesh_dir / file);
  for (const base::StageTime& stage : *stages) {
    if (fs::exists(entry / log_of(stage))) own_copy(entry / log_of(stage), case_dir / log_of(stage));
  }
  return stages;
}

}  // namespace cowlwright::run
