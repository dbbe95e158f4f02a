// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reads the text and binary mixture of OpenFOAM's files, plain or gzip-compressed, token by token and list by
// list. Knows the syntax only; what a file means is known by the callers.
#pragma once

#include <array>
#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::base {

/// Index of a face, point or cell. Meshes beyond 2^31 entries are refused while reading.
using Label = std::int32_t;

/// What the header of a file says about its contents.
struct FoamHeader {
  std::string format = "ascii";  ///< "ascii" or "binary"
  std::string foam_class;        ///< e.g. "surfaceScalarField"
  int label_bytes = 4;
  int scalar_bytes = 8;
};

/// A list of lists in one piece: entries of item i are values[offsets[i]] to values[offsets[i + 1] - 1].
struct CompactList {
  std::vector<Label> offsets;
  std::vector<Label> values;
};

/// True when `path` or `path`.gz is a file.
bool foam_file_exists(const std::filesystem::path& path);

/// One file in memory and a place in it.
class FoamReader {
 public:
  /// Reads `path`, or `path`.gz when that is what exists, and its header; the place is behind the header.
  /// @throws ResultError  when it is missing, is no OpenFOAM file, or is written big-endian.
  static FoamReader open(const std::filesystem::path& path);

  const FoamHeader& header() const { return header_; }
  bool is_binary() const { return header_.format == "binary"; }

  /// Next word, number, quoted string (quotes dropped) or single character of "(){}[];". Empty at the end.
  std::string_view next();
  /// The same without moving on.
  std::string_view peek();
  /// @throws ResultError  when the next token is another one.
  void expect(std::string_view token);

  std::int64_t integer();
  /// Accepts "nan" and "inf" as the solver writes them.
  double number();

  /// Lists with or without "List<type>" in front: `3(1 2 3)`, `3{7}`, `0`, `0()`, or count and raw bytes.
  std::vector<Label> labels();
  std::vector<double> scalars();
  std::vector<bool> flags();
  std::vector<std::array<double, 3>> vectors();
  /// `3(4(0 1 2 3) ...)` of ascii files, offsets and values of binary ones.
  CompactList label_lists();

  /// Leaves the value of an entry behind, up to and with its ";", whatever nested or raw data it holds.
  void skip_entry();
  /// Leaves the rest of an open "{" block behind, with its "}".
  void skip_block();

  /// @throws ResultError  "path: at byte N of M: what"
  [[noreturn]] void fail(std::string_view what) const;

 private:
  FoamReader() = default;
  void read_header();
  void skip_space();
  void skip_raw_list(std::string_view type);
  std::size_t list_size();
  const char* raw(std::size_t n_items, std::size_t item_bytes);
  template <typename Value, typename ReadOne>
  std::vector<Value> text_list(std::size_t size, ReadOne read_one);

  std::string path_;
  std::string bytes_;
  std::size_t place_ = 0;
  FoamHeader header_;
};

}  // namespace cowlwright::base
