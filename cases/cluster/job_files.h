// SPDX-License-Identifier: GPL-3.0-or-later
//
// The shell files by which a study is handed to Slurm, for a site to read and to edit: OUT/slurm/submit.sh,
// task.sh, and for each array its directives (<array>.sh) and its tasks (<array>.tasks).
#pragma once

#include "cases/cluster/job_arrays.h"
#include "cases/cluster/site.h"
#include "geometry/base/sweep.h"

#include <filesystem>
#include <string>
#include <vector>

namespace cowlwright::cluster {

/// Folder of the files, below a study's output folder.
inline constexpr const char* job_folder_name = "slurm";
/// In that folder: "<array> <job id>" a line, of the jobs handed in and not ended; the last job removes it.
inline constexpr const char* jobs_file_name = "jobs.txt";

struct JobFiles {
  std::string program;       ///< path of `cowlwright` on the cluster's nodes
  bool makes_report = true;  ///< the last job makes pictures and page, not the tables alone
};

/// Writes all files anew.
/// @return the arrays that submit.sh hands in.
/// @throws ExternalError  when a file cannot be written.
std::vector<JobArray> write_job_files(const std::filesystem::path& output,
                                      const base::Sweep& sweep,
                                      const Site& site,
                                      const JobFiles& files);

/// A text as one word of the shell.
std::string shell_word(std::string_view text);

}  // namespace cowlwright::cluster
