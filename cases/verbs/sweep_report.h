// SPDX-License-Identifier: GPL-3.0-or-later
//
// A planned sweep in words.
#pragma once

#include "cases/verbs/plan_sweep.h"

#include <string>

namespace cowlwright::verbs {

/// One line a case: what is to be done and why, cells, start, ranks, times of mesh and solve, and when it
/// begins and ends. A case that cannot be built has its reason.
std::string case_table(const SweepPlan& plan);

/// How long, how well, how much memory and disk; how sure.
std::string sweep_summary(const SweepPlan& plan, const run::Machine& machine, const run::ScalingModel& model);

}  // namespace cowlwright::verbs
