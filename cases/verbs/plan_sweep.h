// SPDX-License-Identifier: GPL-3.0-or-later
//
// From a study to the sweep of tasks that is left to do: what stands of each case, what has to be made, from
// where it starts, on how many ranks.
#pragma once

#include "cases/run/packing.h"
#include "cases/run/resumption.h"
#include "cases/study.h"
#include "cases/verbs/command_line.h"
#include "geometry/base/sweep.h"

#include <cstddef>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace cowlwright::verbs {

struct PlanOptions {
  std::vector<std::size_t> variants{};  ///< indices into Study::variants
  std::filesystem::path output{};
  run::Machine machine{};
  run::ScalingModel model{};
  int ranks = 0;        ///< of every solve; 0: the study's, or chosen
  bool fresh = false;   ///< nothing of earlier runs stands
  bool writes = false;  ///< writes the files of the cases that need it; false: the disk stays as it is
  std::vector<std::string> launcher{};  ///< base::Sweep::launcher
  std::function<void(const std::string&)>
      on_variant{};  ///< called with the name of one whose cases are built
};

struct PlannedCase {
  std::string folder;
  std::size_t variant = 0;  ///< index into Study::variants
  base::StepKeys keys{};
  run::WorkLeft left{};
  double cells = 0.0;  ///< expected
  double iterations = 0.0;
  int ranks = 0;             ///< that the study or the user wants; 0: chosen
  std::string start_from{};  ///< case folder; empty: still air
  bool is_begun = false;     ///< its solver has a field to go on from: it waits for no start
  std::string failure{};     ///< why its files cannot be made; it has no task then
  int failure_code = 0;
};

struct SweepPlan {
  base::Sweep sweep;
  std::vector<PlannedCase> cases;  ///< in the tasks' order
  run::Schedule schedule;          ///< of sweep.tasks
};

/// Plans a study. Cases whose values and program are those their files were written from are not built again.
/// @throws InputError     when a case needs more memory than there is.
/// @throws ExternalError  when a case's files cannot be written, or another works in its folder.
SweepPlan plan_sweep(const Study& study, const PlanOptions& options);

/// This machine, or what --cores and --memory make of it.
run::Machine machine_of(const Request& request, const std::filesystem::path& output);

/// Sums over the tasks that are to be done.
struct Needs {
  double disk = 0.0;    ///< left behind [bytes]
  double memory = 0.0;  ///< most at a time by the schedule [bytes]
};
Needs needs_of(const SweepPlan& plan);

/// @throws InputError  when the disk has not the room for what the tasks leave behind.
void require_disk(const SweepPlan& plan, const run::Machine& machine, const std::filesystem::path& output);

}  // namespace cowlwright::verbs
