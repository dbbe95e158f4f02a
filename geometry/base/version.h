// SPDX-License-Identifier: GPL-3.0-or-later
//
// The toolkit's version, the same for both programs. COWLWRIGHT_VERSION comes from the build.
#pragma once

namespace cowlwright::base {

inline constexpr const char* program_version = COWLWRIGHT_VERSION;

}  // namespace cowlwright::base
