// SPDX-License-Identifier: GPL-3.0-or-later
//
// cowlpost: everything after the solver.
//   cowlpost extract study/base study/lip_30      tables of two variants, in study/
//   cowlpost extract my-case -o tables            one hand-run case
#include "geometry/base/error.h"
#include "geometry/base/version.h"
#include "post/quantities/cooling_drag.h"
#include "post/quantities/grid_family.h"
#include "post/quantities/variant_result.h"
#include "post/tables/writers.h"

#include <boost/program_options.hpp>
#include <fmt/format.h>

#include <cstdio>
#include <filesystem>
#include <set>
#include <sstream>
#include <string>
#include <vector>

namespace {

namespace fs = std::filesystem;
namespace options = boost::program_options;
using namespace cowlwright;

constexpr int exit_input_error = 2;
constexpr int exit_external_error = 3;
constexpr int exit_result_error = 4;

constexpr const char* general_help =
    "cowlpost: tables from solved cowl cases\n"
    "\n"
    "  cowlpost extract CASE... [-o DIR]   flows, deck pressures, recovery, losses, propeller, status\n"
    "  cowlpost extract --help             options and examples\n"
    "  cowlpost --version\n"
    "\n"
    "A CASE is a folder with a manifest.json, as `cowlwright prepare` and `cowlwright run` write it.\n"
    "Exit codes: 0 done, 2 wrong use or input, 3 a file could not be written, 4 a case has no usable "
    "results.\n";

constexpr const char* extract_help =
    "cowlpost extract CASE... [-o DIR]\n"
    "\n"
    "Reads solved cases (run on one rank, decomposed and not yet reconstructed, or reconstructed; also while "
    "the\n"
    "solver is still running) and writes summary.csv, summary.md and results.json. With several cases the "
    "one\n"
    "that its study calls the baseline, otherwise the first, is what the others are compared with. Cases of "
    "one\n"
    "variant on several grids make one column: values of the finest usable grid, with a band from three "
    "grids.\n"
    "A case without usable results becomes a row marked failed; when no case has any, nothing is written.\n"
    "\n"
    "Examples\n"
    "  cowlpost extract study/*/                        all variants of a study; tables go to study/\n"
    "  cowlpost extract study/base study/lip_30 -o out  two of them; tables go to out/\n"
    "  cowlpost extract a-medium a-coarse a-draft       one variant on three grids\n"
    "  cowlpost extract .                               the case in this folder; tables go to the folder "
    "above\n"
    "\n"
    "Exit codes: 0 done, 2 wrong use or input, 3 a file could not be written, 4 a case has no usable "
    "results.\n"
    "\n";

std::vector<fs::path> unique_cases(const std::vector<std::string>& names) {
  std::vector<fs::path> cases;
  std::set<fs::path> seen;
  for (const std::string& name : names) {
    if (!seen.insert(fs::weakly_canonical(fs::absolute(name))).second) {
      throw base::InputError(fmt::format("{}: the case is given twice. Name each folder once.", name));
    }
    cases.emplace_back(name);
  }
  return cases;
}

/// One line a case, starting with its folder.
std::string failure_text(const fs::path& case_dir, const std::string& reason) {
  const bool has_folder = reason.rfind(case_dir.string(), 0) == 0;
  return has_folder ? fmt::format("{}\n", reason) : fmt::format("{}: {}\n", case_dir.string(), reason);
}

int extract(const std::vector<fs::path>& cases, const fs::path& folder) {
  std::vector<post::VariantResult> results;
  std::string failures;
  std::size_t n_failed = 0;
  for (const fs::path& case_dir : cases) {
    const post::VariantResult& result = results.emplace_back(post::extract_case(case_dir));
    if (result.has_failed()) {
      ++n_failed;
      failures += failure_text(case_dir, result.judgement.reason);
    }
  }
  if (n_failed == results.size()) {
    throw base::ResultError(failures + "Nothing was written.");
  }
  const post::Comparison comparison(post::group_grids(post::join_references(std::move(results))));
  post::write_summary(comparison, folder);
  fmt::print("{}\nWritten: {}\n         {}\n         {}\n",
             post::screen_table(comparison),
             (folder / post::csv_file_name).string(),
             (folder / post::markdown_file_name).string(),
             (folder / post::json_file_name).string());
  if (n_failed > 0) {
    std::fflush(stdout);
    throw base::ResultError(failures + "The other rows were written.");
  }
  return 0;
}

int run_extract(const std::vector<std::string>& arguments) {
  std::vector<std::string> names;
  std::string folder;
  options::options_description visible("Options");
  visible.add_options()("output,o",
                        options::value(&folder)->value_name("DIR"),
                        "folder for the tables; default: the folder that holds the first case")(
      "help,h", "show this text");
  options::options_description all;
  all.add(visible).add_options()("case", options::value(&names));
  options::positional_options_description positions;
  positions.add("case", -1);
  options::variables_map values;
  options::store(options::command_line_parser(arguments).options(all).positional(positions).run(), values);
  options::notify(values);
  if (values.count("help") != 0) {
    fmt::print("{}", extract_help);
    std::fflush(stdout);
    fmt::print("{}", (std::ostringstream() << visible).str());
    return 0;
  }
  if (names.empty()) {
    throw base::InputError("extract: no case folder given. Example: cowlpost extract study/base");
  }
  const std::vector<fs::path> cases = unique_cases(names);
  return extract(cases,
                 folder.empty() ? fs::weakly_canonical(cases.front()).parent_path() : fs::path(folder));
}

int run(const std::vector<std::string>& arguments) {
  const std::string verb = arguments.empty() ? "--help" : arguments.front();
  if (verb == "--help" || verb == "-h" || verb == "help") {
    fmt::print("{}", general_help);
    return arguments.empty() ? exit_input_error : 0;
  }
  if (verb == "--version") {
    fmt::print("cowlpost {}\n", base::program_version);
    return 0;
  }
  if (verb == "extract") {
    return run_extract({arguments.begin() + 1, arguments.end()});
  }
  throw base::InputError(fmt::format("{}: no such verb: must be extract. See cowlpost --help.", verb));
}

}  // namespace

int main(int argc, char** argv) {
  try {
    return run({argv + 1, argv + argc});
  } catch (const options::error& error) {
    fmt::print(stderr, "cowlpost: {}. See cowlpost extract --help.\n", error.what());
    return exit_input_error;
  } catch (const base::InputError& error) {
    fmt::print(stderr, "cowlpost: {}\n", error.what());
    return exit_input_error;
  } catch (const base::ExternalError& error) {
    fmt::print(stderr, "cowlpost: {}\n", error.what());
    return exit_external_error;
  } catch (const base::ResultError& error) {
    fmt::print(stderr, "cowlpost: {}\n", error.what());
    return exit_result_error;
  } catch (const std::exception& error) {
    fmt::print(stderr, "cowlpost: internal fault: {}\n", error.what());
    return 1;
  }
}
