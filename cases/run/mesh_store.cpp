// SPDX-License-Identifier: GPL-3.0-or-later
//
// An entry is made under another name and renamed. Its record holds size and hash of every file, so that a
// file that changed or was lost with the power is noticed before a case gets it.
#include "cases/run/mesh_store.h"

#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <system_error>

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

/// Paths of a folder's files below it.
std::vector<std::string> files_below(const fs::path& folder) {
  std::vector<std::string> files;
  std::error_code error;
  for (fs::recursive_directory_iterator i(folder, error), end; !error && i != end; i.increment(error)) {
    if (i->is_regular_file()) files.push_back(fs::relative(i->path(), folder).string());
  }
  return files;
}

/// Makes a file's content safe from a loss of power, and nobody's to write.
void settle_file(const fs::path& file) {
  const int descriptor = ::open(file.c_str(), O_RDONLY | O_CLOEXEC);
  const bool is_synced = descriptor >= 0 && ::fsync(descriptor) == 0;
  const int error = errno;
  if (descriptor >= 0) ::close(descriptor);
  if (!is_synced) fail(file, std::generic_category().message(error));
  std::error_code ignored;  // only a guard against slips
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
  for (const std::string& file : files_below(entry)) {
    const std::string text = base::read_text(entry / file);
    files.push_back({{"file", file}, {"size", text.size()}, {"sha256", base::sha256(text)}});
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
      const fs::path file = entry / one.at("file").get<std::string>();
      if (fs::file_size(file) != one.at("size").get<std::uintmax_t>()) return std::nullopt;
      if (base::sha256(base::read_text(file)) != one.at("sha256").get<std::string>()) return std::nullopt;
    }
    std::vector<base::StageTime> stages;
    for (const Json& stage : record.at("stages"))
      stages.push_back({stage.at("name"), stage.at("seconds"), true});
    return stages;
  } catch (const Json::exception&) {
    return std::nullopt;
  } catch (const base::InputError&) {
    return std::nullopt;
  } catch (const fs::filesystem_error&) {
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
    for (const std::string& file : files_below(case_dir / mesh_dir)) {
      settle_file(case_dir / mesh_dir / file);
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
  const std::optional<std::vector<base::StageTime>> stages = sound_stages(entry);
  std::error_code error;
  if (!stages) {
    fs::remove_all(entry, error);
    return std::nullopt;
  }
  fs::remove_all(case_dir / mesh_dir, error);
  for (const std::string& file : files_below(entry / "polyMesh"))
    share_file(entry / "polyMesh" / file, case_dir / mesh_dir / file);
  for (const base::StageTime& stage : *stages) {
    if (fs::exists(entry / log_of(stage))) own_copy(entry / log_of(stage), case_dir / log_of(stage));
  }
  return stages;
}

}  // namespace cowlwright::run
