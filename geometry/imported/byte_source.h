// SPDX-License-Identifier: GPL-3.0-or-later
//
// A file seen through a window of bounded size: reading takes the same memory however large the file is.
// Internal to this folder.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::imported {

/// Text of a file made fit for a message: printable ASCII only, at most 40 characters, in quotes.
std::string in_quotes(std::string_view text);

class ByteSource {
 public:
  /// @throws InputError  when the file is absent, unreadable or not a regular file.
  explicit ByteSource(const std::filesystem::path& path);
  /// Bytes in memory, which must outlive the source; `name` for messages.
  ByteSource(std::string name, std::string_view bytes);
  ~ByteSource();
  ByteSource(const ByteSource&) = delete;
  ByteSource& operator=(const ByteSource&) = delete;

  const std::string& name() const { return name_; }
  std::uint64_t size() const { return size_; }          ///< of the whole file [byte]
  std::uint64_t offset() const { return base_ + at_; }  ///< of the next byte
  std::uint64_t remaining() const { return size_ > offset() ? size_ - offset() : 0; }

  /// Up to n bytes from the current place, fewer at the end of the file. n <= widest_view. Valid until the
  /// next call.
  std::string_view peek(std::size_t n) {
    if (end_ - at_ < n) fill(n);
    return {data_ + at_, end_ - at_ < n ? end_ - at_ : n};
  }
  /// Passes over bytes that peek() has shown.
  void skip(std::size_t n) { at_ += n; }
  /// Passes over any number of bytes. @return false when the file ends before.
  bool skip_far(std::uint64_t n);

  /// The next line without its end; at the end of the file, an empty one and is_at_end(). Counts lines.
  /// @throws InputError  for a line longer than longest_line.
  std::string_view line();
  bool is_at_end() { return peek(1).empty(); }
  std::uint64_t line_number() const { return line_; }  ///< of the line that line() gave last, from 1
  void restart();                                      ///< back to the first byte

  [[noreturn]] void fail_at_line(std::string_view what) const;  ///< InputError "name:line: what"
  [[noreturn]] void fail_at_byte(std::string_view what) const;  ///< InputError "name: byte N: what"
  [[noreturn]] void fail(std::string_view what) const;          ///< InputError "name: what"

  static constexpr std::size_t widest_view = 1 << 20;
  static constexpr std::size_t longest_line = 1 << 16;

 private:
  void fill(std::size_t n);

  std::string name_;
  int descriptor_ = -1;
  std::uint64_t size_ = 0;
  std::vector<char> window_{};
  const char* data_ = nullptr;
  std::uint64_t base_ = 0;  ///< file offset of data_[0]
  std::size_t at_ = 0;
  std::size_t end_ = 0;
  std::uint64_t line_ = 0;
};

}  // namespace cowlwright::imported
