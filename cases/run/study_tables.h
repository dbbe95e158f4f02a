// SPDX-License-Identifier: GPL-3.0-or-later
//
// The study's tables while its cases end one by one: written again by whoever has just ended one.
#pragma once

#include "geometry/base/sweep.h"

#include <filesystem>
#include <string>
#include <vector>

namespace cowlwright::run {

enum class TablesKind {
  Tables,  ///< results.json and what is printed from it
  Report   ///< the same, pictures and the page
};

/// Runs cowlpost over the cases of a sweep that have ended, well or not, in the study's order, one writer at
/// a time: others wait up to ten minutes for the tables' lock.
/// @param log  takes what cowlpost prints, made anew; empty: it goes where ours goes.
/// @return cowlpost's exit code; 0 without running it while no case is solved.
/// @throws ExternalError  when the lock is held too long, or cowlpost cannot be started.
int write_tables(const std::filesystem::path& output,
                 const base::Sweep& sweep,
                 TablesKind kind,
                 const std::vector<std::string>& environment,
                 const std::filesystem::path& log = {});

/// The tables alone, for one of many processes that end cases: does nothing when another already waits for
/// its turn, since that one will see the case too. At most one waits, whatever number ends at once.
/// @return as write_tables().
int write_tables_in_turn(const std::filesystem::path& output,
                         const base::Sweep& sweep,
                         const std::vector<std::string>& environment);

/// Name of the lock of whoever waits for the tables' lock, in the output folder.
inline constexpr const char* tables_turn_name = "tables-turn.lock";

}  // namespace cowlwright::run
