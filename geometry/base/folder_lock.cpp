// SPDX-License-Identifier: GPL-3.0-or-later
//
// Locks of an open file description: they end with the holder, are asked for without being taken, and shut
// out a second one of the same process too.
#include "geometry/base/folder_lock.h"

#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <fcntl.h>
#include <fmt/chrono.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <climits>
#include <ctime>
#include <string_view>
#include <system_error>
#include <thread>
#include <utility>

namespace cowlwright::base {
namespace {

namespace fs = std::filesystem;
using Clock = std::chrono::steady_clock;

constexpr std::chrono::milliseconds pause{20};  // between two attempts

std::string reason(int error) {
  return std::generic_category().message(error);
}

[[noreturn]] void fail(const fs::path& file, int error) {
  const bool has_no_locks = error == ENOLCK || error == EOPNOTSUPP || error == ENOSYS || error == EINVAL;
  throw ExternalError(fmt::format(
      "{}: cannot be locked: {}. {}",
      file.string(),
      reason(error),
      has_no_locks ? "Its file system keeps no locks; mount it with them or take a folder on another."
                   : "Check the folder, its permissions and the disk's space."));
}

struct flock whole_file() {
  struct flock lock {};
  lock.l_type = F_WRLCK;
  lock.l_whence = SEEK_SET;
  return lock;
}

/// Whether the name still stands for the file that was opened: who removes a folder removes the lock in it.
bool is_still_there(int descriptor, const fs::path& file) {
  struct stat opened {};
  struct stat named {};
  return ::fstat(descriptor, &opened) == 0 && ::stat(file.c_str(), &named) == 0 &&
         opened.st_ino == named.st_ino && opened.st_dev == named.st_dev;
}

/// Descriptor of the locked file; -1 when another holds it.
int try_lock(const fs::path& file) {
  for (;;) {
    const int descriptor = ::open(file.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0666);
    if (descriptor < 0) fail(file, errno);
    struct flock lock = whole_file();
    if (::fcntl(descriptor, F_OFD_SETLK, &lock) == 0) {
      if (is_still_there(descriptor, file)) return descriptor;
      ::close(descriptor);
      continue;
    }
    const int error = errno;
    ::close(descriptor);
    if (error != EAGAIN && error != EACCES) fail(file, error);
    return -1;
  }
}

/// First line of the lock's text; a holder that has not come to write it is somebody all the same.
std::string holder_text(const fs::path& file) {
  std::string text;
  try {
    text = read_text(file);
  } catch (const InputError&) {
  }
  text.erase(std::min(text.size(), text.find('\n')));
  return text.empty() ? "another process" : text;
}

}  // namespace

std::string host_name() {
  std::array<char, HOST_NAME_MAX + 1> name{};
  return ::gethostname(name.data(), name.size() - 1) == 0 ? name.data() : "";
}

FolderLock::FolderLock(const fs::path& folder,
                       const std::string& name,
                       const std::string& purpose,
                       std::chrono::milliseconds patience) {
  const fs::path file = folder / name;
  const Clock::time_point deadline = Clock::now() + patience;
  while ((descriptor_ = try_lock(file)) < 0) {
    if (Clock::now() >= deadline) {
      throw ExternalError(fmt::format("{}: in use by {}. Wait until that has ended, or stop it there.",
                                      folder.string(),
                                      holder_text(file)));
    }
    std::this_thread::sleep_for(pause);
  }
  const std::string host = host_name();
  // One write over the old text: a reader sees one or the other, and a full disk that had room for the old
  // one takes the new one.
  const std::string text = fmt::format("{}, process {} on {}, since {:%Y-%m-%d %H:%M:%S} UTC\n",
                                       purpose,
                                       ::getpid(),
                                       host.empty() ? "an unnamed host" : host,
                                       fmt::gmtime(std::time(nullptr)));
  errno = ENOSPC;  // of a write that came short
  if (::pwrite(descriptor_, text.data(), text.size(), 0) != static_cast<ssize_t>(text.size())) {
    const int error = errno;
    ::close(descriptor_);
    fail(file, error);
  }
}

FolderLock::~FolderLock() {
  if (descriptor_ >= 0) ::close(descriptor_);
}

FolderLock::FolderLock(FolderLock&& other) noexcept : descriptor_(std::exchange(other.descriptor_, -1)) {}

std::string lock_holder(const fs::path& folder, const std::string& name) {
  const fs::path file = folder / name;
  const int descriptor = ::open(file.c_str(), O_RDONLY | O_CLOEXEC);
  if (descriptor < 0) return {};
  struct flock lock = whole_file();
  const bool is_held = ::fcntl(descriptor, F_OFD_GETLK, &lock) == 0 && lock.l_type != F_UNLCK;
  ::close(descriptor);
  return is_held ? holder_text(file) : std::string();
}

}  // namespace cowlwright::base
