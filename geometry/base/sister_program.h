// SPDX-License-Identifier: GPL-3.0-or-later
//
// Where the other programs of this toolkit are.
#pragma once

#include <string>

namespace cowlwright::base {

/// One of our programs: beside the running one, else its bare name, which is looked up on PATH.
std::string sister_program(const std::string& name);

}  // namespace cowlwright::base
