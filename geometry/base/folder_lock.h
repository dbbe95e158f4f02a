// SPDX-License-Identifier: GPL-3.0-or-later
//
// One at a time in a folder: a lock of the kernel's on a file in it, which says who holds it. The kernel
// frees it however its holder ends, so no lock is ever stale.
#pragma once

#include <chrono>
#include <filesystem>
#include <string>

namespace cowlwright::base {

/// Holds `folder`/`name` while it lives.
class FolderLock {
 public:
  /// @param purpose   what the holder does, for the message of whoever comes second: "cowlwright run
  /// my.toml".
  /// @param patience  how long to wait for another holder to end.
  /// @throws ExternalError  when another holds it: purpose, host, process and since when of that one; or when
  /// the file cannot be made.
  FolderLock(const std::filesystem::path& folder,
             const std::string& name,
             const std::string& purpose,
             std::chrono::milliseconds patience = std::chrono::milliseconds(0));
  ~FolderLock();
  FolderLock(FolderLock&& other) noexcept;
  FolderLock(const FolderLock&) = delete;
  FolderLock& operator=(const FolderLock&) = delete;

 private:
  int descriptor_ = -1;
};

/// How long to wait for a case's lock: a solver whose task is being stopped writes its field first.
inline constexpr std::chrono::seconds case_lock_patience{90};

/// Of the driver, in the output folder.
inline constexpr const char* driver_lock_name = "driver.lock";
/// Of the task, in a case folder.
inline constexpr const char* case_lock_name = "case.lock";
/// Of whoever writes the study's tables, in the output folder.
inline constexpr const char* tables_lock_name = "tables.lock";

/// Name of this machine; empty when it has none.
std::string host_name();

/// Who holds a lock now, as "cowlwright run my.toml, process 4711 on ridge, since 2026-03-04 17:05:12 UTC";
/// empty when nobody does.
std::string lock_holder(const std::filesystem::path& folder, const std::string& name);

}  // namespace cowlwright::base
