// SPDX-License-Identifier: GPL-3.0-or-later
//
// The script as a child process.
#include "tests/support/slurm_cluster.h"

#include <fcntl.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <thread>

namespace cowlwright::testing_support {

const std::string& why_slurm_does_not_run() {
  static const std::string reason = [] {
    for (const char* program : {"munged", "slurmctld", "slurmd"}) {
      if (!std::filesystem::exists(std::string("/usr/sbin/") + program)) {
        return std::string("/usr/sbin/") + program +
               ": is not there: needs Debian's packages slurm-wlm and munge. Run scripts/bootstrap run test.";
      }
    }
    return std::string{};
  }();
  return reason;
}

SlurmCluster::SlurmCluster(int cpus_of_a_node) {
  const std::string folder = (folder_.path() / "slurm").string();
  const std::string printed = (folder_.path() / "printed").string();
  const std::string cpus = std::to_string(cpus_of_a_node);
  process_ = fork();
  if (process_ == 0) {
    prctl(PR_SET_PDEATHSIG, SIGTERM);
    const int file = open(printed.c_str(), O_WRONLY | O_CREAT, 0644);
    dup2(file, STDOUT_FILENO);
    dup2(file, STDERR_FILENO);
    execl(COWLWRIGHT_SLURM_CLUSTER, COWLWRIGHT_SLURM_CLUSTER, folder.c_str(), cpus.c_str(), nullptr);
    _exit(127);
  }
  int status = 0;
  while (text_of(printed).find("ready\n") == std::string::npos) {
    if (process_ < 0 || waitpid(process_, &status, WNOHANG) == process_) {
      process_ = -1;
      throw std::runtime_error("Slurm did not start: " + text_of(printed));
    }
    std::this_thread::sleep_for(std::chrono::milliseconds(50));
  }
  setenv("SLURM_CONF", (folder + "/slurm.conf").c_str(), 1);
}

SlurmCluster::~SlurmCluster() {
  unsetenv("SLURM_CONF");
  if (process_ < 0) return;
  kill(process_, SIGTERM);
  waitpid(process_, nullptr, 0);
}

void SlurmCluster::lose(const std::string& node) const {
  const std::string command =
      std::string(COWLWRIGHT_SLURM_CLUSTER) + " " + (folder_.path() / "slurm").string() + " lose " + node;
  if (std::system(command.c_str()) != 0) throw std::runtime_error(command + " failed");
}

std::string SlurmCluster::log() const {
  std::string text;
  for (const char* name : {"slurmctld.log", "slurmd-node1.log", "slurmd-node2.log", "slurmd-node3.log"}) {
    text += std::string(name) + "\n" + text_of(folder_.path() / "slurm" / name);
  }
  return text;
}

}  // namespace cowlwright::testing_support
