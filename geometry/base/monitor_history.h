// SPDX-License-Identifier: GPL-3.0-or-later
//
// Histories over the solver's iterations: the tables its function objects write below postProcessing/.
#pragma once

#include "geometry/base/manifest.h"

#include <filesystem>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::base {

/// One quantity over the iterations, in rising order of iteration.
struct History {
  std::vector<double> time;   ///< iteration
  std::vector<double> value;  ///< one column of the table, unit as the solver writes it
  int digits = 0;             ///< significant digits printed, of the most precise line

  bool is_empty() const { return time.empty(); }
};

/// Lines "time value..." of one table; "#" starts a comment. Where a column is chosen, brackets round vectors
/// count as spaces. A last
/// line without line end is left out: the solver is still writing it. When iterations start again from an
/// earlier one, the later lines hold.
///
/// @param name    stands for the file in messages.
/// @param column  of the numbers behind the time, from 1; 0: the last.
/// @throws ResultError  when a line has no number in its first column or in that one.
History parse_history(std::string_view text, const std::string& name, int column = 0);

/// Joins a later table to an earlier one: from the later one's first iteration on, the later one holds.
History join_histories(History earlier, const History& later);

/// The tables a monitor has written, oldest start first.
std::vector<std::filesystem::path> monitor_tables(const std::filesystem::path& case_dir,
                                                  const MonitorRecord& monitor);

/// The whole history of a monitor, over all start times. After a restart the later start wins. Empty when the
/// monitor has written nothing.
/// @throws ResultError  as parse_history.
History read_history(const std::filesystem::path& case_dir, const MonitorRecord& monitor);

/// Histories side by side, at the iterations that all of them have.
struct AlignedHistories {
  std::vector<double> iteration;            ///< rising
  std::vector<std::vector<double>> values;  ///< (n_histories) of (n_iterations)
};
AlignedHistories align(std::span<const History* const> histories);

/// Whether a history stops more than one of its own steps before `newest`: its monitor was lost on the way.
/// One step is usual while the solver writes.
bool ends_early(const History& history, double newest);

}  // namespace cowlwright::base
