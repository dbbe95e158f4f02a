// SPDX-License-Identifier: GPL-3.0-or-later
//
// Looks beside the program that runs.
#include "geometry/base/sister_program.h"

#include <filesystem>
#include <system_error>

namespace cowlwright::base {

std::string sister_program(const std::string& name) {
  std::error_code error;
  const std::filesystem::path self = std::filesystem::read_symlink("/proc/self/exe", error);
  const std::filesystem::path beside = self.parent_path() / name;
  return !error && std::filesystem::exists(beside) ? beside.string() : name;
}

}  // namespace cowlwright::base
