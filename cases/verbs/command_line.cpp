// SPDX-License-Identifier: GPL-3.0-or-later
//
// Boost.Program_options behind the verbs' command lines.
#include "cases/verbs/command_line.h"

#include "cases/verbs/words.h"
#include "geometry/base/error.h"

#include <boost/program_options.hpp>
#include <fmt/format.h>

#include <sstream>

namespace cowlwright::verbs {
namespace {

namespace options = boost::program_options;

constexpr int most_ranks = 256;

options::options_description visible_options(const VerbText& verb) {
  options::options_description visible("Options", 100);
  auto add = visible.add_options();
  add("help,h", "print this and end");
  if (verb.takes_output) {
    add("output,o",
        options::value<std::string>()->value_name("DIR"),
        fmt::format("folder to write to (default: {})", verb.default_output).c_str());
  }
  if (verb.takes_variants) {
    add("variant",
        options::value<std::vector<std::string>>()->value_name("NAME"),
        "only this variant; may be given several times");
  }
  if (verb.takes_run_options) {
    add("ranks",
        options::value<int>()->value_name("N"),
        "MPI ranks for each case (default: [grid] ranks of the study)");
    add("fresh", "replace what an earlier run left, finished or not");
  }
  if (verb.takes_tables_only) {
    add("tables-only", "make no pictures and no page at the end");
  }
  return visible;
}

}  // namespace

Request parse_request(const VerbText& verb, const std::vector<std::string>& words) {
  const options::variables_map values = read_words(verb.name, visible_options(verb), words);
  Request request;
  request.wants_help = values.count("help") > 0;
  if (request.wants_help) return request;
  if (values.count("file") == 0) {
    throw base::InputError(fmt::format(
        "cowlwright {}: {} is missing. See `cowlwright {} --help`.", verb.name, verb.argument, verb.name));
  }
  request.file = values["file"].as<std::string>();
  if (values.count("output") > 0) request.output = values["output"].as<std::string>();
  if (values.count("variant") > 0) request.variants = values["variant"].as<std::vector<std::string>>();
  request.fresh = values.count("fresh") > 0;
  request.tables_only = values.count("tables-only") > 0;
  if (values.count("ranks") > 0) {
    request.ranks = values["ranks"].as<int>();
    if (*request.ranks < 1 || *request.ranks > most_ranks) {
      throw base::InputError(
          fmt::format("cowlwright {}: --ranks = {}: must be 1 to {}. Use the number of cores.",
                      verb.name,
                      *request.ranks,
                      most_ranks));
    }
  }
  return request;
}

std::string help_text(const VerbText& verb) {
  std::ostringstream text;
  text << fmt::format("cowlwright {} {} [options]\n\n{}\n\n", verb.name, verb.argument, verb.purpose)
       << visible_options(verb) << "\nExamples\n"
       << verb.examples;
  return text.str();
}

}  // namespace cowlwright::verbs
