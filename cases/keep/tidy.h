// SPDX-License-Identifier: GPL-3.0-or-later
//
// Gives back disk space of solved cases. Inputs, logs, monitors' tables, readings and states always stay.
//
//   all     nothing is removed
//   last    mesh, start and last fields stay; split folders and older fields go. Tables, pictures and fields
//           can be had again, another case can start from it, and more iterations can be added.
//   tables  meshes, surfaces and fields go too. Its rows in the tables stay; pictures, a start field for
//           another case or more iterations mean solving it again.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::keep {

enum class Keep { All, Last, Tables };

/// @throws InputError  for another word than "all", "last" or "tables".
Keep keep_of(const std::string& word);
std::string_view keep_name(Keep keep);

/// What was done with one case.
struct Tidied {
  std::string case_folder;
  double before = 0.0;  ///< on disk, without what it shares with others [bytes]
  double after = 0.0;   ///< likewise [bytes]
  std::string note{};   ///< why less was done than asked for; empty: all was done
};

/// Tidies a case that has been solved. Left as it is: one in use, not solved, whose last fields are not
/// joined or damaged. Of a case that another one, not solved yet, starts from, or of which no readings of its
/// fields are kept, "tables" leaves what "last" leaves.
/// @param case_folder  name below `output`.
/// @throws ExternalError  when its state cannot be written or something cannot be removed; the same call goes
/// on from there.
Tidied tidy_case(const std::filesystem::path& output, const std::string& case_folder, Keep keep);

/// Disk space of shared meshes.
struct TidiedMeshes {
  double before = 0.0;  ///< [bytes]
  double after = 0.0;   ///< [bytes]
};

/// Removes the output folder's shared meshes that no case's state names, or only those of which tables were
/// kept. @throws ExternalError  as above.
TidiedMeshes tidy_meshes(const std::filesystem::path& output);

struct TidiedStudy {
  std::vector<Tidied> cases{};
  TidiedMeshes meshes{};
};

/// All cases of an output folder, then the meshes. With Keep::All only measures.
/// @throws ExternalError  when a driver works in the folder; else as above. InputError  when it holds no
/// case.
TidiedStudy tidy_study(const std::filesystem::path& output, Keep keep);

/// "1.2 GB", "66 MB", "12 kB": powers of ten.
std::string size_text(double bytes);

/// A line per case, the meshes, the sum.
std::string tidied_text(const TidiedStudy& study);

}  // namespace cowlwright::keep
