// SPDX-License-Identifier: GPL-3.0-or-later
//
// The command line of `cowlwright moldcheck`.
#pragma once

#include "geometry/imported/placement.h"
#include "geometry/mold/options.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::verbs {

struct MoldRequest {
  bool wants_help = false;
  std::filesystem::path file;                      ///< a surface or a study
  std::optional<imported::Placement> placement{};  ///< of a surface file and what is near it
  mold::Options options{};
  std::vector<std::filesystem::path> near{};  ///< further surface files to keep clear of
  std::optional<double> skin{};               ///< thickness behind the surface [m]
  std::string variant{};                      ///< of a study; empty: the first
  std::filesystem::path output{};
};

/// @throws InputError  for anything the options do not allow, naming the option, its value and its bounds.
MoldRequest parse_mold_request(const std::vector<std::string>& words);

std::string mold_help();

/// "0 1 0" as a unit vector. @throws InputError.
base::Vec3 parse_pull(const std::string& text);

}  // namespace cowlwright::verbs
