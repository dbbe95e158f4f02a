// SPDX-License-Identifier: GPL-3.0-or-later
//
// Progress lines and when they are printed.
#include "cases/run/progress.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

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
  printer.show(snapshot, start);
  snapshot.stage = "solve";
  for (int second = 1; second <= 21; ++second) {
    snapshot.iteration = second;
    printer.show(snapshot, start + std::chrono::seconds(second));
  }
  const std::string text = sink.text();
  // join at 0 s, solve at 1 s, then 10 s after each: 11 s and 21 s.
  EXPECT_EQ(std::count(text.begin(), text.end(), '\n'), 4);
  EXPECT_THAT(text, HasSubstr("join"));
  EXPECT_THAT(text, HasSubstr(" 1/400"));
  EXPECT_THAT(text, HasSubstr(" 11/400"));
  EXPECT_THAT(text, HasSubstr(" 21/400"));
  EXPECT_THAT(text, Not(HasSubstr("\r")));
}

TEST(ProgressPrinter, RedrawsOneLineThatFitsTheTerminal) {
  const Sink sink;
  ProgressPrinter printer(sink.file(), 20);
  Snapshot snapshot = solving();
  printer.show(snapshot);
  snapshot.iteration = 215;
  printer.show(snapshot);
  printer.print("done");
  // "\r\x1b[K" returns to the line's start and clears it; 19 of 20 columns are used, so that the line never
  // wraps.
  EXPECT_EQ(sink.text(), "\r\x1b[K[2/3] lip_angle_30_\r\x1b[K[2/3] lip_angle_30_\r\x1b[Kdone\n");
}

}  // namespace
