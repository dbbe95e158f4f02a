// SPDX-License-Identifier: GPL-3.0-or-later
//
// Checks an archive against the list of hashes in it.
#include "cases/keep/archive.h"
#include "cases/keep/tar_file.h"
#include "geometry/base/sha256_sum.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>
#include <zlib.h>

#include <algorithm>
#include <map>
#include <memory>
#include <sstream>
#include <vector>

namespace cowlwright::keep {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t hash_length = 64;         // hexadecimal digits
constexpr std::size_t longest_sums = 64 << 20;  // bytes; some 500,000 files

/// What an archive holds, by path below its folder.
struct Contents {
  std::string folder;  ///< of the first entry
  std::map<std::string, std::string> hashes;
  std::map<std::string, double> sizes;  ///< [bytes]
  std::string sums;
  bool has_sums = false;
  std::vector<std::string> differences;
};

/// A name as it may be shown: no control characters.
std::string shown(std::string name) {
  std::replace_if(
      name.begin(),
      name.end(),
      [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; },
      '?');
  return name;
}

/// A path that unpacks into the archive's one folder, without it; empty for another.
std::string path_below(const std::string& path, std::string& folder) {
  const std::size_t slash = path.find('/');
  if (slash == 0 || slash == std::string::npos) return {};
  if (folder.empty()) folder = path.substr(0, slash);
  const fs::path below = fs::path(path.substr(slash + 1));
  const bool climbs = std::any_of(below.begin(), below.end(), [](const fs::path& p) { return p == ".."; });
  if (folder != path.substr(0, slash) || folder == ".." || below.is_absolute() || climbs) return {};
  return below.generic_string();
}

void take_file(TarReader& tar, const std::string& name, Contents& contents) {
  base::Sha256Sum sum;
  double size = 0.0;
  const bool is_sums = name == sums_file_name;
  for (std::string_view piece = tar.more(); !piece.empty(); piece = tar.more()) {
    sum.add(piece);
    size += static_cast<double>(piece.size());
    if (is_sums && contents.sums.size() < longest_sums) contents.sums += piece;
  }
  if (!tar.trouble().empty()) return;
  if (is_sums) {
    contents.has_sums = true;
    return;
  }
  if (!contents.hashes.emplace(name, sum.hex()).second)
    contents.differences.push_back(fmt::format("{}: is there twice", shown(name)));
  contents.sizes[name] = size;
}

Contents read_contents(const fs::path& archive) {
  TarReader tar(archive);
  Contents contents;
  std::string last = "its start";
  while (const auto entry = tar.next()) {
    const std::string name = path_below(entry->path, contents.folder);
    if (entry->kind == TarReader::Kind::Folder) continue;
    if (name.empty() || entry->kind == TarReader::Kind::Other) {
      contents.differences.push_back(fmt::format(
          "{}: {}",
          shown(entry->path),
          name.empty() ? "would be unpacked outside of the archive's folder" : "is a link or no file"));
      continue;
    }
    take_file(tar, name, contents);
    if (tar.trouble().empty())
      last = shown(name);
    else
      last = fmt::format("somewhere in {}", shown(name));
  }
  if (!tar.trouble().empty()) {
    contents.differences.push_back(
        fmt::format("the archive is damaged or cut off behind {}: {}", last, tar.trouble()));
  }
  return contents;
}

/// Path -> hash; lines that are none are told.
std::map<std::string, std::string> listed_hashes(Contents& contents) {
  std::map<std::string, std::string> listed;
  std::istringstream lines(contents.sums);
  int number = 0;
  for (std::string line; std::getline(lines, line);) {
    ++number;
    const bool is_entry = line.size() > hash_length + 2 &&
                          line.find_first_not_of("0123456789abcdef") == hash_length &&
                          line[hash_length] == ' ';
    if (!is_entry) {
      contents.differences.push_back(fmt::format("{}:{}: is no line of hashes", sums_file_name, number));
      continue;
    }
    listed[line.substr(hash_length + 2)] = line.substr(0, hash_length);
  }
  return listed;
}

/// What the compressed bytes' own checksum says, which libarchive does not look at; empty: nothing. A byte
/// that changed between two files shows here alone.
std::string stream_damage(const fs::path& archive) {
  const std::unique_ptr<gzFile_s, int (*)(gzFile)> file(gzopen(archive.c_str(), "rb"), gzclose);
  if (!file) return "cannot be opened";
  std::vector<char> piece(std::size_t{1} << 18);
  while (gzread(file.get(), piece.data(), static_cast<unsigned>(piece.size())) > 0) {
  }
  int error = Z_OK;
  const char* text = gzerror(file.get(), &error);
  return error == Z_OK ? "" : text;
}

}  // namespace

Verified verify_archive(const fs::path& archive) {
  Contents contents = read_contents(archive);
  if (contents.differences.empty()) {
    const std::string damage = stream_damage(archive);
    if (!damage.empty()) contents.differences.push_back("the archive is damaged: " + damage);
  }
  Verified verified;
  if (!contents.has_sums) {
    contents.differences.push_back(
        fmt::format("{}: is missing, so that nothing can be checked", sums_file_name));
    verified.differences = contents.differences;
    return verified;
  }
  verified.sums_hash = base::sha256(contents.sums);
  const std::map<std::string, std::string> listed = listed_hashes(contents);
  for (const auto& [name, hash] : listed) {
    const auto found = contents.hashes.find(name);
    if (found == contents.hashes.end()) {
      contents.differences.push_back(fmt::format("{}: is missing", shown(name)));
    } else if (found->second != hash) {
      contents.differences.push_back(fmt::format("{}: differs from its hash", shown(name)));
    } else {
      ++verified.n_files;
      verified.bytes += contents.sizes[name];
    }
  }
  for (const auto& [name, hash] : contents.hashes) {
    if (listed.count(name) == 0)
      contents.differences.push_back(fmt::format("{}: is not in the list of hashes", shown(name)));
  }
  verified.differences = contents.differences;
  return verified;
}

}  // namespace cowlwright::keep
