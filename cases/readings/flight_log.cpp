// SPDX-License-Identifier: GPL-3.0-or-later
//
// From the text of a log to columns of numbers.
#include "cases/readings/flight_log.h"

#include "cases/readings/clock.h"
#include "cases/readings/csv.h"
#include "geometry/base/error.h"
#include "geometry/base/nearest_name.h"
#include "geometry/base/text_file.h"
#include "geometry/base/units.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <limits>
#include <optional>
#include <set>
#include <span>

namespace cowlwright::readings {

namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();
constexpr std::size_t fewest_rows = 10;
constexpr double largest_share_out_of_order = 0.05;

/// SI value = zero + slope * number.
struct Conversion {
  double zero = 0.0;
  double slope = 1.0;
};

Conversion conversion(const ColumnSpec& spec) {
  const base::Dimension dimension = facts(spec.kind).dimension;
  const double zero = base::parse_quantity(fmt::format("0 {}", spec.unit), dimension);
  return {zero, base::parse_quantity(fmt::format("1 {}", spec.unit), dimension) - zero};
}

bool says_missing(std::string_view cell) {
  constexpr std::array<std::string_view, 12> marks{
      "", "-", "--", "---", "N/A", "n/a", "NA", "NaN", "nan", "NAN", "null", "NULL"};
  return std::find(marks.begin(), marks.end(), cell) != marks.end();
}

std::vector<std::string> column_names(const LogMap& map) {
  std::vector<std::string> names{map.time_column};
  for (const ColumnSpec& column : map.columns) names.push_back(column.column);
  return names;
}

/// Where each wanted name stands. @throws InputError naming every missing and every doubled one.
std::vector<std::size_t> places(const CsvHeader& header,
                                const std::vector<std::string>& names,
                                const std::string& file) {
  std::vector<std::string> faults;
  std::vector<std::size_t> found;
  const std::vector<std::string_view> known(header.cells.begin(), header.cells.end());
  for (const std::string& name : names) {
    const auto at = std::find(header.cells.begin(), header.cells.end(), name);
    found.push_back(static_cast<std::size_t>(at - header.cells.begin()));
    const auto n = std::count(header.cells.begin(), header.cells.end(), name);
    if (n == 0) {
      faults.push_back(fmt::format("{}:{}: no column \"{}\".{} Correct the map or the log.",
                                   file,
                                   std::max<std::uint32_t>(header.line, 1),
                                   name,
                                   base::suggestion(name, known)));
    } else if (n > 1) {
      faults.push_back(fmt::format("{}:{}: column \"{}\" stands there {} times. Rename all but one of them.",
                                   file,
                                   header.line,
                                   name,
                                   n));
    }
  }
  if (header.line == 0) {
    throw base::InputError(fmt::format(
        "{}: no header: none of its first lines holds one of the map's columns: {}. Check the map's names "
        "and separator.",
        file,
        fmt::join(names, ", ")));
  }
  if (!faults.empty()) throw base::InputError(fmt::format("{}", fmt::join(faults, "\n")));
  return found;
}

/// Makes the log's times one rising count.
class Clock {
 public:
  explicit Clock(const LogMap& map) : map_(&map) { scale_ = seconds_in(map.time_unit).value_or(1.0); }

  enum class Verdict { Good, Unreadable, OtherForm, Repeated, Backwards };

  Verdict take(std::string_view cell, std::uint32_t line, const std::string& file) {
    const auto read = parse_time(cell, map_->decimal_mark);
    if (!read) return Verdict::Unreadable;
    if (!form_) {
      form_ = read->form;
      check_unit(line, file);
    }
    if (read->form != *form_) return Verdict::OtherForm;
    double time = (*form_ == TimeForm::Seconds ? scale_ : 1.0) * read->seconds + days_;
    constexpr double day = 86400.0;
    const bool is_past_midnight = *form_ == TimeForm::TimeOfDay && last_ && *last_ - time > 0.5 * day;
    if (is_past_midnight) {
      days_ += day;
      time += day;
      midnights_.add(line);
    }
    if (last_ && time == *last_) return Verdict::Repeated;
    if (last_ && time < *last_) return Verdict::Backwards;
    last_ = time;
    return Verdict::Good;
  }

  double time() const { return *last_; }
  const Tally& midnights() const { return midnights_; }
  bool has_time_of_day() const { return form_ && *form_ != TimeForm::Seconds; }

 private:
  void check_unit(std::uint32_t line, const std::string& file) const {
    if (*form_ == TimeForm::Seconds && map_->time_unit.empty()) {
      throw base::InputError(fmt::format(
          "{}:{}: the times are plain numbers, and their unit is not stated. Write [units] time = \"s\" "
          "in the map, for example.",
          file,
          line));
    }
    if (*form_ != TimeForm::Seconds && !map_->time_unit.empty()) {
      throw base::InputError(
          fmt::format("{}:{}: the times are no plain numbers, so [units] time = \"{}\" says nothing. Take it "
                      "out of the map.",
                      file,
                      line,
                      map_->time_unit));
    }
  }

  const LogMap* map_;
  double scale_ = 1.0;
  std::optional<TimeForm> form_;
  std::optional<double> last_;
  double days_ = 0.0;
  Tally midnights_;
};

/// What is counted while rows go by.
struct RowTallies {
  Tally unreadable_time, other_form, repeated, backwards, short_row, long_row, blank, comment, header_again;
};

class LogReader {
 public:
  LogReader(const LogMap& map, std::string_view text, std::string name)
      : map_(&map), name_(std::move(name)), clock_(map) {
    const std::vector<std::string> names = column_names(map);
    constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
    if (text.starts_with(byte_order_mark)) text.remove_prefix(byte_order_mark.size());
    header_ = find_header(text, names, map.separator);
    const std::vector<std::size_t> found = places(header_, names, name_);
    time_place_ = found.front();
    for (std::size_t i = 0; i < map.columns.size(); ++i) {
      log_.channels.push_back({map.columns[i], {}});
      conversions_.push_back(conversion(map.columns[i]));
      places_.push_back(found[i + 1]);
    }
    missing_.resize(map.columns.size());
    unreadable_.resize(map.columns.size());
    read_rows(text.substr(header_.end));
  }

  FlightLog finish() {
    refuse_backwards();
    if (log_.time.size() < fewest_rows) {
      throw base::InputError(
          fmt::format("{}: {} rows with a time are left of {}: at least {} are needed. Check the "
                      "map's time column and the log.",
                      name_,
                      log_.time.size(),
                      log_.n_lines,
                      fewest_rows));
    }
    note_rows();
    note_cells();
    log_.has_time_of_day = clock_.has_time_of_day();
    return std::move(log_);
  }

 private:
  void read_rows(std::string_view text) {
    CsvReader reader(text, name_, header_.separator, header_.line + 1);
    while (const auto cells = reader.next()) {
      ++log_.n_lines;
      read_row(*cells, reader.line());
    }
  }

  void read_row(std::span<const std::string_view> cells, std::uint32_t line) {
    if (cells.size() == 1 && cells[0].empty()) return tallies_.blank.add(line);
    if (cells[0].starts_with('#')) return tallies_.comment.add(line);
    if (std::equal(cells.begin(), cells.end(), header_.cells.begin(), header_.cells.end())) {
      return tallies_.header_again.add(line);
    }
    const bool has_spare_end = cells.size() == header_.cells.size() + 1 && cells.back().empty();
    if (cells.size() > header_.cells.size() && !has_spare_end) return tallies_.long_row.add(line);
    if (cells.size() < header_.cells.size()) tallies_.short_row.add(line);
    const std::string_view time = time_place_ < cells.size() ? cells[time_place_] : std::string_view{};
    switch (clock_.take(time, line, name_)) {
      case Clock::Verdict::Unreadable:
        return tallies_.unreadable_time.add(line);
      case Clock::Verdict::OtherForm:
        return tallies_.other_form.add(line);
      case Clock::Verdict::Repeated:
        return tallies_.repeated.add(line);
      case Clock::Verdict::Backwards:
        return tallies_.backwards.add(line);
      case Clock::Verdict::Good:
        break;
    }
    log_.time.push_back(clock_.time());
    log_.line.push_back(line);
    for (std::size_t i = 0; i < places_.size(); ++i) {
      log_.channels[i].value.push_back(places_[i] < cells.size() ? value(i, cells[places_[i]], line)
                                                                 : (missing_[i].add(line), none));
    }
  }

  double value(std::size_t channel, std::string_view cell, std::uint32_t line) {
    if (const auto number = csv_number(cell, map_->decimal_mark)) {
      return conversions_[channel].zero + conversions_[channel].slope * *number;
    }
    (says_missing(cell) ? missing_ : unreadable_)[channel].add(line);
    return none;
  }

  void refuse_backwards() const {
    const auto limit = largest_share_out_of_order * static_cast<double>(log_.n_lines);
    if (static_cast<double>(tallies_.backwards.count()) > limit) {
      throw base::InputError(
          fmt::format("{}: {} of {} rows have a time before the row above them ({}): at most 5 % may. Part "
                      "the log where the clock "
                      "was set back, or sort it.",
                      name_,
                      tallies_.backwards.count(),
                      log_.n_lines,
                      tallies_.backwards.lines()));
    }
    if (static_cast<double>(tallies_.long_row.count()) > limit) {
      throw base::InputError(fmt::format(
          "{}: {} of {} rows have more cells than the header ({}): at most 5 % may. With decimal commas the "
          "separator must be another; check [log] separator and decimal.",
          name_,
          tallies_.long_row.count(),
          log_.n_lines,
          tallies_.long_row.lines()));
    }
  }

  void note(const Tally& tally, std::string_view what) {
    if (tally.count() == 0) return;
    log_.findings.push_back(fmt::format(
        "{} {} {} ({}).", tally.count(), tally.count() == 1 ? "row" : "rows", what, tally.lines()));
  }

  void note_rows() {
    if (header_.line > 1) {
      log_.findings.push_back(fmt::format("{} {} above the header, line {}: not read.",
                                          header_.line - 1,
                                          header_.line == 2 ? "line" : "lines",
                                          header_.line));
    }
    note(tallies_.blank, "without text: skipped");
    note(tallies_.comment, "of comment: skipped");
    note(tallies_.header_again, "repeating the header: skipped");
    note(tallies_.long_row, "with more cells than the header: skipped");
    note(tallies_.short_row, "with fewer cells than the header: what is not there counts as missing");
    note(tallies_.unreadable_time, "without a readable time: skipped");
    note(tallies_.other_form, "with a time written otherwise than in the first row: skipped");
    note(tallies_.repeated, "repeating the time of the row above: skipped");
    note(tallies_.backwards, "with a time before the row above: skipped");
    note(clock_.midnights(), "past midnight: a day was added");
  }

  void note_cells() {
    for (std::size_t i = 0; i < missing_.size(); ++i) {
      const std::string& column = map_->columns[i].column;
      if (missing_[i].count() > 0) {
        log_.findings.push_back(fmt::format("{}: {} {} empty ({}): not filled in.",
                                            column,
                                            missing_[i].count(),
                                            missing_[i].count() == 1 ? "cell is" : "cells are",
                                            missing_[i].lines()));
      }
      if (unreadable_[i].count() > 0) {
        log_.findings.push_back(fmt::format("{}: {} {} no number with the decimal mark \"{}\" ({}): skipped.",
                                            column,
                                            unreadable_[i].count(),
                                            unreadable_[i].count() == 1 ? "cell is" : "cells are",
                                            map_->decimal_mark,
                                            unreadable_[i].lines()));
      }
    }
  }

  const LogMap* map_;
  std::string name_;
  Clock clock_;
  CsvHeader header_;
  std::size_t time_place_ = 0;
  std::vector<std::size_t> places_;
  std::vector<Conversion> conversions_;
  std::vector<Tally> missing_, unreadable_;
  RowTallies tallies_;
  FlightLog log_;
};

}  // namespace

void Tally::add(std::uint32_t line) {
  constexpr std::size_t most_shown = 5;
  ++count_;
  if (first_.size() < most_shown) first_.push_back(line);
}

std::string Tally::lines() const {
  if (count_ > first_.size())
    return fmt::format("lines {} and {} more", fmt::join(first_, ", "), count_ - first_.size());
  return fmt::format("{} {}", count_ == 1 ? "line" : "lines", fmt::join(first_, ", "));
}

const Channel* FlightLog::find(Kind kind) const {
  const auto at = std::find_if(
      channels.begin(), channels.end(), [kind](const Channel& channel) { return channel.spec.kind == kind; });
  return at != channels.end() ? &*at : nullptr;
}

FlightLog read_flight_log(const LogMap& map) {
  return parse_flight_log(map, base::read_text(map.log_file), map.log_file.string());
}

FlightLog parse_flight_log(const LogMap& map, std::string_view text, const std::string& name) {
  return LogReader(map, text, name).finish();
}

}  // namespace cowlwright::readings
