// SPDX-License-Identifier: GPL-3.0-or-later
//
// Progress lines.
#include "cases/run/progress.h"

#include "geometry/base/units.h"

#include <fmt/format.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <cmath>

namespace cowlwright::run {

std::string duration_text(double seconds) {
  if (!(seconds >= 0.0)) return "?";
  const long whole = std::lround(seconds);
  if (whole < 60) return fmt::format("{} s", whole);
  if (whole < 3600) return fmt::format("{} min {:02} s", whole / 60, whole % 60);
  return fmt::format("{} h {:02} min", whole / 3600, whole % 3600 / 60);
}

std::string progress_line(const Snapshot& snapshot) {
  std::string line = fmt::format(
      "[{}/{}] {}  {}", snapshot.variant_number, snapshot.n_variants, snapshot.variant, snapshot.stage);
  if (snapshot.iteration > 0) line += fmt::format(" {}/{}", snapshot.iteration, snapshot.last_iteration);
  if (snapshot.deck_pressure_difference) {
    const double pressure = *snapshot.deck_pressure_difference;
    line += fmt::format("  deck dp {:.0f} Pa ({:.2f} inH2O)",
                        pressure,
                        base::in_unit(pressure, "inH2O", base::Dimension::Pressure));
  }
  if (snapshot.inlet_flow) line += fmt::format("  in {:.3f} kg/s", *snapshot.inlet_flow);
  if (snapshot.exit_flow) line += fmt::format("  out {:.3f} kg/s", *snapshot.exit_flow);
  if (snapshot.seconds_left) return line + fmt::format("  {} left", duration_text(*snapshot.seconds_left));
  return line + fmt::format("  {}", duration_text(snapshot.seconds));
}

void ProgressPrinter::show(const std::vector<Snapshot>& running, Clock::time_point now) {
  const bool is_time = columns_ > 0 || now - last_time_ >= quiet_time;
  std::vector<std::string> lines;
  for (const Snapshot& snapshot : running) {
    std::string& last_stage = last_stage_[snapshot.variant];
    const bool is_new = last_stage != snapshot.stage;
    last_stage = snapshot.stage;
    if ((is_time && lines.size() < most_lines) || (is_new && columns_ == 0))
      lines.push_back(progress_line(snapshot));
  }
  if (is_time && running.size() > lines.size())
    lines.push_back(fmt::format("... and {} more at work", running.size() - lines.size()));
  if (is_time) last_time_ = now;
  if (columns_ > 0) erase();
  for (std::string& line : lines) {
    if (columns_ > 0 && line.size() >= static_cast<std::size_t>(columns_))
      line.resize(static_cast<std::size_t>(columns_ - 1));
    std::fputs((line + "\n").c_str(), stream_);
  }
  if (columns_ > 0) n_drawn_ = lines.size();
  std::fflush(stream_);
}

void ProgressPrinter::erase() {
  if (n_drawn_ > 0) std::fputs(fmt::format("\x1b[{}A\r\x1b[J", n_drawn_).c_str(), stream_);
  n_drawn_ = 0;
}

void ProgressPrinter::print(const std::string& line) {
  erase();
  std::fputs((line + "\n").c_str(), stream_);
  std::fflush(stream_);
}

int terminal_columns(std::FILE* stream) {
  if (isatty(fileno(stream)) == 0) return 0;
  constexpr int usual = 80;
  winsize size{};
  if (ioctl(fileno(stream), TIOCGWINSZ, &size) != 0 || size.ws_col == 0) return usual;
  return size.ws_col;
}

}  // namespace cowlwright::run
