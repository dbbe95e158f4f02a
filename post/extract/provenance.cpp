// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reads what a case's numbers can be traced back to.
#include "post/extract/provenance.h"

#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <algorithm>

namespace cowlwright::post {

namespace {

namespace fs = std::filesystem;

std::vector<HashedFile> hashed_files(const fs::path& case_dir) {
  std::vector<HashedFile> files;
  for (const std::string folder : {"constant", "system"}) {
    std::error_code error;
    for (const fs::directory_entry& entry : fs::directory_iterator(case_dir / folder, error)) {
      if (entry.is_regular_file(error)) {
        files.push_back(
            {folder + "/" + entry.path().filename().string(), base::sha256(base::read_text(entry.path()))});
      }
    }
  }
  std::sort(
      files.begin(), files.end(), [](const HashedFile& a, const HashedFile& b) { return a.file < b.file; });
  return files;
}

/// The study file's text as the case was made from it.
std::string study_text(const fs::path& case_dir, const base::Manifest& manifest) {
  const fs::path file = fs::weakly_canonical(fs::absolute(case_dir)).parent_path() / manifest.study_file;
  std::error_code error;
  if (manifest.study_file.empty() || !fs::is_regular_file(file, error)) {
    return {};
  }
  const std::string text = base::read_text(file);
  return base::sha256(text) == manifest.study_hash ? text : std::string();
}

}  // namespace

Provenance read_provenance(const fs::path& case_dir, const base::Manifest& manifest) {
  return {.study_text = study_text(case_dir, manifest),
          .settings = hashed_files(case_dir),
          .state = base::read_case_state(case_dir),
          .solver_end = base::read_solver_end(case_dir)};
}

}  // namespace cowlwright::post
