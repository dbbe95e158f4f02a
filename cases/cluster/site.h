// SPDX-License-Identifier: GPL-3.0-or-later
//
// Site profile: a small TOML file with what a cluster wants of its jobs. Written once for a cluster, used by
// every study there.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::cluster {

/// Every member may be left out of the file.
struct Site {
  // [slurm]
  std::string partition{};   ///< empty: the cluster's default
  std::string account{};     ///< empty: the user's default
  std::string time_limit{};  ///< of each job, as Slurm writes it: "12:00:00", "2-00:00:00"; empty: the
                             ///< partition's
  int stop_before = 120;  ///< [s] before the limit a task is asked to stop, so that it writes its field and
                          ///< goes back to the queue
  std::vector<std::string> directives{};  ///< further options of sbatch, one text each: "--qos=long"
  int cores = 64;                         ///< that a study may count on at a time; ranks are chosen by them
  int jobs_at_a_time = 0;                 ///< most jobs of one array that run at a time; 0: no bound
  int array_size = 1000;       ///< most jobs of one array: at most the cluster's MaxArraySize less 1
  int most_restarts = 20;      ///< a job at its time limit goes back to the queue this many times
  double memory_margin = 2.0;  ///< a job asks for this many times the expected memory; 0: asks for none
  // [task]
  int ranks = 0;                        ///< of each solver; 0: chosen for the study
  std::vector<std::string> modules{};   ///< to load, in order
  std::vector<std::string> setup{};     ///< lines of shell before the task: "source /apps/openfoam/bashrc"
  std::vector<std::string> launcher{};  ///< words that start MPI ranks, "{ranks}" for their number; empty:
                                        ///< mpirun as Debian's Open MPI wants it
};

/// @throws InputError  every fault of the file in one go, "file:line:column: ...".
Site read_site(const std::filesystem::path& file);

/// The same from text; `name` stands for the file in messages.
Site parse_site(std::string_view text, const std::string& name);

/// Seconds of a time as Slurm writes it: "minutes", "minutes:seconds", "hours:minutes:seconds", "days-hours",
/// "days-hours:minutes", "days-hours:minutes:seconds" (sbatch(1), option --time); -1 for another text.
double limit_seconds(std::string_view text);

}  // namespace cowlwright::cluster
