// SPDX-License-Identifier: GPL-3.0-or-later
//
// Progress lines and when they are printed.
#include "cases/run/progress.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>

namespace {

using namespace cowlwright;
using namespace std::chrono_literals;
using run::duration_text;
using run::progress_line;
using run::ProgressPrinter;
using run::Snapshot;
using testing::HasSubstr;
using testing::Not;

Snapshot solving() {
  Snapshot snapshot;
  snapshot.variant = "lip_angle_30_deg";
  snapshot.variant_number = 2;
  snapshot.n_variants = 3;
  snapshot.stage = "solve";
  snapshot.seconds = 61.0;
  snapshot.iteration = 214;
  snapshot.last_iteration = 400;
  return snapshot;
}

TEST(DurationText, UsesTheTwoLargestUnits) {
  EXPECT_EQ(duration_text(0.4), "0 s");
  EXPECT_EQ(duration_text(59.4), "59 s");
  EXPECT_EQ(duration_text(59.6), "1 min 00 s");
  EXPECT_EQ(duration_text(185.0), "3 min 05 s");
  EXPECT_EQ(duration_text(2.0 * 3600 + 10 * 60 + 59), "2 h 10 min");
  EXPECT_EQ(duration_text(-1.0), "?");
}

TEST(ProgressLine, ShowsPlaceIterationPressureInBothUnitsFlowsAndTimeLeft) {
  Snapshot snapshot = solving();
  // 1 inH2O is 249.08891 Pa (conventional; NIST SP 811 app. B), so 4 inH2O are 996.36 Pa.
  snapshot.deck_pressure_difference = 996.36;
  snapshot.inlet_flow = 0.4121;
  snapshot.exit_flow = 0.4087;
  snapshot.seconds_left = 100.0;
  EXPECT_EQ(progress_line(snapshot),
            "[2/3] lip_angle_30_deg  solve 214/400  deck dp 996 Pa (4.00 inH2O)  in 0.412 kg/s  out "
            "0.409 kg/s  "
            "1 min 40 s left");
}

TEST(ProgressLine, LeavesOutWhatIsNotKnownYet) {
  Snapshot snapshot = solving();
  snapshot.stage = "snap";
  snapshot.iteration = 0;
  EXPECT_EQ(progress_line(snapshot), "[2/3] lip_angle_30_deg  snap  1 min 01 s");
}

/// A stream whose text can be read back.
class Sink {
 public:
  Sink() : file_(std::tmpfile()) {}
  ~Sink() { std::fclose(file_); }
  Sink(const Sink&) = delete;
  Sink& operator=(const Sink&) = delete;
  std::FILE* file() const { return file_; }
  std::string text() const {
    std::fflush(file_);
    std::rewind(file_);
    std::string text;
    std::array<char, 4096> part{};
    while (const std::size_t n = std::fread(part.data(), 1, part.size(), file_)) text.append(part.data(), n);
    return text;
  }

 private:
  std::FILE* file_;
};

TEST(ProgressPrinter, PrintsWholeLinesAtStageChangesAndEveryTenSecondsWhenPiped) {
  const Sink sink;
  ProgressPrinter printer(sink.file(), 0);
  const ProgressPrinter::Clock::time_point start{1000s};
  Snapshot snapshot = solving();
  snapshot.stage = "join";
  printer.show({snapshot}, start);
  snapshot.stage = "solve";
  for (int second = 1; second <= 21; ++second) {
    snapshot.iteration = second;
    printer.show({snapshot}, start + std::chrono::seconds(second));
  }
  const std::string text = sink.text();
  // join at 0 s, solve at 1 s, then every 10 s: 10 s and 20 s.
  EXPECT_EQ(std::count(text.begin(), text.end(), '\n'), 4);
  EXPECT_THAT(text, HasSubstr("join"));
  EXPECT_THAT(text, HasSubstr(" 1/400"));
  EXPECT_THAT(text, HasSubstr(" 10/400"));
  EXPECT_THAT(text, HasSubstr(" 20/400"));
  EXPECT_THAT(text, Not(HasSubstr("\r")));
}

TEST(ProgressPrinter, RedrawsLinesThatFitTheTerminal) {
  const Sink sink;
  ProgressPrinter printer(sink.file(), 20);
  Snapshot snapshot = solving();
  printer.show({snapshot});
  snapshot.iteration = 215;
  printer.show({snapshot});
  printer.print("done");
  // "\x1b[1A\r\x1b[J" goes a line up, to its start, and clears from there; 19 of 20 columns are used, so that
  // a line never wraps.
  const std::string again = "\x1b[1A\r\x1b[J";
  EXPECT_EQ(sink.text(), "[2/3] lip_angle_30_\n" + again + "[2/3] lip_angle_30_\n" + again + "done\n");
}

TEST(ProgressPrinter, TellsHowManyMoreRunThanItShows) {
  const Sink sink;
  ProgressPrinter printer(sink.file(), 0);
  std::vector<Snapshot> running;
  for (int i = 0; i < 20; ++i) {
    running.push_back(solving());
    running.back().variant = "v" + std::to_string(i);
  }
  const ProgressPrinter::Clock::time_point start{1000s};
  printer.show(running, start);
  printer.show(running, start + 1s);
  printer.show(running, start + 10s);
  // Each once when it is new, then eight and the number of the others.
  const std::string text = sink.text();
  EXPECT_EQ(std::count(text.begin(), text.end(), '\n'), 20 + 9);
  EXPECT_THAT(text, HasSubstr("... and 12 more at work"));
}

}  // namespace
