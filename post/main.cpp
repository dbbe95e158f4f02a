// SPDX-License-Identifier: GPL-3.0-or-later
//
// cowlpost: everything after the solver.
//   cowlpost report study                         tables, pictures and a page of all variants of a study
//   cowlpost extract study/base study/lip_30      tables of two variants, in study/
//   cowlpost extract my-case -o tables            one hand-run case
#include "geometry/base/error.h"
#include "geometry/base/version.h"
#include "post/verbs/verbs.h"

#include <boost/program_options/errors.hpp>
#include <fmt/format.h>

namespace {

using namespace cowlwright;

constexpr int exit_input_error = 2;
constexpr int exit_external_error = 3;
constexpr int exit_result_error = 4;

constexpr const char* general_help =
    "cowlpost: tables, pictures and pages from solved cowl cases\n"
    "\n"
    "  cowlpost report STUDY [-o DIR]      one page with answer, plots, pictures and a 3-D view, and the "
    "tables\n"
    "  cowlpost extract CASE... [-o DIR]   the tables alone: flows, deck pressures, losses, propeller, "
    "status\n"
    "  cowlpost schema [solved_flow]       the JSON Schema of results.json, or of solved_flow.json\n"
    "  cowlpost VERB --help                options and examples\n"
    "  cowlpost --version\n"
    "\n"
    "A CASE is a folder with a manifest.json, as `cowlwright prepare` and `cowlwright run` write it; a STUDY "
    "is a\n"
    "folder of such cases.\n"
    "Exit codes: 0 done, 2 wrong use or input, 3 a file could not be written, 4 a case has no usable "
    "results.\n";

int run(const post::Words& words) {
  const std::string verb = words.empty() ? "--help" : words.front();
  if (verb == "--help" || verb == "-h" || verb == "help") {
    fmt::print("{}", general_help);
    return words.empty() ? exit_input_error : 0;
  }
  if (verb == "--version") {
    fmt::print("cowlpost {}\n", base::program_version);
    return 0;
  }
  const post::Words rest(words.begin() + 1, words.end());
  if (verb == "extract") return post::extract(rest);
  if (verb == "report") return post::report(rest);
  if (verb == "schema") return post::schema(rest);
  throw base::InputError(
      fmt::format("{}: no such verb: must be extract, report or schema. See cowlpost --help.", verb));
}

}  // namespace

int main(int argc, char** argv) {
  try {
    return run({argv + 1, argv + argc});
  } catch (const boost::program_options::error& error) {
    fmt::print(stderr, "cowlpost: {}. See cowlpost VERB --help.\n", error.what());
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
