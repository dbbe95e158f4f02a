// SPDX-License-Identifier: GPL-3.0-or-later
//
// Handing a study in to Slurm, and whether its jobs are still there.
#pragma once

#include "cases/cluster/site.h"
#include "geometry/base/sweep.h"

#include <filesystem>
#include <vector>

namespace cowlwright::cluster {

/// Jobs of a study's folder go by the numbers in its sweep.json, so nobody may write that anew while one of
/// them waits or runs. Forgets them when none is left.
/// @throws ExternalError  when some are left, or Slurm cannot be asked while a list of them is there.
void require_no_jobs(const std::filesystem::path& output);

/// How a study is handed in.
struct HandIn {
  bool write_only = false;   ///< writes the jobs' files and runs nothing
  bool makes_report = true;  ///< the last job makes pictures and page, not the tables alone
};

/// Writes the jobs' files and runs submit.sh. Prints what it hands in.
/// @throws ExternalError  when sbatch refuses a job (those before it are then taken back), or cannot be
/// started.
void submit(const std::filesystem::path& output,
            const base::Sweep& sweep,
            const Site& site,
            const HandIn& how);

}  // namespace cowlwright::cluster
