// SPDX-License-Identifier: GPL-3.0-or-later
//
// Packs in two passes: hashes first, so that their list can stand in front, then the bytes, hashed again: a
// file that changed in between is an error, not a wrong hash.
#include "cases/keep/archive.h"
#include "cases/keep/case_folder.h"
#include "cases/keep/tar_file.h"
#include "geometry/base/error.h"
#include "geometry/base/progress_file.h"
#include "geometry/base/sha256_sum.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>
#include <sys/stat.h>

#include <algorithm>
#include <array>
#include <fstream>
#include <functional>

namespace cowlwright::keep {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t block = 1 << 18;  // bytes

struct PackedFile {
  std::string path;  ///< below the output folder
  std::size_t size = 0;
  std::time_t modified = 0;
  bool is_executable = false;
  std::string hash{};
};

bool is_passing(const std::string& name) {
  return name.ends_with(".lock") || name.ends_with(".part") || name == base::progress_file_name;
}

/// Finds what is to be packed.
class Search {
 public:
  Search(fs::path output, bool with_fields) : output_(std::move(output)), with_fields_(with_fields) {
    for (const fs::path& path : entries_of(output_)) {
      const std::string name = path.filename().string();
      const bool is_folder = fs::is_directory(fs::symlink_status(path));
      if (name == meshes_folder_name || name.ends_with(".tar.gz")) continue;
      if (is_folder && is_case(path)) {
        add_case(path);
      } else {
        add(path);
      }
    }
    std::sort(files.begin(), files.end(), [](const auto& a, const auto& b) { return a.path < b.path; });
  }

  std::vector<PackedFile> files;
  std::vector<std::string> left_out;

 private:
  static std::vector<fs::path> entries_of(const fs::path& folder) {
    std::vector<fs::path> entries;
    for (const fs::directory_entry& entry : fs::directory_iterator(folder)) entries.push_back(entry.path());
    std::sort(entries.begin(), entries.end());
    return entries;
  }

  void add_case(const fs::path& case_dir) {
    const std::vector<base::TimeFolder> times = own_time_folders(case_dir);
    for (const fs::path& path : entries_of(case_dir)) {
      const std::string name = path.filename().string();
      const bool is_time = std::any_of(
          times.begin(), times.end(), [&](const base::TimeFolder& time) { return time.name == name; });
      const bool is_wanted_time = with_fields_ && (name == "0" || (is_time && name == times.back().name));
      if (is_processor_folder(name) || (is_time && !is_wanted_time)) continue;
      if (name == "constant") {
        for (const fs::path& part : entries_of(path)) {
          if (with_fields_ || part.filename() != "polyMesh") add(part);
        }
      } else {
        add(path);
      }
    }
  }

  void add(const fs::path& path) {
    const std::string below = path.lexically_relative(output_).generic_string();
    struct stat status {};
    if (is_passing(path.filename().string()) || ::lstat(path.c_str(), &status) != 0) return;
    if (S_ISDIR(status.st_mode)) {
      for (const fs::path& entry : entries_of(path)) add(entry);
    } else if (!S_ISREG(status.st_mode)) {
      left_out.push_back(below);
    } else {
      if (below.find_first_of("\n\r\\") != std::string::npos) {
        throw base::InputError(fmt::format(
            "{}: a name with a line end or a backslash cannot be packed. Rename it.", path.string()));
      }
      files.push_back({below,
                       static_cast<std::size_t>(status.st_size),
                       status.st_mtime,
                       (status.st_mode & S_IXUSR) != 0});
    }
  }

  fs::path output_;
  bool with_fields_;
};

/// Hands over the first `size` bytes of a file; a log that grows meanwhile is packed as it was.
void read_pieces(const fs::path& path, std::size_t size, const std::function<void(std::string_view)>& take) {
  std::ifstream stream(path, std::ios::binary);
  std::vector<char> buffer(block);
  while (size > 0) {
    stream.read(buffer.data(), static_cast<std::streamsize>(std::min(size, buffer.size())));
    const auto n = static_cast<std::size_t>(stream.gcount());
    if (n == 0) {
      throw base::ExternalError(fmt::format(
          "{}: cannot be read to its end, or was cut short meanwhile. Try again.", path.string()));
    }
    take({buffer.data(), n});
    size -= n;
  }
}

std::string hash_of(const fs::path& path, std::size_t size) {
  base::Sha256Sum sum;
  read_pieces(path, size, [&](std::string_view piece) { sum.add(piece); });
  return sum.hex();
}

void require_archive_name(const fs::path& output, const fs::path& archive) {
  if (fs::exists(archive)) {
    throw base::InputError(
        fmt::format("{}: exists. Name another file with -o, or remove it first.", archive.string()));
  }
  const fs::path below =
      fs::weakly_canonical(fs::absolute(archive)).lexically_relative(fs::canonical(output));
  if (!below.empty() && *below.begin() != ".." && !archive.filename().string().ends_with(".tar.gz")) {
    throw base::InputError(fmt::format(
        "{}: lies in the folder that is packed. Name a file outside of it with -o.", archive.string()));
  }
}

}  // namespace

Packed pack_study(const fs::path& output, const fs::path& archive, bool with_fields) {
  if (!fs::is_directory(output)) {
    throw base::InputError(
        fmt::format("{}: is no folder. Name the output folder of a study.", output.string()));
  }
  require_archive_name(output, archive);
  const fs::path root = fs::canonical(output);
  Search search(root, with_fields);
  if (search.files.empty()) throw base::InputError(fmt::format("{}: has nothing to pack.", output.string()));
  Packed packed{.n_files = search.files.size(), .left_out = search.left_out};
  std::string sums;
  for (PackedFile& file : search.files) {
    file.hash = hash_of(root / file.path, file.size);
    sums += fmt::format("{}  {}\n", file.hash, file.path);
    packed.bytes += static_cast<double>(file.size);
  }
  packed.sums_hash = base::sha256(sums);

  TarWriter tar(archive);
  const std::string folder = root.filename().string() + "/";
  const auto newest = std::max_element(search.files.begin(),
                                       search.files.end(),
                                       [](const auto& a, const auto& b) { return a.modified < b.modified; });
  tar.begin({.path = folder + sums_file_name, .size = sums.size(), .modified = newest->modified});
  tar.add(sums);
  for (const PackedFile& file : search.files) {
    tar.begin({folder + file.path, file.size, file.modified, file.is_executable});
    base::Sha256Sum again;
    read_pieces(root / file.path, file.size, [&](std::string_view piece) {
      again.add(piece);
      tar.add(piece);
    });
    if (again.hex() != file.hash) {
      throw base::ExternalError(
          fmt::format("{}: changed while it was packed. Try again.", (root / file.path).string()));
    }
  }
  tar.close();
  packed.archive_bytes = static_cast<double>(fs::file_size(archive));
  return packed;
}

}  // namespace cowlwright::keep
