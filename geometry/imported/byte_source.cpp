// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/byte_source.h"

#include "geometry/base/error.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <system_error>

namespace cowlwright::imported {

std::string in_quotes(std::string_view text) {
  constexpr std::size_t longest = 40;
  std::string shown;
  for (const char c : text.substr(0, longest)) shown += c >= ' ' && c <= '~' ? c : '?';
  return fmt::format("\"{}{}\"", shown, text.size() > longest ? "..." : "");
}

ByteSource::ByteSource(const std::filesystem::path& path) : name_(path.string()) {
  // A pipe or a device has no size to check counts against and would block the opening.
  descriptor_ = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK);
  if (descriptor_ < 0) {
    fail(fmt::format("cannot be read: {}. Check the name and the folder.",
                     std::generic_category().message(errno)));
  }
  struct stat status {};
  if (::fstat(descriptor_, &status) != 0 || !S_ISREG(status.st_mode)) {
    ::close(descriptor_);
    fail("is not a regular file. Give the name of a surface file.");
  }
  size_ = static_cast<std::uint64_t>(status.st_size);
  window_.resize(widest_view);
  data_ = window_.data();
}

ByteSource::ByteSource(std::string name, std::string_view bytes)
    : name_(std::move(name)), size_(bytes.size()), data_(bytes.data()), end_(bytes.size()) {}

ByteSource::~ByteSource() {
  if (descriptor_ >= 0) ::close(descriptor_);
}

void ByteSource::fill(std::size_t n) {
  if (descriptor_ < 0) return;
  std::memmove(window_.data(), window_.data() + at_, end_ - at_);
  base_ += at_;
  end_ -= at_;
  at_ = 0;
  while (end_ < n) {
    const ssize_t n_read = ::read(descriptor_, window_.data() + end_, window_.size() - end_);
    if (n_read < 0 && errno == EINTR) continue;
    if (n_read < 0) fail(fmt::format("cannot be read: {}.", std::generic_category().message(errno)));
    if (n_read == 0) return;
    end_ += static_cast<std::size_t>(n_read);
  }
}

bool ByteSource::skip_far(std::uint64_t n) {
  if (n > remaining()) return false;
  while (n > 0) {
    const std::size_t seen = peek(static_cast<std::size_t>(n < widest_view ? n : widest_view)).size();
    if (seen == 0) return false;
    skip(seen);
    n -= seen;
  }
  return true;
}

std::string_view ByteSource::line() {
  ++line_;
  const std::string_view view = peek(longest_line);
  const void* end = view.empty() ? nullptr : std::memchr(view.data(), '\n', view.size());
  if (end == nullptr) {
    if (view.size() == longest_line) {
      fail_at_line(fmt::format(
          "the line is longer than {} bytes. This is no text file of that format; export it again.",
          longest_line));
    }
    skip(view.size());
    return view;
  }
  const auto length = static_cast<std::size_t>(static_cast<const char*>(end) - view.data());
  skip(length + 1);
  return view.substr(0, length);
}

void ByteSource::restart() {
  line_ = 0;
  at_ = 0;
  if (descriptor_ < 0) return;
  base_ = 0;
  end_ = 0;
  if (::lseek(descriptor_, 0, SEEK_SET) != 0) fail("cannot be read from its start again.");
}

void ByteSource::fail_at_line(std::string_view what) const {
  throw base::InputError(fmt::format("{}:{}: {}", name_, line_, what));
}
void ByteSource::fail_at_byte(std::string_view what) const {
  throw base::InputError(fmt::format("{}: byte {}: {}", name_, offset(), what));
}
void ByteSource::fail(std::string_view what) const {
  throw base::InputError(fmt::format("{}: {}", name_, what));
}

}  // namespace cowlwright::imported
