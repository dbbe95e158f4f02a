// SPDX-License-Identifier: GPL-3.0-or-later
//
// One of our programs as a user starts it: in a folder, with an environment.
#pragma once

#include "tests/support/scratch_folder.h"

#include <sys/wait.h>

#include <cstdlib>
#include <string>

namespace cowlwright::post::synthetic {

struct Outcome {
  int exit_code = -1;  ///< -1 when a signal ended it
  std::string out;
  std::string err;
};

/// @param command  name of the program and its words, as typed.
/// @param environment  "NAME=value ..." in front of them.
inline Outcome run_in(const testing_support::ScratchFolder& folder,
                      const std::string& command,
                      const std::string& environment) {
  const std::string out = (folder.path() / "out.txt").string();
  const std::string err = (folder.path() / "err.txt").string();
  const std::string line = "cd '" + folder.path().string() + "' && " + environment +
                           " '" COWLWRIGHT_BIN "'/" + command + " >'" + out + "' 2>'" + err + "'";
  const int status = std::system(line.c_str());
  return {WIFEXITED(status) ? WEXITSTATUS(status) : -1,
          testing_support::text_of(out),
          testing_support::text_of(err)};
}

}  // namespace cowlwright::post::synthetic
