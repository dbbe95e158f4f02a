// SPDX-License-Identifier: GPL-3.0-or-later
//
// Boost.Program_options behind the verbs' command lines.
#include "cases/verbs/command_line.h"

#include "cases/verbs/words.h"
#include "geometry/base/error.h"

#include <boost/program_options.hpp>
#include <fmt/format.h>

#include <array>
#include <cmath>
#include <locale>
#include <optional>
#include <sstream>
#include <string_view>

namespace cowlwright::verbs {
namespace {

namespace options = boost::program_options;

constexpr int most_ranks = 256;
constexpr int most_cores = 1000000;

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
        "MPI ranks for each case (default: [grid] ranks of the study, else chosen)");
    add("fresh", "replace what an earlier run left, finished or not");
  }
  if (verb.takes_keep) {
    add("keep",
        options::value<std::string>()->value_name("WHAT"),
        "what stays of solved cases: all (default), last or tables; see `cowlwright tidy --help`");
  }
  if (verb.takes_machine) {
    add("cores",
        options::value<int>()->value_name("N"),
        "cores that may work at a time (default: those this program may use)");
    add("memory",
        options::value<std::string>()->value_name("SIZE"),
        "memory that may be used, as \"12 GB\" (default: what is free now)");
  }
  if (verb.takes_tables_only) {
    add("tables-only", "make no pictures and no page at the end");
  }
  if (verb.takes_cluster) {
    add("on",
        options::value<std::string>()->value_name("WHERE"),
        "where the work is done: here (default), or slurm: handed in as jobs of a cluster");
    add("site",
        options::value<std::string>()->value_name("FILE"),
        "site profile: partition, time limit, modules, ... of the cluster");
    add("write-only", "write the jobs' files for the cluster and hand nothing in");
  }
  return visible;
}

/// A whole number from 1; nothing when the option is absent.
std::optional<int> count_option(const std::string& verb,
                                const options::variables_map& values,
                                const std::string& option,
                                int most,
                                const std::string& remedy) {
  if (values.count(option) == 0) return std::nullopt;
  const int value = values[option].as<int>();
  if (value < 1 || value > most) {
    throw base::InputError(
        fmt::format("cowlwright {}: --{} = {}: must be 1 to {}. {}", verb, option, value, most, remedy));
  }
  return value;
}

struct MemoryUnit {
  std::string_view name;
  double bytes;
};
constexpr std::array<MemoryUnit, 6> memory_units{{{"MB", 1e6},
                                                  {"GB", 1e9},
                                                  {"TB", 1e12},
                                                  {"MiB", 1048576.0},
                                                  {"GiB", 1073741824.0},
                                                  {"TiB", 1099511627776.0}}};

void read_cluster_options(const std::string& verb, const options::variables_map& values, Request& request) {
  const std::string where = values.count("on") > 0 ? values["on"].as<std::string>() : "here";
  if (where != "here" && where != "slurm") {
    throw base::InputError(
        fmt::format("cowlwright {}: --on = {}: must be here or slurm. Other queues: --on slurm --write-only, "
                    "and edit the "
                    "files.",
                    verb,
                    where));
  }
  request.on_slurm = where == "slurm";
  if (values.count("site") > 0) request.site = values["site"].as<std::string>();
  request.write_only = values.count("write-only") > 0;
  if (!request.on_slurm && (request.site || request.write_only)) {
    throw base::InputError(fmt::format("cowlwright {}: {} is of use with --on slurm only. Add that.",
                                       verb,
                                       request.site ? "--site" : "--write-only"));
  }
}

}  // namespace

double parse_memory(const std::string& option, const std::string& text) {
  std::istringstream stream(text);
  stream.imbue(std::locale::classic());
  double number = 0.0;
  std::string unit;
  std::string rest;
  if (stream >> number >> unit && !(stream >> rest) && number > 0.0 && std::isfinite(number)) {
    for (const MemoryUnit& known : memory_units) {
      if (known.name == unit) return number * known.bytes;
    }
  }
  throw base::InputError(fmt::format(
      "{} = \"{}\": must be a number above 0 with a unit: MB, GB, TB, MiB, GiB or TiB. Write \"12 GB\".",
      option,
      text));
}

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
  request.ranks = count_option(verb.name, values, "ranks", most_ranks, "Use the number of cores.");
  request.cores = count_option(verb.name, values, "cores", most_cores, "Use the machine's number of cores.");
  if (values.count("keep") > 0) request.keep = values["keep"].as<std::string>();
  if (values.count("memory") > 0)
    request.memory =
        parse_memory(fmt::format("cowlwright {}: --memory", verb.name), values["memory"].as<std::string>());
  read_cluster_options(verb.name, values, request);
  return request;
}

std::string help_text(const VerbText& verb) {
  std::ostringstream text;
  text << fmt::format("cowlwright {} {} [options]\n\n{}\n\n", verb.name, verb.argument, verb.purpose)
       << visible_options(verb) << "\nExamples\n"
       << verb.examples;
  return text.str();
}

std::optional<Request> request_or_help(const VerbText& verb, const std::vector<std::string>& words) {
  Request request = parse_request(verb, words);
  if (!request.wants_help) return request;
  fmt::print("{}", help_text(verb));
  return std::nullopt;
}

}  // namespace cowlwright::verbs
