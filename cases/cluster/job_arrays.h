// SPDX-License-Identifier: GPL-3.0-or-later
//
// A sweep's tasks as job arrays: jobs that differ in nothing but their case.
#pragma once

#include "cases/cluster/site.h"
#include "geometry/base/sweep.h"

#include <cstddef>
#include <string>
#include <vector>

namespace cowlwright::cluster {

/// Tasks of one kind, one number of ranks, and one level: none waits for another of its array.
struct JobArray {
  std::string name;  ///< safe as a file name: "mesh", "solve-level-1-ranks-2"
  base::TaskKind kind = base::TaskKind::Solve;
  int ranks = 1;
  std::vector<std::size_t> tasks{};  ///< indices into Sweep::tasks, in their order
  std::vector<std::size_t> after{};  ///< arrays that must have ended, indices smaller than this one's
  double memory = 0.0;               ///< of the task that is expected to need most [bytes]; 0: not known
};

/// Arrays of the tasks that are not done, each after those it waits for; none with more than
/// site.array_size.
std::vector<JobArray> job_arrays(const base::Sweep& sweep, const Site& site);

}  // namespace cowlwright::cluster
