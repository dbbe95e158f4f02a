// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/verbs/words.h"

#include "geometry/base/error.h"

#include <fmt/format.h>

#include <sstream>

namespace cowlwright::verbs {

namespace options = boost::program_options;

options::variables_map read_words(const std::string& verb,
                                  options::options_description visible,
                                  const std::vector<std::string>& words) {
  visible.add_options()("file", options::value<std::string>());
  options::positional_options_description positional;
  positional.add("file", 1);
  options::variables_map values;
  try {
    options::store(options::command_line_parser(words).options(visible).positional(positional).run(), values);
  } catch (const options::error& error) {
    throw base::InputError(
        fmt::format("cowlwright {}: {}. See `cowlwright {} --help`.", verb, error.what(), verb));
  }
  return values;
}

bool has_told_help(const options::variables_map& values,
                   const std::string& purpose,
                   const options::options_description& visible,
                   const std::string& examples) {
  if (values.count("help") == 0) return false;
  fmt::print("{}{}{}", purpose, (std::ostringstream() << visible).str(), examples);
  return true;
}

std::filesystem::path required_file(const std::string& verb,
                                    const options::variables_map& values,
                                    const std::string& argument) {
  if (values.count("file") == 0) {
    throw base::InputError(
        fmt::format("cowlwright {}: {} is missing. See `cowlwright {} --help`.", verb, argument, verb));
  }
  return values["file"].as<std::string>();
}

std::optional<double> quantity_option(const std::string& verb,
                                      const options::variables_map& values,
                                      const std::string& option,
                                      base::Dimension dimension) {
  if (values.count(option) == 0) return std::nullopt;
  try {
    return base::parse_quantity(values[option].as<std::string>(), dimension);
  } catch (const base::InputError& error) {
    throw base::InputError(fmt::format("cowlwright {}: --{}: {}", verb, option, error.what()));
  }
}

}  // namespace cowlwright::verbs
