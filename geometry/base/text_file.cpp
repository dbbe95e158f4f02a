// SPDX-License-Identifier: GPL-3.0-or-later
//
// Text files through POSIX calls, so that the system's reason reaches the message and a write is durable.
#include "geometry/base/text_file.h"

#include "geometry/base/error.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <openssl/evp.h>
#include <openssl/sha.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <system_error>

namespace cowlwright::base {

namespace {

/// Closes a file descriptor when it goes out of scope.
class OpenFile {
 public:
  explicit OpenFile(int descriptor) : descriptor_(descriptor) {}
  OpenFile(const OpenFile&) = delete;
  OpenFile& operator=(const OpenFile&) = delete;
  ~OpenFile() {
    if (descriptor_ >= 0) {
      ::close(descriptor_);
    }
  }
  int descriptor() const { return descriptor_; }
  bool is_open() const { return descriptor_ >= 0; }

 private:
  int descriptor_;
};

std::string reason() {
  return std::generic_category().message(errno);
}

[[noreturn]] void fail_write(const std::filesystem::path& path) {
  throw ExternalError(
      fmt::format("{}: cannot be written: {}. Check the folder, its permissions and the disk's space.",
                  path.string(),
                  reason()));
}

void write_all(const OpenFile& file, std::string_view text, const std::filesystem::path& path) {
  while (!text.empty()) {
    const ssize_t n_written = ::write(file.descriptor(), text.data(), text.size());
    if (n_written < 0) {
      if (errno == EINTR) {
        continue;
      }
      fail_write(path);
    }
    text.remove_prefix(static_cast<std::size_t>(n_written));
  }
}

/// So that the new name outlives a power cut too. Some file systems keep no such order and say EINVAL.
void sync_folder_of(const std::filesystem::path& path) {
  const std::filesystem::path folder = path.has_parent_path() ? path.parent_path() : ".";
  const OpenFile file(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
  if (!file.is_open() || (::fsync(file.descriptor()) != 0 && errno != EINVAL)) {
    fail_write(path);
  }
}

void write_and_rename(const std::filesystem::path& path, std::string_view text, bool is_synced) {
  // The process number keeps two programs that write the same file from sharing a temporary one.
  std::filesystem::path temporary = path;
  temporary += fmt::format(".{}.part", ::getpid());
  try {
    const OpenFile file(::open(temporary.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666));
    if (!file.is_open()) {
      fail_write(path);
    }
    write_all(file, text, path);
  } catch (const ExternalError&) {
    ::unlink(temporary.c_str());
    throw;
  }
  if (is_synced) {
    move_into_place(temporary, path);
  } else if (::rename(temporary.c_str(), path.c_str()) != 0) {
    const int error = errno;
    ::unlink(temporary.c_str());
    errno = error;
    fail_write(path);
  }
}

}  // namespace

std::string read_text(const std::filesystem::path& path) {
  const OpenFile file(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
  std::string text;
  std::array<char, 65536> block{};
  ssize_t n_read = file.is_open() ? 1 : -1;
  while (n_read > 0) {
    n_read = ::read(file.descriptor(), block.data(), block.size());
    if (n_read < 0 && errno == EINTR) {
      n_read = 1;
      continue;
    }
    text.append(block.data(), n_read > 0 ? static_cast<std::size_t>(n_read) : 0);
  }
  if (n_read < 0) {
    throw InputError(
        fmt::format("{}: cannot be read: {}. Check the name and the folder.", path.string(), reason()));
  }
  return text;
}

void move_into_place(const std::filesystem::path& temporary, const std::filesystem::path& path) {
  try {
    const OpenFile file(::open(temporary.c_str(), O_RDONLY | O_CLOEXEC));
    if (!file.is_open() || ::fsync(file.descriptor()) != 0 ||
        ::rename(temporary.c_str(), path.c_str()) != 0) {
      fail_write(path);
    }
    sync_folder_of(path);
  } catch (const ExternalError&) {
    ::unlink(temporary.c_str());
    throw;
  }
}

void write_text(const std::filesystem::path& path, std::string_view text) {
  write_and_rename(path, text, true);
}

void replace_text(const std::filesystem::path& path, std::string_view text) {
  write_and_rename(path, text, false);
}

std::string sha256(std::string_view bytes) {
  std::array<unsigned char, SHA256_DIGEST_LENGTH> digest{};
  SHA256(reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size(), digest.data());
  std::string text;
  for (const unsigned char byte : digest) {
    text += fmt::format("{:02x}", byte);
  }
  return text;
}

std::string base64(std::string_view bytes) {
  std::string text(4 * ((bytes.size() + 2) / 3) + 1, '\0');  // and the end of a C string
  const int size = EVP_EncodeBlock(reinterpret_cast<unsigned char*>(text.data()),
                                   reinterpret_cast<const unsigned char*>(bytes.data()),
                                   static_cast<int>(bytes.size()));
  text.resize(static_cast<std::size_t>(size));
  return text;
}

}  // namespace cowlwright::base
