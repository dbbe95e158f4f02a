// SPDX-License-Identifier: GPL-3.0-or-later
//
// A file system of a few megabytes in memory, to be filled up by a test.
#pragma once

#include <sys/mount.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <stdexcept>
#include <string>

namespace cowlwright::testing_support {

/// Mounts itself on a folder while it lives.
class SmallDisk {
 public:
  /// @param size  as tmpfs takes it: "1m".
  SmallDisk(std::filesystem::path folder, const std::string& size) : folder_(std::move(folder)) {
    std::filesystem::create_directories(folder_);
    if (mount("tmpfs", folder_.c_str(), "tmpfs", MS_NOSUID | MS_NODEV, ("size=" + size).c_str()) != 0)
      trouble_ = std::string("no file system can be mounted here: ") + std::strerror(errno);
  }
  ~SmallDisk() {
    if (trouble_.empty()) umount2(folder_.c_str(), MNT_DETACH);
  }
  SmallDisk(const SmallDisk&) = delete;
  SmallDisk& operator=(const SmallDisk&) = delete;

  /// Why there is none, for GTEST_SKIP; empty when there is.
  const std::string& trouble() const { return trouble_; }
  const std::filesystem::path& path() const { return folder_; }

  /// Leaves not a byte; what is there stays.
  void fill() const {
    std::ofstream ballast(folder_ / "ballast", std::ios::binary | std::ios::app);
    const std::string block(4096, 'x');
    while (ballast.write(block.data(), static_cast<std::streamsize>(block.size())).flush()) {
    }
  }
  void enlarge(const std::string& size) const {
    if (mount("tmpfs", folder_.c_str(), "tmpfs", MS_REMOUNT, ("size=" + size).c_str()) != 0)
      throw std::runtime_error(std::string("remount: ") + std::strerror(errno));
  }

 private:
  std::filesystem::path folder_;
  std::string trouble_;
};

}  // namespace cowlwright::testing_support
