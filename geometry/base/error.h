// SPDX-License-Identifier: GPL-3.0-or-later
//
// The three ways an outside fault can end a task. Bugs of ours are assertions, never exceptions.
// Every message reads "where: what = value unit: rule with its bound. What to do."
#pragma once

#include <stdexcept>

namespace cowlwright::base {

/// The user can mend it in a file or an option. Programs end with exit code 2.
class InputError : public std::runtime_error {
  using std::runtime_error::runtime_error;
};

/// OpenFOAM, another program or the system failed; the message names command, exit code and log. Exit code 3.
class ExternalError : public std::runtime_error {
  using std::runtime_error::runtime_error;
};

/// A computation ended, but a check on its result failed. Exit code 4.
class ResultError : public std::runtime_error {
  using std::runtime_error::runtime_error;
};

}  // namespace cowlwright::base
