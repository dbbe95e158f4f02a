// SPDX-License-Identifier: GPL-3.0-or-later
//
// A study with its results in one file, <name>.tar.gz, that can be checked years later, here or with standard
// tools: it unpacks into one folder whose first file, SHA256SUMS, has the hash of every other (tar xf, then
// sha256sum -c SHA256SUMS in that folder). The same files give the same bytes; owners are left out.
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <vector>

namespace cowlwright::keep {

/// Name of the list of hashes, in the archive's folder.
inline constexpr const char* sums_file_name = "SHA256SUMS";

struct Packed {
  std::size_t n_files = 0;  ///< without the list of hashes
  double bytes = 0.0;       ///< of these files
  double archive_bytes = 0.0;
  std::string sums_hash{};            ///< SHA-256 of the list of hashes: stands for the contents as a whole
  std::vector<std::string> left_out;  ///< links and special files, which are not packed, by their paths
};

/// Packs an output folder: study, tables, report, manifests, states, logs, monitors, dictionaries and
/// surfaces of every case; not the shared meshes, split folders, locks, half-written files, nor other
/// archives.
///
/// @param with_fields  also mesh, start fields and latest fields of each case.
/// @throws InputError     when there is nothing to pack, `archive` exists or lies where it would pack itself,
/// or a file's name holds a line end.
/// @throws ExternalError  when a file cannot be read or written, or changes meanwhile; nothing is left then.
Packed pack_study(const std::filesystem::path& output,
                  const std::filesystem::path& archive,
                  bool with_fields);

struct Verified {
  std::size_t n_files = 0;               ///< that agree
  double bytes = 0.0;                    ///< of these
  std::string sums_hash{};               ///< see Packed
  std::vector<std::string> differences;  ///< one sentence each, naming the file; empty: all agrees
};

/// Checks an archive without unpacking it. It is never trusted: whatever it holds, nothing is written.
/// @throws InputError  when the file is missing or cannot be read.
Verified verify_archive(const std::filesystem::path& archive);

}  // namespace cowlwright::keep
