// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `tidy`: gives back disk space of solved cases.
#include "cases/keep/tidy.h"

#include "cases/verbs/verbs.h"
#include "cases/verbs/words.h"
#include "geometry/base/error.h"

#include <boost/program_options.hpp>
#include <fmt/format.h>

namespace cowlwright::verbs {
namespace {

namespace options = boost::program_options;

constexpr const char* purpose =
    "cowlwright tidy OUT --keep all|last|tables\n\n"
    "Gives back disk space of the solved cases in OUT, the output folder of `cowlwright run`, and says what\n"
    "each took before and takes after. Cases in use, not solved, or damaged are left as they are.\n\n"
    "  all     nothing is removed; only the sizes are told\n"
    "  last    mesh and last fields stay: tables and pictures can be made anew, another case can start from\n"
    "          the case, and more iterations can be added\n"
    "  tables  meshes and fields go: the rows in the tables stay, but new pictures, a start from the case "
    "or\n"
    "          more iterations mean solving it again\n\n"
    "Inputs, logs, monitors' tables and the study file always stay. What is removed cannot be had back.\n\n";

constexpr const char* examples =
    "\nExamples\n"
    "  cowlwright tidy my-cowl-study --keep all\n"
    "  cowlwright tidy my-cowl-study --keep last\n";

options::options_description visible_options() {
  options::options_description visible("Options", 100);
  auto add = visible.add_options();
  add("help,h", "print this and end");
  add("keep", options::value<std::string>()->value_name("WHAT"), "all, last or tables; must be given");
  return visible;
}

}  // namespace

int tidy_output(const Words& words) {
  const options::variables_map values = read_words("tidy", visible_options(), words);
  if (has_told_help(values, purpose, visible_options(), examples)) return 0;
  if (values.count("file") == 0 || values.count("keep") == 0)
    throw base::InputError("cowlwright tidy: OUT and --keep must be given. See `cowlwright tidy --help`.");
  const keep::Keep wanted = keep::keep_of(values["keep"].as<std::string>());
  fmt::print("{}", keep::tidied_text(keep::tidy_study(values["file"].as<std::string>(), wanted)));
  return 0;
}

}  // namespace cowlwright::verbs
