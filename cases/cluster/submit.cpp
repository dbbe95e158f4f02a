// SPDX-License-Identifier: GPL-3.0-or-later
//
// submit.sh and squeue, as child programs.
#include "cases/cluster/job_files.h"
#include "cases/cluster/jobs.h"
#include "cases/run/process.h"
#include "geometry/base/error.h"
#include "geometry/base/sister_program.h"
#include "geometry/base/temporary_folder.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <unistd.h>

#include <set>
#include <sstream>
#include <string>

namespace cowlwright::cluster {
namespace {

namespace fs = std::filesystem;

std::vector<std::string> our_environment() {
  std::vector<std::string> environment;
  for (char** entry = environ; *entry != nullptr; ++entry) environment.emplace_back(*entry);
  return environment;
}

/// What a program printed, and how it ended.
struct Answer {
  run::Ending ending;
  std::string text;
};

Answer ask(const std::vector<std::string>& words, const fs::path& directory) {
  const base::TemporaryFolder scratch("slurm");
  const run::Command command{.words = words,
                             .directory = directory,
                             .log = scratch.path() / "answer",
                             .environment = our_environment()};
  const run::Ending ending = run::run_process(command);
  return {ending, base::read_text(command.log)};
}

/// Ids of a jobs.txt.
std::vector<std::string> listed_jobs(const fs::path& file) {
  std::istringstream lines(base::read_text(file));
  std::vector<std::string> ids;
  for (std::string name, id; lines >> name >> id;) ids.push_back(id);
  return ids;
}

/// Ids of all jobs the user has in the queue, of an array one id.
std::set<std::string> queued_jobs(const fs::path& file) {
  const std::vector<std::string> words{"squeue", "--noheader", "--me", "--format=%F"};
  const auto refuse = [&](const std::string& why) {
    throw base::ExternalError(fmt::format(
        "{}: names jobs, and Slurm cannot be asked about them: {}. Ask again on a machine of the cluster, or "
        "remove the file when they have ended.",
        file.string(),
        why));
  };
  Answer answer;
  try {
    answer = ask(words, {});
  } catch (const base::ExternalError& error) {
    refuse(error.what());
  }
  if (answer.ending.exit_code != 0) {
    refuse(fmt::format("{} ended with exit code {}: {}",
                       run::command_text(words),
                       answer.ending.exit_code,
                       answer.text.substr(0, answer.text.find('\n'))));
  }
  std::istringstream lines(answer.text);
  std::set<std::string> ids;
  for (std::string id; lines >> id;) ids.insert(id);
  return ids;
}

void print_arrays(const std::vector<JobArray>& arrays, const fs::path& folder) {
  for (const JobArray& array : arrays) {
    fmt::print("{}: {} jobs of {} {}{}\n",
               array.name,
               array.tasks.size(),
               array.ranks,
               array.ranks == 1 ? "core" : "cores",
               array.after.empty() ? "" : ", after others");
  }
  fmt::print("Files of the jobs are in {}\n", folder.string());
  std::fflush(stdout);
}

}  // namespace

void require_no_jobs(const fs::path& output) {
  const fs::path file = output / job_folder_name / jobs_file_name;
  if (!fs::exists(file)) return;
  const std::set<std::string> queued = queued_jobs(file);
  std::vector<std::string> left;
  for (const std::string& id : listed_jobs(file)) {
    if (queued.contains(id)) left.push_back(id);
  }
  if (!left.empty()) {
    throw base::ExternalError(fmt::format(
        "{}: {} of its jobs are in Slurm's queue or at work: {}. Wait until they have ended, or take them "
        "back with `scancel {}`.",
        output.string(),
        left.size(),
        fmt::join(left, ", "),
        fmt::join(left, " ")));
  }
  fs::remove(file);
}

void submit(const fs::path& output, const base::Sweep& sweep, const Site& site, const HandIn& how) {
  require_no_jobs(output);
  const fs::path folder = output / job_folder_name;
  const JobFiles files{.program = base::sister_program("cowlwright"), .makes_report = how.makes_report};
  print_arrays(write_job_files(output, sweep, site, files), folder);
  const std::vector<std::string> words{"bash", (folder / "submit.sh").string()};
  if (how.write_only) {
    fmt::print("Nothing is handed in. Read and edit them, then run\n  {}\n", run::command_text(words));
    return;
  }
  const Answer answer = ask(words, {});
  if (answer.ending.exit_code != 0) {
    throw base::ExternalError(fmt::format(
        "{} ended with exit code {}: {}\nNo job is left of it. Correct the site profile or the files "
        "in {}.",
        run::command_text(words),
        answer.ending.exit_code,
        answer.text,
        folder.string()));
  }
  fmt::print("{}", answer.text);
}

}  // namespace cowlwright::cluster
