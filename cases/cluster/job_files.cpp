// SPDX-License-Identifier: GPL-3.0-or-later
//
// Texts of the shell files.
#include "cases/cluster/job_files.h"

#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <regex>

namespace cowlwright::cluster {
namespace {

namespace fs = std::filesystem;

std::string directive(std::string_view option, std::string_view value) {
  return value.empty() ? "" : fmt::format("#SBATCH --{}={}\n", option, value);
}

/// What all jobs have, and `more`. The site's own come last: of an option given twice Slurm takes the last.
std::string directives(const std::string& name,
                       const std::string& log,
                       const std::string& more,
                       const Site& site) {
  std::string text = "#!/bin/bash\n" + directive("job-name", "cowl-" + name) + directive("output", log) +
                     directive("open-mode", "append") + directive("partition", site.partition) +
                     directive("account", site.account) + directive("time", site.time_limit) +
                     directive("nodes", "1") + more + "#SBATCH --requeue\n" +
                     directive("signal", fmt::format("B:TERM@{}", site.stop_before));
  for (const std::string& own : site.directives) text += fmt::format("#SBATCH {}\n", own);
  return text + "cd \"$SLURM_SUBMIT_DIR\"\n";
}

std::string memory_directive(double memory, const Site& site) {
  constexpr double mebibyte = 1024.0 * 1024.0;
  const double wanted = std::ceil(site.memory_margin * memory / mebibyte);
  return wanted > 0.0 ? directive("mem", fmt::format("{:.0f}M", wanted)) : "";
}

std::string array_text(const JobArray& array, const Site& site) {
  const std::string throttle =
      site.jobs_at_a_time > 0 ? fmt::format("%{}", site.jobs_at_a_time) : std::string();
  const std::string more = directive("ntasks", fmt::format("{}", array.ranks)) +
                           directive("array", fmt::format("0-{}{}", array.tasks.size() - 1, throttle)) +
                           memory_directive(array.memory, site);
  return directives(array.name, array.name + "_%a.log", more, site) +
         fmt::format("exec bash ./task.sh {}.tasks {}\n",
                     array.name,
                     array.kind == base::TaskKind::Mesh ? "mesh" : "solve");
}

/// "<number> <log's name>" a line; the job's number within its array, from 0, says which.
std::string tasks_text(const JobArray& array, const base::Sweep& sweep) {
  std::string text;
  for (const std::size_t task : array.tasks) {
    const std::string suffix = array.kind == base::TaskKind::Mesh ? ".mesh" : "";
    text += fmt::format("{} {}{}\n", task, sweep.tasks[task].case_folder, suffix);
  }
  return text;
}

std::string environment_text(const Site& site) {
  std::string text;
  for (const std::string& module : site.modules)
    text += fmt::format("module load {} || exit 3\n", shell_word(module));
  for (const std::string& line : site.setup) text += line + "\n";
  return text.empty() ? "" : "# What the site wants before its programs run.\n" + text + "\n";
}

constexpr const char* task_script = R"sh(
output=$(dirname "$PWD")
read -r task name < <(sed -n "$((SLURM_ARRAY_TASK_ID + 1))p" "$1")
mkdir -p "$output/logs"
exec >>"$output/logs/$name.log" 2>&1
echo "$name: job $SLURM_JOB_ID on $SLURMD_NODENAME, attempt $((${SLURM_RESTART_COUNT:-0} + 1)), $(date '+%F %T')"

# Runs a program to its end and hands SIGTERM on to it; Slurm sends that before the time limit and on preemption.
is_told=no
child=
trap 'is_told=yes; [ -n "$child" ] && kill -TERM "$child" 2>/dev/null' TERM
follow() {
  "$@" &
  child=$!
  while kill -0 "$child" 2>/dev/null; do wait "$child"; done
  wait "$child"
  code=$?
  child=
}

follow "$cowlwright" task "$output" "$task"
ended=$code
if [ "$ended" = 130 ]; then
  # Stopped in good order. Preempted or cancelled: Slurm knows what comes next. At its time limit: back to the queue.
  if [ "$(squeue --noheader --jobs="$SLURM_JOB_ID" --format=%T)" = RUNNING ]; then
    if [ "$2" = mesh ]; then
      echo "$name: meshing takes longer than the time limit and would begin anew: give it a longer one."
    elif [ "${SLURM_RESTART_COUNT:-0}" -ge "$most_restarts" ]; then
      echo "$name: has been started again $most_restarts times: see what it does, or raise most_restarts."
    else
      echo "$name: goes on in another job."
      trap '' TERM
      scontrol requeue "$SLURM_JOB_ID" && exit 0
    fi
  fi
  exit "$ended"
fi
[ "$2" = solve ] && [ "$is_told" = no ] && follow "$cowlwright" tables "$output" --turn
exit "$ended"
)sh";

std::string task_text(const Site& site, const std::string& program) {
  return "#!/bin/bash\n"
         "# One task of the study: what a job of an array does, in the folder of this file.\n"
         "#     task.sh TASKS mesh|solve\n\n" +
         environment_text(site) +
         fmt::format("cowlwright={}\nmost_restarts={}\n", shell_word(program), site.most_restarts) +
         task_script;
}

std::string report_text(const Site& site, const JobFiles& files) {
  return directives("report", "report.log", directive("ntasks", "1"), site) + environment_text(site) +
         fmt::format("{} tables \"$(dirname \"$PWD\")\"{}\ncode=$?\nrm -f {}\nexit $code\n",
                     shell_word(files.program),
                     files.makes_report ? " --report" : "",
                     jobs_file_name);
}

/// Name of an array's job id in submit.sh.
std::string id_of(std::size_t array) {
  return fmt::format("id_{}", array);
}

std::string after_any(const std::vector<std::size_t>& arrays) {
  std::string text;
  for (const std::size_t array : arrays) text += fmt::format(":${}", id_of(array));
  return text.empty() ? "" : fmt::format("--dependency=afterany{} ", text);
}

std::string submit_text(const std::vector<JobArray>& arrays, const base::Sweep& sweep) {
  std::string text = fmt::format(R"sh(#!/bin/bash
# Hands the study "{}" in to Slurm. Written by cowlwright {}; edit these files as the site wants and run this one by
# hand, or let `cowlwright run --on slurm` write them anew and run it.
set -eu
cd "$(dirname "$(readlink -f "$0")")"
if [ -e {jobs} ]; then
  echo "$PWD/{jobs}: names jobs that were handed in before. Remove it when squeue shows none of them." >&2
  exit 2
fi
# One that is refused takes back those before it.
trap '[ -e {jobs} ] && cut -d " " -f 2 {jobs} | xargs -r scancel; rm -f {jobs}' EXIT
hand_in() {{  # NAME [option of sbatch]...
  local name=$1
  shift
  id=$(sbatch --parsable "$@" "$name.sh")
  id=${{id%%;*}}
  echo "$name $id" >>{jobs}
  echo "$name: job $id"
}}
)sh",
                                 std::regex_replace(sweep.study, std::regex("[\r\n]"), " "),
                                 sweep.program_version,
                                 fmt::arg("jobs", jobs_file_name));
  std::vector<std::size_t> all;
  for (std::size_t i = 0; i < arrays.size(); ++i) {
    text += fmt::format("hand_in {} {}\n{}=$id\n", arrays[i].name, after_any(arrays[i].after), id_of(i));
    all.push_back(i);
  }
  return text + fmt::format("hand_in report {}\ntrap - EXIT\n", after_any(all));
}

}  // namespace

std::string shell_word(std::string_view text) {
  std::string word = "'";
  for (const char c : text) word += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return word + "'";
}

std::vector<JobArray> write_job_files(const fs::path& output,
                                      const base::Sweep& sweep,
                                      const Site& site,
                                      const JobFiles& files) {
  const fs::path folder = output / job_folder_name;
  std::error_code error;
  fs::create_directories(folder, error);
  if (error) {
    throw base::ExternalError(fmt::format(
        "{}: cannot be made: {}. Check the folder and its permissions.", folder.string(), error.message()));
  }
  const std::vector<JobArray> arrays = job_arrays(sweep, site);
  for (const JobArray& array : arrays) {
    base::write_text(folder / (array.name + ".sh"), array_text(array, site));
    base::write_text(folder / (array.name + ".tasks"), tasks_text(array, sweep));
  }
  base::write_text(folder / "task.sh", task_text(site, files.program));
  base::write_text(folder / "report.sh", report_text(site, files));
  base::write_text(folder / "submit.sh", submit_text(arrays, sweep));
  return arrays;
}

}  // namespace cowlwright::cluster
