// SPDX-License-Identifier: GPL-3.0-or-later
//
// The program `cowlwright`: everything before and around the solver.
//
//   cowlwright new my-cowl.toml      write a starter study
//   cowlwright check my-cowl.toml    find its faults, print what follows from its numbers
//   cowlwright run my-cowl.toml      mesh, solve, extract, compare
#include "cases/run/process.h"
#include "cases/verbs/verbs.h"
#include "geometry/base/error.h"
#include "geometry/base/version.h"

#include <fmt/format.h>

#include <algorithm>
#include <exception>
#include <string>

namespace {

using namespace cowlwright;

std::string overview() {
  std::string text =
      "cowlwright: the cooling air of a cowled, air-cooled engine, from a study file to a table that "
      "compares variants.\n\n"
      "  cowlwright VERB FILE [options]\n\n";
  for (const verbs::Verb& verb : verbs::all_verbs())
    if (!verb.summary.empty()) text += fmt::format("  {:<9}  {}\n", verb.name, verb.summary);
  text +=
      "\n  cowlwright VERB --help   options and examples of a verb\n"
      "  cowlwright --version\n\n"
      "Examples\n"
      "  cowlwright new my-cowl.toml\n"
      "  cowlwright check my-cowl.toml\n"
      "  cowlwright run my-cowl.toml\n\n"
      "Exit codes: 0 all well; 2 a fault in the study or the command line; 3 OpenFOAM or the system failed;\n"
      "4 a check on a result failed; 130 stopped by Ctrl-C; 1 a fault of this program.\n\n"
      "Results are estimates, not approvals: instrument the aircraft and flight-test. The engine maker's "
      "limits, local\n"
      "codes and licensed people decide.\n";
  return text;
}

int act(const verbs::Words& words) {
  if (words.empty()) throw base::InputError(fmt::format("cowlwright: no verb given.\n\n{}", overview()));
  if (words.front() == "--help" || words.front() == "-h") {
    fmt::print("{}", overview());
    return 0;
  }
  if (words.front() == "--version") {
    fmt::print("cowlwright {}\n", base::program_version);
    return 0;
  }
  const std::vector<verbs::Verb>& all = verbs::all_verbs();
  const auto verb =
      std::find_if(all.begin(), all.end(), [&](const auto& v) { return v.name == words.front(); });
  if (verb == all.end()) {
    throw base::InputError(
        fmt::format("cowlwright: unknown verb {}. See `cowlwright --help`.", words.front()));
  }
  return verb->act({words.begin() + 1, words.end()});
}

int report(int code, const std::exception& error) {
  std::fflush(stdout);
  fmt::print(stderr, "{}\n", error.what());
  return code;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    return act({argv + 1, argv + argc});
  } catch (const base::InputError& error) {
    return report(2, error);
  } catch (const base::ExternalError& error) {
    return report(3, error);
  } catch (const base::ResultError& error) {
    return report(4, error);
  } catch (const run::Interrupted& error) {
    return report(run::interrupted_exit_code, error);
  } catch (const std::exception& error) {
    fmt::print(stderr, "A fault of this program, please report it: ");
    return report(1, error);
  }
}
