// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `tables`: the tables of a study's cases that have ended, as a cluster's jobs write them again.
#include "cases/run/openfoam.h"
#include "cases/run/study_tables.h"
#include "cases/verbs/verbs.h"
#include "cases/verbs/words.h"
#include "geometry/base/error.h"

#include <fmt/format.h>

namespace cowlwright::verbs {

namespace options = boost::program_options;

int write_study_tables(const Words& words) {
  options::options_description visible("Options", 100);
  auto add = visible.add_options();
  add("help,h", "print this and end");
  add("report", "pictures and the page too");
  add("turn", "leave it to another process when one already waits to write them");
  const options::variables_map values = read_words("tables", visible, words);
  constexpr const char* purpose =
      "cowlwright tables FOLDER [options]\n\n"
      "Writes the tables of a study's output folder again, from the cases that have ended. The jobs of a "
      "cluster\n"
      "end with it; by hand it is of use after some of them were stopped.\n\n";
  constexpr const char* examples =
      "\nExamples\n  cowlwright tables my-study\n  cowlwright tables my-study --report\n";
  if (has_told_help(values, purpose, visible, examples)) return 0;
  const std::filesystem::path output = required_file("tables", values, "FOLDER");
  const std::optional<base::Sweep> sweep = base::read_sweep(output);
  if (!sweep) {
    throw base::InputError(
        fmt::format("{}: has no {}: must be a study's output folder. Name the folder that `cowlwright run` "
                    "wrote to.",
                    output.string(),
                    base::sweep_file_name));
  }
  const std::vector<std::string> environment = run::openfoam_environment();
  if (values.count("turn") > 0) return run::write_tables_in_turn(output, *sweep, environment);
  const bool wants_report = values.count("report") > 0;
  return run::write_tables(
      output, *sweep, wants_report ? run::TablesKind::Report : run::TablesKind::Tables, environment);
}

}  // namespace cowlwright::verbs
