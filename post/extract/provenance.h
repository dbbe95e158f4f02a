// SPDX-License-Identifier: GPL-3.0-or-later
//
// What the numbers of a case can be traced back to: its study file, the solver's settings, how long it took.
#pragma once

#include "geometry/base/case_state.h"
#include "geometry/base/manifest.h"
#include "geometry/base/solver_end.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::post {

/// A file that decides the solution, by its place in the case folder.
struct HashedFile {
  std::string file;    ///< "system/fvSchemes"
  std::string sha256;  ///< of its bytes
};

struct Provenance {
  std::string
      study_text;  ///< of the study file in the folder above, when its hash is the manifest's; else empty
  std::vector<HashedFile> settings;           ///< dictionaries in system and constant, by name
  std::optional<base::CaseState> state;       ///< times of the stages; absent for a case that was run by hand
  std::optional<base::SolverEnd> solver_end;  ///< likewise
};

/// What is missing is left empty: a case without these files is still a case.
Provenance read_provenance(const std::filesystem::path& case_dir, const base::Manifest& manifest);

}  // namespace cowlwright::post
