// SPDX-License-Identifier: GPL-3.0-or-later
//
// Status as aligned text.
#include "cases/watch/status_text.h"

#include "cases/run/progress.h"
#include "geometry/base/units.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <vector>

namespace cowlwright::watch {
namespace {

using Cells = std::vector<std::string>;

struct Column {
  std::string_view heading;
  bool is_number;  ///< to the right
};

constexpr std::array<Column, 8> columns_of_table{{{"case", false},
                                                  {"state", false},
                                                  {"stage", false},
                                                  {"iteration", true},
                                                  {"deck dp [Pa]", true},
                                                  {"[inH2O]", true},
                                                  {"left", true},
                                                  {"on", false}}};

/// Bytes that begin a character.
std::size_t width_of(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(
      text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

std::string cut(const std::string& text, std::size_t width) {
  std::size_t n = 0;
  std::size_t end = 0;
  while (end < text.size()) {
    if ((static_cast<unsigned char>(text[end]) & 0xC0) != 0x80 && ++n > width) break;
    ++end;
  }
  return text.substr(0, end);
}

/// A pressure and, when it is known, its half band.
std::string pressure_text(const base::Progress& progress, std::string_view unit, int digits) {
  if (!progress.deck_pressure_difference) return "";
  const auto in = [&](double value) { return base::in_unit(value, unit, base::Dimension::Pressure); };
  const std::string text = fmt::format("{:.{}f}", in(*progress.deck_pressure_difference), digits);
  if (!progress.deck_pressure_difference_band) return text;
  return text + fmt::format(" ± {:.{}f}", in(*progress.deck_pressure_difference_band), digits);
}

std::string place(const base::Progress& progress) {
  return progress.ranks > 1 ? fmt::format("{} ({} ranks)", progress.host, progress.ranks) : progress.host;
}

/// The row's cells; the note follows behind them.
Cells cells_of(const CaseStatus& status) {
  Cells cells{status.case_folder, std::string(standing_name(status.standing)), "", "", "", "", "", ""};
  const bool is_waiting = status.standing == Standing::Waiting;
  if (is_waiting || !status.progress) return cells;
  const base::Progress& progress = *status.progress;
  const bool is_at_work = status.standing == Standing::Working || status.standing == Standing::Silent;
  if (status.standing != Standing::Solved) cells[2] = progress.stage;
  if (progress.iteration > 0) {
    cells[3] = status.standing == Standing::Solved
                   ? std::to_string(progress.iteration)
                   : fmt::format("{}/{}", progress.iteration, progress.last_iteration);
  }
  if (status.standing != Standing::Failed) {  // what a failing solver said last is no pressure
    cells[4] = pressure_text(progress, "Pa", 0);
    cells[5] = pressure_text(progress, "inH2O", 2);
  }
  if (status.standing == Standing::Working && progress.seconds_left)
    cells[6] = run::duration_text(*progress.seconds_left);
  if (is_at_work) cells[7] = place(progress);
  return cells;
}

/// Lines of heading and cases, aligned; empty columns are left out.
std::vector<std::string> table_lines(const std::vector<const CaseStatus*>& cases) {
  std::vector<Cells> rows{{}};
  for (const Column& column : columns_of_table) rows.front().emplace_back(column.heading);
  for (const CaseStatus* one : cases) rows.push_back(cells_of(*one));
  std::vector<std::string> lines(rows.size());
  for (std::size_t c = 0; c < columns_of_table.size(); ++c) {
    std::size_t width = 0;
    for (std::size_t r = 1; r < rows.size(); ++r) width = std::max(width, width_of(rows[r][c]));
    if (width == 0) continue;
    width = std::max(width, columns_of_table[c].heading.size());
    for (std::size_t r = 0; r < rows.size(); ++r) {
      const std::string gap(width - width_of(rows[r][c]), ' ');
      lines[r] +=
          (c == 0 ? "" : "  ") + (columns_of_table[c].is_number ? gap + rows[r][c] : rows[r][c] + gap);
    }
  }
  for (std::size_t r = 0; r < lines.size(); ++r) {
    lines[r].erase(lines[r].find_last_not_of(' ') + 1);
    if (r > 0 && !cases[r - 1]->note.empty()) lines[r] += "  " + cases[r - 1]->note;
  }
  return lines;
}

std::string left_text(const SweepStatus& status) {
  const TimeLeft& left = status.left;
  if (!(left.core_seconds > 0.0)) return "";
  const std::string source = left.n_measured > 0
                                 ? fmt::format("estimate, corrected by {} solved here", left.n_measured)
                                 : "estimate, not yet corrected by a case solved here";
  if (!left.seconds)
    return fmt::format("Work left: {} on one core ({}).", run::duration_text(left.core_seconds), source);
  return fmt::format("{} {}{} on {} {} ({}).",
                     status.is_at_rest() ? "Nothing is at work; to be done: about" : "About",
                     run::duration_text(*left.seconds),
                     status.is_at_rest() ? "" : " left",
                     left.cores,
                     left.cores == 1 ? "core" : "cores",
                     source);
}

std::vector<std::string> summary_lines(const SweepStatus& status) {
  std::string counts =
      fmt::format("{} {}:", status.cases.size(), status.cases.size() == 1 ? "case" : "cases");
  for (const Standing standing : {Standing::Solved,
                                  Standing::Working,
                                  Standing::Waiting,
                                  Standing::Failed,
                                  Standing::Stopped,
                                  Standing::Silent}) {
    const std::size_t n = status.count(standing);
    if (n > 0) counts += fmt::format("{} {} {}", counts.back() == ':' ? "" : ",", n, standing_name(standing));
  }
  std::vector<std::string> lines{counts + "."};
  const std::string left = left_text(status);
  if (!left.empty()) lines.push_back(left);
  if (status.count(Standing::Working) + status.count(Standing::Silent) + status.count(Standing::Stopped) > 0)
    lines.emplace_back("Readings of a case that is not solved are on their way, no results.");
  return lines;
}

std::string driver_text(const SweepStatus& status) {
  if (!status.driver.empty()) return "driven by " + status.driver;
  return status.has_jobs ? "handed in to a cluster, slurm/jobs.txt lists the jobs" : "no driver at work here";
}

std::vector<std::string> heading_lines(const SweepStatus& status) {
  return {status.study, driver_text(status)};
}

std::string joined(const std::vector<std::string>& lines) {
  std::string text;
  for (const std::string& line : lines) text += line + "\n";
  return text;
}

void append(std::vector<std::string>& lines, const std::vector<std::string>& more) {
  lines.insert(lines.end(), more.begin(), more.end());
}

/// What a watcher wants to see first.
int urgency(Standing standing) {
  switch (standing) {
    case Standing::Silent:
      return 0;
    case Standing::Failed:
      return 1;
    case Standing::Stopped:
      return 2;
    case Standing::Working:
      return 3;
    case Standing::Waiting:
      return 4;
    case Standing::Solved:
      return 5;
  }
  return 6;
}

std::vector<const CaseStatus*> pointers(const std::vector<CaseStatus>& cases) {
  std::vector<const CaseStatus*> all;
  for (const CaseStatus& one : cases) all.push_back(&one);
  return all;
}

}  // namespace

std::string status_text(const SweepStatus& status) {
  std::vector<std::string> lines = heading_lines(status);
  append(lines, table_lines(pointers(status.cases)));
  append(lines, summary_lines(status));
  return joined(lines);
}

std::string status_screen(const SweepStatus& status, std::size_t columns, std::size_t rows) {
  std::vector<std::string> lines = heading_lines(status);
  const std::vector<std::string> summary = summary_lines(status);
  std::vector<const CaseStatus*> cases = pointers(status.cases);
  const std::size_t around = lines.size() + 1 + summary.size();
  if (around + cases.size() > rows) {
    const std::size_t room = rows > around + 2 ? rows - around - 1 : 1;
    std::stable_sort(cases.begin(), cases.end(), [](const CaseStatus* a, const CaseStatus* b) {
      return urgency(a->standing) < urgency(b->standing);
    });
    const std::size_t n_hidden = cases.size() - std::min(cases.size(), room);
    cases.resize(cases.size() - n_hidden);
    append(lines, table_lines(cases));
    if (n_hidden > 0) lines.push_back(fmt::format("... and {} more", n_hidden));
  } else {
    append(lines, table_lines(cases));
  }
  append(lines, summary);
  for (std::string& line : lines) line = cut(line, columns);
  return joined(lines);
}

}  // namespace cowlwright::watch
