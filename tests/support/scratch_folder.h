// SPDX-License-Identifier: GPL-3.0-or-later
//
// A folder of one test's own in the system's temporary folder, removed at the end of the test.
#pragma once

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <stdexcept>
#include <string>
#include <string_view>

namespace cowlwright::testing_support {

class ScratchFolder {
 public:
  ScratchFolder() {
    std::string name = (std::filesystem::temp_directory_path() / "cowlwright-test-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) throw std::runtime_error(name + ": cannot be made");
    path_ = name;
  }
  ~ScratchFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;

  const std::filesystem::path& path() const { return path_; }

  std::filesystem::path write(const std::filesystem::path& name, std::string_view text) const {
    const std::filesystem::path file = path_ / name;
    std::filesystem::create_directories(file.parent_path());
    std::ofstream(file) << text;
    return file;
  }

  /// A shell script that stands in for a program.
  std::filesystem::path write_program(const std::filesystem::path& name, std::string_view body) const {
    const std::filesystem::path file = write(name, "#!/bin/sh\n" + std::string(body));
    std::filesystem::permissions(file, std::filesystem::perms::owner_all);
    return file;
  }

 private:
  std::filesystem::path path_;
};

inline std::string text_of(const std::filesystem::path& file) {
  std::ifstream stream(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(stream), {}};
}

}  // namespace cowlwright::testing_support
