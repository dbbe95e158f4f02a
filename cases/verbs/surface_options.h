// SPDX-License-Identifier: GPL-3.0-or-later
//
// The options --unit, --axes and --origin of every verb that reads a user's surface.
#pragma once

#include "geometry/imported/placement.h"

#include <filesystem>
#include <string>

namespace boost::program_options {
class options_description;
class variables_map;
}  // namespace boost::program_options

namespace cowlwright::verbs {

/// Adds --unit, --axes and --origin with their help texts.
void add_surface_options(boost::program_options::options_description& description);

/// A study (.toml) has its own units and frame; anything else is taken for a surface file.
bool is_study_file(const std::filesystem::path& file);

/// Where the file's coordinates lie, from the three options. Unit and axes must be given; where one is not,
/// the file is read and the refusal proposes what it looks like, with the reason.
///
/// @param verb    for messages, "inspect".
/// @throws InputError  when unit or axes are missing or wrong; also what reading the file throws.
imported::Placement surface_placement(const std::string& verb,
                                      const std::filesystem::path& file,
                                      const boost::program_options::variables_map& values);

/// Refuses the three options beside a study, which needs none of them. @throws InputError naming the option.
void refuse_surface_options(const std::string& verb, const boost::program_options::variables_map& values);

}  // namespace cowlwright::verbs
