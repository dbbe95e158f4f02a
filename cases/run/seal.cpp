// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reads, writes and compares seals.
#include "cases/run/seal.h"

#include "cases/run/checkpoint.h"
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"
#include "geometry/base/time_folders.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <unistd.h>

#include <algorithm>
#include <string_view>

namespace cowlwright::run {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

constexpr int format_version = 1;

Json to_json(const std::vector<SealedFile>& files) {
  Json list = Json::array();
  for (const SealedFile& file : files) list.push_back({file.path, file.size, file.sha256});
  return list;
}

std::vector<SealedFile> files_of(const Json& list) {
  std::vector<SealedFile> files;
  for (const Json& file : list) files.push_back({file.at(0), file.at(1), file.at(2)});
  return files;
}

SealSet set_of(const Json& json) {
  SealSet set{json.at("ranks"), files_of(json.at("mesh")), {}};
  for (const Json& seal : json.at("checkpoints"))
    set.seals.push_back({seal.at("iteration"), files_of(seal.at("fields")), files_of(seal.at("tables"))});
  return set;
}

/// What is in memory of the file goes to the disk now.
void sync_file(const fs::path& file) {
  const int descriptor = ::open(file.c_str(), O_RDONLY | O_CLOEXEC);
  const bool is_synced = descriptor >= 0 && ::fsync(descriptor) == 0;
  const int error = errno;
  if (descriptor >= 0) ::close(descriptor);
  if (!is_synced && error != ENOENT && error != EINVAL) {
    throw base::ExternalError(fmt::format("{}: cannot be put on the disk: {}. Check the disk.",
                                          file.string(),
                                          std::generic_category().message(error)));
  }
}

}  // namespace

std::vector<fs::path> rank_folders(int ranks) {
  if (ranks <= 1) return {"."};
  std::vector<fs::path> folders;
  folders.reserve(static_cast<std::size_t>(ranks));
  for (int i = 0; i < ranks; ++i) folders.emplace_back(fmt::format("processor{}", i));
  return folders;
}

std::vector<int> iterations_in(const fs::path& folder) {
  std::vector<int> iterations;
  for (const base::TimeFolder& time : base::time_folders(folder)) {
    const int iteration = static_cast<int>(time.value);
    if (std::to_string(iteration) == time.name) iterations.push_back(iteration);
  }
  return iterations;
}

std::vector<std::string> files_below(const fs::path& case_dir, const fs::path& folder) {
  std::vector<std::string> files;
  std::error_code error;
  const fs::path top = case_dir / folder;
  for (fs::recursive_directory_iterator i(top, error), end; !error && i != end; i.increment(error)) {
    if (i->is_regular_file(error))
      files.push_back((folder / i->path().lexically_relative(top)).lexically_normal().string());
  }
  std::sort(files.begin(), files.end());
  return files;
}

SealedFile seal_file(const fs::path& case_dir, const std::string& path, std::uintmax_t size) {
  sync_file(case_dir / path);
  const std::string text = base::read_text(case_dir / path);
  const std::string_view part(text.data(), size > 0 ? std::min<std::size_t>(size, text.size()) : text.size());
  return {path, part.size(), base::sha256(part)};
}

std::string file_damage(const fs::path& case_dir, const SealedFile& sealed, bool may_be_longer) {
  const fs::path file = case_dir / sealed.path;
  std::error_code error;
  const std::uintmax_t size = fs::file_size(file, error);
  if (error) return fmt::format("{} is missing", sealed.path);
  if (size < sealed.size || (size > sealed.size && !may_be_longer))
    return fmt::format("{} has {} bytes of {}", sealed.path, size, sealed.size);
  const std::string text = base::read_text(file);
  if (base::sha256(std::string_view(text).substr(0, sealed.size)) != sealed.sha256)
    return fmt::format("{} has other bytes than were written", sealed.path);
  return {};
}

std::string seal_damage(const fs::path& case_dir, const SealSet& set, const Seal& seal) {
  for (const std::vector<SealedFile>* files : {&set.mesh, &seal.fields, &seal.tables}) {
    for (const SealedFile& file : *files) {
      std::string damage = file_damage(case_dir, file, files == &seal.tables);
      if (!damage.empty()) return damage;
    }
  }
  return {};
}

std::vector<SealSet> read_seals(const fs::path& case_dir) {
  const fs::path file = case_dir / checkpoint_file_name;
  if (!fs::exists(file)) return {};
  try {
    const Json json = Json::parse(base::read_text(file));
    if (json.at("format") != format_version) return {};
    std::vector<SealSet> sets;
    for (const Json& set : json.at("sets")) sets.push_back(set_of(set));
    return sets;
  } catch (const Json::exception&) {
    return {};
  } catch (const base::InputError&) {
    return {};
  }
}

void write_seals(const std::vector<SealSet>& sets, const fs::path& case_dir) {
  Json list = Json::array();
  for (const SealSet& set : sets) {
    Json seals = Json::array();
    for (const Seal& seal : set.seals) {
      seals.push_back({{"iteration", seal.iteration},
                       {"fields", to_json(seal.fields)},
                       {"tables", to_json(seal.tables)}});
    }
    list.push_back({{"ranks", set.ranks}, {"mesh", to_json(set.mesh)}, {"checkpoints", seals}});
  }
  const Json json{{"format", format_version}, {"sets", list}};
  base::write_text(case_dir / checkpoint_file_name, json.dump(1) + "\n");
}

SealSet& seal_set(std::vector<SealSet>& sets, int ranks) {
  const auto found =
      std::find_if(sets.begin(), sets.end(), [&](const SealSet& set) { return set.ranks == ranks; });
  if (found != sets.end()) return *found;
  sets.push_back({.ranks = ranks});
  return sets.back();
}

}  // namespace cowlwright::run
