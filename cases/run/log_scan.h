// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a solver's log says about its own failure. Exit code and log are both checked after every command: a
// program can end with 0 after printing an error, and one that was killed often leaves the reason only in its
// log.
#pragma once

#include "cases/run/process.h"

#include <filesystem>
#include <istream>
#include <optional>
#include <string>

namespace cowlwright::run {

/// The first fault of a log.
struct LogFault {
  int line = 0;      ///< 1 is the first line
  std::string text;  ///< the fault in one line, as the log puts it
};

/// The first fault in a log: a fatal error (its explanation is gathered from the lines that follow), a
/// floating point exception, a segmentation fault, or a residual, continuity error or bound that is not a
/// number.
std::optional<LogFault> find_fault(std::istream& log);

/// True for a log line that reports a residual, continuity error or field bound that is not a finite number.
bool reports_non_finite(const std::string& line);

/// Checks a command that has ended.
/// @throws ExternalError  when its exit code is not 0 or its log has a fault: program, exit code or signal,
/// wall time,
///                        the log's line with file:line.
void require_success(const Command& command, const Ending& ending);

}  // namespace cowlwright::run
