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

void ProgressPrinter::show(const Snapshot& snapshot, Clock::time_point now) {
  const std::string place = snapshot.variant + "\n" + snapshot.stage;
  const bool is_new = place != last_place_;
  if (columns_ == 0 && !is_new && now - last_time_ < quiet_time) return;
  last_place_ = place;
  last_time_ = now;
  std::string line = progress_line(snapshot);
  if (columns_ > 0) {
    if (line.size() >= static_cast<std::size_t>(columns_))
      line.resize(static_cast<std::size_t>(columns_ - 1));
    std::fputs(("\r\x1b[K" + line).c_str(), stream_);
    is_drawn_ = true;
  } else {
    std::fputs((line + "\n").c_str(), stream_);
  }
  std::fflush(stream_);
}

void ProgressPrinter::print(const std::string& line) {
  if (is_drawn_) std::fputs("\r\x1b[K", stream_);
  is_drawn_ = false;
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
