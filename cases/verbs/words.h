// SPDX-License-Identifier: GPL-3.0-or-later
//
// Command lines that every verb reads in one way. Internal to the verbs: shows Boost's types.
#pragma once

#include "geometry/base/units.h"

#include <boost/program_options.hpp>

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::verbs {

/// Options and one positional argument, "file".
/// @throws InputError  "cowlwright <verb>: ..." for an unknown option or a second argument.
boost::program_options::variables_map read_words(const std::string& verb,
                                                 boost::program_options::options_description visible,
                                                 const std::vector<std::string>& words);

/// Prints a verb's help when --help was given. @return whether it was.
bool has_told_help(const boost::program_options::variables_map& values,
                   const std::string& purpose,
                   const boost::program_options::options_description& visible,
                   const std::string& examples);

/// The positional argument.
/// @throws InputError  "cowlwright <verb>: <argument> is missing. ..." when it was not given.
std::filesystem::path required_file(const std::string& verb,
                                    const boost::program_options::variables_map& values,
                                    const std::string& argument);

/// A quantity given as text; nothing when the option is absent. @throws InputError naming verb and option.
std::optional<double> quantity_option(const std::string& verb,
                                      const boost::program_options::variables_map& values,
                                      const std::string& option,
                                      base::Dimension dimension);

}  // namespace cowlwright::verbs
