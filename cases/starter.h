// SPDX-License-Identifier: GPL-3.0-or-later
//
// The study file that `cowlwright new` writes: a complete, runnable example whose comments explain each key.
#pragma once

#include <string>

namespace cowlwright {

/// TOML text of an invented four-cylinder installation with three exit lips, accepted by parse_study().
std::string starter_study_text();

}  // namespace cowlwright
