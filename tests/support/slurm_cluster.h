// SPDX-License-Identifier: GPL-3.0-or-later
//
// A real Slurm of three nodes on this machine, for as long as the object lives: tests/support/slurm_cluster.
#pragma once

#include "tests/support/scratch_folder.h"

#include <sys/types.h>

#include <string>

namespace cowlwright::testing_support {

/// Empty when Slurm's programs are installed; otherwise what is missing and what to do.
const std::string& why_slurm_does_not_run();

class SlurmCluster {
 public:
  /// Starts it and sets SLURM_CONF for this process. @throws std::runtime_error  with the daemons' messages.
  explicit SlurmCluster(int cpus_of_a_node);
  ~SlurmCluster();
  SlurmCluster(const SlurmCluster&) = delete;
  SlurmCluster& operator=(const SlurmCluster&) = delete;

  /// Kills a node's daemon and all that its jobs run, at once.
  void lose(const std::string& node) const;
  /// Messages of controller and nodes, for failures.
  std::string log() const;

 private:
  ScratchFolder folder_;
  pid_t process_ = -1;
};

}  // namespace cowlwright::testing_support
