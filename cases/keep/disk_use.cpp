// SPDX-License-Identifier: GPL-3.0-or-later
//
// Blocks of files.
#include "cases/keep/disk_use.h"

#include <sys/stat.h>

#include <set>

namespace cowlwright::keep {
namespace {

namespace fs = std::filesystem;

constexpr double block = 512.0;  // bytes, whatever the file system's own (POSIX, st_blocks)

double measured(const fs::path& folder, bool with_shared) {
  double bytes = 0.0;
  std::set<ino_t> seen;
  std::error_code error;
  for (fs::recursive_directory_iterator i(folder, error), end; !error && i != end; i.increment(error)) {
    struct stat status {};
    if (::lstat(i->path().c_str(), &status) != 0 || !S_ISREG(status.st_mode)) continue;
    const bool is_shared = status.st_nlink > 1;
    if (is_shared && (!with_shared || !seen.insert(status.st_ino).second)) continue;
    bytes += block * static_cast<double>(status.st_blocks);
  }
  return bytes;
}

}  // namespace

double disk_use(const fs::path& folder) {
  return measured(folder, true);
}

double own_disk_use(const fs::path& folder) {
  return measured(folder, false);
}

}  // namespace cowlwright::keep
