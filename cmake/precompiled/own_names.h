// SPDX-License-Identifier: GPL-3.0-or-later
//
// Behind the test framework's headers: signal.h, which they include, makes macros of siginfo_t's members, and a parameter
// in geometry/base/units.h is named like one.
#pragma once

#undef si_value
