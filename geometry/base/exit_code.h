// SPDX-License-Identifier: GPL-3.0-or-later
//
// The exit code that goes with an error, where one is caught to be told later.
#pragma once

#include "geometry/base/error.h"

#include <exception>

namespace cowlwright::base {

/// 2 for an InputError, 4 for a ResultError, else 3: what the programs end with.
inline int exit_code_of(const std::exception& error) {
  if (dynamic_cast<const InputError*>(&error) != nullptr) return 2;
  if (dynamic_cast<const ResultError*>(&error) != nullptr) return 4;
  return 3;
}

}  // namespace cowlwright::base
