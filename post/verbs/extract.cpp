// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `extract`: tables of solved cases.
#include "geometry/base/error.h"
#include "post/tables/solved_flow_file.h"
#include "post/tables/writers.h"
#include "post/verbs/given_cases.h"
#include "post/verbs/verbs.h"

#include <boost/program_options.hpp>
#include <fmt/format.h>

#include <cstdio>
#include <sstream>

namespace cowlwright::post {

namespace {

namespace options = boost::program_options;

constexpr const char* help_text =
    "cowlpost extract CASE... [-o DIR]\n"
    "\n"
    "Reads solved cases (run on one rank, decomposed and not yet reconstructed, or reconstructed; also while "
    "the\n"
    "solver is still running) and writes summary.csv, summary_tidy.csv, summary.md and results.json. With "
    "several\n"
    "cases the one that its study calls the baseline, otherwise the first, is what the others are compared "
    "with.\n"
    "Cases of one variant on several grids make one column: values of the finest usable grid, with a band "
    "from\n"
    "three grids. A case without usable results becomes a row marked failed; when no case has any, nothing "
    "is\n"
    "written. A folder that is no case stands for all cases in it. Of one study's cases also\n"
    "solved_flow.json, which `cowlwright estimate` takes its coefficients from.\n"
    "\n"
    "Examples\n"
    "  cowlpost extract study                           all variants of a study; tables go to study/\n"
    "  cowlpost extract study/base study/lip_30 -o out  two of them; tables go to out/\n"
    "  cowlpost extract a-medium a-coarse a-draft       one variant on three grids\n"
    "  cowlpost extract .                               the case in this folder; tables go to the folder "
    "above\n"
    "\n"
    "Exit codes: 0 done, 2 wrong use or input, 3 a file could not be written, 4 a case has no usable "
    "results.\n"
    "\n";

}  // namespace

int extract(const Words& words) {
  Words names;
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
  options::store(options::command_line_parser(words).options(all).positional(positions).run(), values);
  options::notify(values);
  if (values.count("help") != 0) {
    fmt::print("{}{}", help_text, (std::ostringstream() << visible).str());
    return 0;
  }
  const std::vector<std::filesystem::path> cases = given_cases(names, "extract");
  const Extraction extraction = extract_cases(cases);
  if (!extraction.has_results) {
    throw base::ResultError(extraction.failures + "Nothing was written.");
  }
  const std::filesystem::path output = output_folder(cases, folder);
  write_summary(extraction.comparison, output);
  fmt::print("{}\n{}{}",
             screen_table(extraction.comparison),
             written_text(output),
             write_solved_flow(extraction.comparison, output));
  if (!extraction.failures.empty()) {
    std::fflush(stdout);
    throw base::ResultError(extraction.failures + "The other rows were written.");
  }
  return 0;
}

}  // namespace cowlwright::post
