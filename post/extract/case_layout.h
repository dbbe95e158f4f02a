// SPDX-License-Identifier: GPL-3.0-or-later
//
// Where the results of a case lie: in the case folder itself (run on one rank, or reconstructed) or in its
// processor folders (decomposed), and at which iteration.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace cowlwright::post {

/// One piece of a case: the whole of it, or one rank's share.
struct CasePart {
  std::filesystem::path mesh_dir;  ///< polyMesh folder that is valid at the time read
  std::filesystem::path time_dir;  ///< fields
};

struct CaseLayout {
  std::filesystem::path case_dir;
  bool is_decomposed = false;   ///< results are read from the processor folders
  std::string time_name;        ///< folder name of the iteration read
  double time = 0.0;            ///< its value
  std::vector<CasePart> parts;  ///< one, or one per rank in rank order
};

/// The latest iteration (after 0) that has the face flux `phi`, in the case folder or in all processor
/// folders; the case folder wins when both have it.
///
/// @throws InputError   when the folder does not exist.
/// @throws ResultError  when there is no such iteration; says what is there and what to do.
CaseLayout find_results(const std::filesystem::path& case_dir);

}  // namespace cowlwright::post
