// SPDX-License-Identifier: GPL-3.0-or-later
//
// Makes and removes it.
#include "geometry/base/temporary_folder.h"

#include "geometry/base/error.h"

#include <fmt/format.h>

#include <cstdlib>
#include <system_error>

namespace cowlwright::base {

TemporaryFolder::TemporaryFolder(const std::string& purpose) {
  std::string name =
      (std::filesystem::temp_directory_path() / fmt::format("cowlwright-{}-XXXXXX", purpose)).string();
  if (mkdtemp(name.data()) == nullptr) {
    throw ExternalError(fmt::format("{}: cannot be made. Check the temporary folder.", name));
  }
  path_ = name;
}

TemporaryFolder::~TemporaryFolder() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

}  // namespace cowlwright::base
