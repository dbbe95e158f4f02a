// SPDX-License-Identifier: GPL-3.0-or-later
//
// The verbs of the program `cowlwright`. Each prints to stdout, returns the program's exit code and throws
// Input-, External- or ResultError, or run::Interrupted.
#pragma once

#include <string>
#include <vector>

namespace cowlwright::verbs {

using Words = std::vector<std::string>;

int new_study(const Words& words);       ///< writes a commented starter file
int check_study(const Words& words);     ///< every complaint and the derived numbers, no solver
int estimate_study(const Words& words);  ///< the lumped network's answer in a second
int write_shapes(const Words& words);    ///< surfaces only
int map_envelope(const Words& words);    ///< margins over speed, altitude, day and power
int prepare(const Words& words);         ///< case folders that run by hand
int compare_studies(
    const Words& words);             ///< what differs between two installations, and what each detail brings
int plan_study(const Words& words);  ///< what run_study would do
int run_study(const Words& words);   ///< everything, to the summary table
int do_task(const Words& words);     ///< one task of a study's sweep, for machines
int write_study_tables(const Words& words);  ///< tables of the cases that have ended, again
int show_status(const Words& words);         ///< how the cases of a study stand
int tidy_output(const Words& words);         ///< disk space of solved cases
int export_study(const Words& words);        ///< a study with its results in one file
int verify_archive(const Words& words);      ///< whether such a file is whole
int inspect_surface(const Words& words);     ///< what a user's surface is and what is wrong with it
int repair_surface(const Words& words);      ///< a user's surface: mended or wrapped, deviation measured
int write_templates(const Words& words);     ///< section outlines and flat patterns
int check_mold(const Words& words);          ///< what a mold maker needs to know of a surface
int keep_readings(const Words& words);       ///< steady moments of a flight log

struct Verb {
  std::string name;
  std::string summary;
  int (*act)(const Words&);
};

/// All of them, in the order of work; those that only machines call come last and have no summary.
const std::vector<Verb>& all_verbs();

}  // namespace cowlwright::verbs
