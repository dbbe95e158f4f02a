// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to cases/run: seals of checkpoints, their file, and whether what is on disk still matches them.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::run {

/// A file as it was when it was sealed. Of a monitor's table, its rows up to the checkpoint alone: the solver
/// goes on writing behind them.
struct SealedFile {
  std::string path;  ///< below the case folder
  std::uintmax_t size = 0;
  std::string sha256{};
};

struct Seal {
  int iteration = 0;
  std::vector<SealedFile> fields{};
  std::vector<SealedFile> tables{};
};

/// Seals of the fields on one number of ranks. On 1 they are of the case folder itself.
struct SealSet {
  int ranks = 1;
  std::vector<SealedFile> mesh{};  ///< that the fields belong to
  std::vector<Seal> seals{};       ///< ascending
};

/// Folders that hold a case's mesh and time folders, below the case folder: "." on one rank, else
/// "processor0", ...
std::vector<std::filesystem::path> rank_folders(int ranks);

/// Numbers of a folder's time folders, ascending; none when it is not there.
std::vector<int> iterations_in(const std::filesystem::path& folder);

/// All regular files below case_dir/`folder`, sorted, as paths below the case folder.
std::vector<std::string> files_below(const std::filesystem::path& case_dir,
                                     const std::filesystem::path& folder);

/// Puts the file on the disk and takes its size and hash. @param size  of the part to seal; 0: all of it.
/// @throws InputError  when it is not there.
SealedFile seal_file(const std::filesystem::path& case_dir, const std::string& path, std::uintmax_t size = 0);

/// Why a file no longer matches; empty when it does.
std::string file_damage(const std::filesystem::path& case_dir, const SealedFile& sealed, bool may_be_longer);

/// Why anything of a seal or of its set's mesh no longer matches; empty when all does.
std::string seal_damage(const std::filesystem::path& case_dir, const SealSet& set, const Seal& seal);

/// Empty when there is no such file or it is damaged.
std::vector<SealSet> read_seals(const std::filesystem::path& case_dir);

/// @throws ExternalError
void write_seals(const std::vector<SealSet>& sets, const std::filesystem::path& case_dir);

/// The set of this number of ranks, made when there is none.
SealSet& seal_set(std::vector<SealSet>& sets, int ranks);

/// A monitor's table up to an iteration.
struct TablePart {
  std::string path;         ///< below the case folder
  std::uintmax_t size = 0;  ///< of the whole rows up to the iteration
};

/// The rows of all tables below postProcessing up to `iteration`; tables without such rows are left out.
/// @param trouble  set to the first gap: a table of every iteration that lacks one, for the disk was full.
std::vector<TablePart> tables_up_to(const std::filesystem::path& case_dir,
                                    int iteration,
                                    std::string& trouble);

/// Cuts the tables to the sealed ones' sizes and removes all others.
void cut_tables(const std::filesystem::path& case_dir, const std::vector<SealedFile>& tables);

}  // namespace cowlwright::run
