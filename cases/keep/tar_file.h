// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to cases/keep: a compressed tar file, written and read from front to end.
#pragma once

#include <cstddef>
#include <ctime>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

namespace cowlwright::keep {

struct TarEntry {
  std::string path;  ///< with "/" between folders
  std::size_t size = 0;
  std::time_t modified = 0;
  bool is_executable = false;
};

/// Writes <file>.part and gives it its name at the end; without close() nothing stays.
class TarWriter {
 public:
  /// @throws ExternalError  when it cannot be made; so do the others.
  explicit TarWriter(std::filesystem::path file);
  ~TarWriter();
  TarWriter(const TarWriter&) = delete;
  TarWriter& operator=(const TarWriter&) = delete;

  void begin(const TarEntry& entry);
  /// Of the entry begun last; `entry.size` bytes in all.
  void add(std::string_view bytes);
  void close();

 private:
  struct Archive;
  void require(int outcome);
  std::filesystem::path file_;
  std::filesystem::path temporary_;
  std::unique_ptr<Archive> archive_;
};

class TarReader {
 public:
  enum class Kind { File, Folder, Other };
  struct Entry {
    std::string path;
    Kind kind = Kind::File;
  };

  /// @throws InputError  when the file cannot be opened.
  explicit TarReader(const std::filesystem::path& file);
  ~TarReader();
  TarReader(const TarReader&) = delete;
  TarReader& operator=(const TarReader&) = delete;

  /// Nothing at the end, or when it cannot be read on: see trouble().
  std::optional<Entry> next();
  /// Some more bytes of the entry, empty at its end or when it cannot be read on.
  std::string_view more();
  /// Why it cannot be read on; empty: no trouble so far.
  const std::string& trouble() const { return trouble_; }

 private:
  struct Archive;
  std::unique_ptr<Archive> archive_;
  std::string trouble_;
};

}  // namespace cowlwright::keep
