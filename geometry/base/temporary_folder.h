// SPDX-License-Identifier: GPL-3.0-or-later
//
// A folder of one's own in the system's temporary folder, for as long as the object lives.
#pragma once

#include <filesystem>
#include <string>

namespace cowlwright::base {

class TemporaryFolder {
 public:
  /// @param purpose  part of its name: "step".
  /// @throws ExternalError  when it cannot be made.
  explicit TemporaryFolder(const std::string& purpose);
  /// Removes it with all that is in it.
  ~TemporaryFolder();
  TemporaryFolder(const TemporaryFolder&) = delete;
  TemporaryFolder& operator=(const TemporaryFolder&) = delete;

  const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

}  // namespace cowlwright::base
