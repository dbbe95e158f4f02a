// SPDX-License-Identifier: GPL-3.0-or-later
//
// A study that is killed over and over, on a machine that loses power, whose clock jumps and whose disk fills
// up, ends with the table of a study that was left alone.
#include "tests/end_to_end/fault_campaign.h"
#include "tests/end_to_end/program_run.h"
#include "tests/support/openfoam.h"
#include "tests/support/scratch_folder.h"
#include "tests/support/small_disk.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cstdint>
#include <cstdlib>
#include <iostream>
#include <limits>
#include <memory>
#include <thread>

namespace {

using namespace cowlwright::testing_support;
using namespace std::chrono_literals;
using nlohmann::json;
using testing::AllOf;
using testing::HasSubstr;
namespace fs = std::filesystem;
using Clock = std::chrono::steady_clock;

constexpr int n_kills = 50;
constexpr int n_kills_from_scratch = 12;
constexpr int first_iterations = 30;
constexpr int all_iterations = 50;
constexpr std::size_t n_variants = 2;

/// Share of a value by which a study that was cut off may differ beyond its half band: it may have gone on on
/// other ranks, whose equations are solved as far but not to the same digits.
constexpr double restart_share = 0.01;
/// From scratch the first iterations swing by their own size, and which of them are done twice decides.
constexpr double any_share = std::numeric_limits<double>::infinity();

/// Fields every second iteration: a study of so few would write none on the way.
constexpr const char* write_often = "sed -i 's/^writeInterval .*/writeInterval 2;/' system/controlDict";

/// A restarted solver takes the far field's pressure to have no gradient in its first iteration
/// (DEVELOPERS.md). Of a settled flow that leaves no trace, of so few iterations 2 % of a flow after a dozen
/// restarts; a pressure that is fixed there leaves none.
constexpr const char* fix_far_pressure =
    "test ! -f 0.orig/p || sed -i 's/freestreamPressure/fixedValue/' 0.orig/p";

/// Variants of one mesh, so that few kills fall on the mesher; each starts by itself, so that few iterations
/// do not tell from which field they began.
std::string study_text(int iterations) {
  std::string text = draft_study(iterations, 10, "\"flight.true_airspeed\" = [\"100 kt\", \"110 kt\"]", 1);
  text.insert(text.find("[grid]\n") + 7, "start = \"still\"\n");
  return text;
}

/// A folder with the study, and what its runs need in their environment.
struct StudyFolder {
  explicit StudyFolder(int iterations) {
    folder.write("my.toml", study_text(iterations));
    script_before("cp", fix_far_pressure, folder);
  }
  ScratchFolder folder;
  std::vector<std::string> environment{script_before("rhoSimpleFoam", write_often, folder)};
  StruckRun run{folder.path(), "my.toml", environment};

  ProgramRun run_undisturbed() const {
    return run_program(
        {program("cowlwright"), "run", "--tables-only", "my.toml"}, folder.path(), environment);
  }
};

/// The study left alone: its first iterations, and all of them gone on to from there.
struct Undisturbed {
  Undisturbed() {
    first_output = first.run_undisturbed().output;
    after_first = read_results(first.run.output_folder());
    fs::copy(first.run.output_folder(), all.run.output_folder(), fs::copy_options::recursive);
    all_output = all.run_undisturbed().output;
    after_all = read_results(all.run.output_folder());
  }
  StudyFolder first{first_iterations};
  StudyFolder all{all_iterations};
  std::string first_output;
  std::string all_output;
  json after_first;
  json after_all;
};

std::uint32_t seed() {
  const char* given = std::getenv("COWLWRIGHT_FAULT_SEED");
  return given != nullptr ? static_cast<std::uint32_t>(std::stoul(given)) : std::random_device()();
}

/// Wall clock of a run, in seconds off the machine's.
class JumpingClock {
 public:
  explicit JumpingClock(const fs::path& folder) : file_(folder / "clock_offset") { jump_to(0); }
  void jump_to(std::int64_t seconds) const {
    std::fstream file(file_, std::ios::in | std::ios::out | std::ios::binary);
    if (!file) file.open(file_, std::ios::out | std::ios::binary);
    file.write(reinterpret_cast<const char*>(&seconds), sizeof seconds);
  }
  std::vector<std::string> environment() const {
    return {"LD_PRELOAD=" COWLWRIGHT_CLOCK_JUMP, "COWLWRIGHT_CLOCK_OFFSET=" + file_.string()};
  }

 private:
  fs::path file_;
};

/// Every row is the undisturbed study's and every iteration is there once.
void expect_undisturbed(const fs::path& output, const json& undisturbed, int iterations, double share) {
  const json results = read_results(output);
  ASSERT_EQ(results["variants"].size(), n_variants);
  for (std::size_t i = 0; i < n_variants; ++i) {
    const std::string name = results["variants"][i]["case"];
    EXPECT_EQ(difference(results["variants"][i], undisturbed["variants"][i], share), "") << name;
    EXPECT_EQ(iterations_fault(output / name, iterations), "") << name;
  }
}

/// Kills studies over and over, and counts.
class Campaign {
 public:
  Campaign(std::uint32_t seed, const Undisturbed& undisturbed) : random_(seed), undisturbed_(undisturbed) {}

  /// Runs one study to its end through kills, of which there are `most` in all at the end.
  void run_study(bool from_scratch, int most) {
    const int last = from_scratch ? first_iterations : all_iterations;
    const json& expected = from_scratch ? undisturbed_.after_first : undisturbed_.after_all;
    const double share = from_scratch ? any_share : restart_share;
    StudyFolder study(last);
    const fs::path output = study.run.output_folder();
    if (!from_scratch) fs::copy(undisturbed_.first.run.output_folder(), output, fs::copy_options::recursive);
    const JumpingClock clock(study.folder.path());
    TableWatch watch(output, from_scratch ? json() : undisturbed_.after_first, expected, share);
    most_ = most;
    bool is_ended = false;
    while (!is_ended && !testing::Test::HasFailure()) {
      study.run.start({"--ranks", draw(0, 1) < 0.5 ? "1" : "2"}, clock.environment());
      ++n_starts_;
      n_struck_before_ = n_struck_;
      is_ended = strike_until_gone(study, clock, watch);
    }
    EXPECT_EQ(watch.look(), "") << account();
    n_looks_ += watch.n_looks();
    if (!testing::Test::HasFailure()) expect_undisturbed(output, expected, last, share);
  }
  int n_struck() const { return n_struck_; }
  std::string account() const {
    std::string text = std::to_string(n_struck_) + " kills (";
    for (std::size_t i = 0; i < n_victims; ++i) {
      text +=
          (i > 0 ? ", " : "") + std::to_string(struck_.at(i)) + " of " + victim_name(static_cast<Victim>(i));
    }
    return text + "), " + std::to_string(n_starts_) + " starts, " + std::to_string(n_looks_) +
           " published tables looked at";
  }

 private:
  double draw(double low, double high) { return std::uniform_real_distribution(low, high)(random_); }

  /// @return whether the run came to a good end.
  bool strike_until_gone(StudyFolder& study, const JumpingClock& clock, TableWatch& watch) {
    for (;;) {
      const auto next = Clock::now() + std::chrono::duration<double>(draw(0.2, 3.0));
      while (n_struck_ >= most_ || Clock::now() < next) {
        EXPECT_EQ(watch.look(), "") << account();
        if (const auto ending = study.run.poll()) return judge(study, ending->exit_code);
        std::this_thread::sleep_for(30ms);
      }
      clock.jump_to(static_cast<std::int64_t>(draw(-3e8, 3e8)));
      const auto victim = static_cast<Victim>(static_cast<std::size_t>(draw(0, 4)));
      if (!study.run.strike(victim, random_)) continue;
      ++n_struck_;
      ++struck_.at(static_cast<std::size_t>(victim));
      if (victim != Victim::Everything) continue;
      EXPECT_TRUE(study.run.wait_until_gone(30s));
      lose_unsynced_bytes(study.run.output_folder(), random_);
      return false;
    }
  }

  /// A driver that was killed says nothing; one that saw a case fail says so, and the next start goes on. A
  /// start that nobody struck ends well.
  bool judge(const StudyFolder& study, int exit_code) const {
    const bool is_struck = n_struck_ > n_struck_before_;
    EXPECT_TRUE(exit_code == 0 || (is_struck && (exit_code == 3 || exit_code == 128 + SIGKILL)))
        << exit_code << " after " << account() << "\n"
        << study.run.output();
    return exit_code == 0;
  }

  std::mt19937 random_;
  const Undisturbed& undisturbed_;
  int most_ = 0;
  int n_struck_ = 0;
  int n_struck_before_ = 0;  ///< when this start began
  int n_starts_ = 0;
  int n_looks_ = 0;
  std::array<int, n_victims> struck_{};
};

class FaultInjection : public OpenFoamTest {
 protected:
  static void SetUpTestSuite() {
    if (why_openfoam_does_not_run().empty()) undisturbed_ = std::make_unique<Undisturbed>();
  }
  static void TearDownTestSuite() { undisturbed_.reset(); }
  void SetUp() override {
    OpenFoamTest::SetUp();
    if (IsSkipped() || HasFatalFailure()) return;
    ASSERT_TRUE(undisturbed_->after_all.contains("variants"))
        << undisturbed_->first_output << undisturbed_->all_output;
    ASSERT_EQ(undisturbed_->after_all["variants"].size(), n_variants) << undisturbed_->all_output;
  }
  static inline std::unique_ptr<Undisturbed> undisturbed_;
};

TEST_F(FaultInjection, FiftyKillsLeaveTheTableOfAnUndisturbedRun) {
  const std::uint32_t number = seed();
  std::cout << "COWLWRIGHT_FAULT_SEED=" << number << std::endl;
  Campaign campaign(number, *undisturbed_);
  campaign.run_study(true, n_kills_from_scratch);
  while (campaign.n_struck() < n_kills && !HasFailure()) campaign.run_study(false, n_kills);
  std::cout << campaign.account() << std::endl;
  EXPECT_EQ(campaign.n_struck(), n_kills);
}

TEST_F(FaultInjection, SecondDriverIsRefusedByNameAndTheFirstGoesOn) {
  StudyFolder study(first_iterations);
  study.run.start({});
  while (study.run.processes().size() < 3 && !study.run.poll()) std::this_thread::sleep_for(20ms);
  const ProgramRun second = study.run_undisturbed();
  EXPECT_EQ(second.exit_code, 3) << second.output;
  EXPECT_THAT(second.output,
              AllOf(HasSubstr("in use by cowlwright run my.toml, process "), HasSubstr(" UTC")));
  EXPECT_FALSE(study.run.poll()) << study.run.output();
  std::mt19937 random;
  study.run.strike(Victim::Everything, random);
}

bool has_iteration(const fs::path& log, int iteration) {
  return text_of(log).find("\nTime = " + std::to_string(iteration) + "\n") != std::string::npos;
}

TEST_F(FaultInjection, AFullDiskStopsTheRunByNameAndMoreSpaceLetsItGoOn) {
  StudyFolder study(all_iterations);
  const SmallDisk disk(study.run.output_folder(), "800m");
  if (!disk.trouble().empty()) GTEST_SKIP() << disk.trouble();
  fs::copy(undisturbed_->first.run.output_folder(), disk.path(), fs::copy_options::recursive);
  study.run.start({});
  const std::string name = undisturbed_->after_all["variants"][0]["case"];
  while (!has_iteration(disk.path() / name / "log.solve", first_iterations + 5) && !study.run.poll())
    std::this_thread::sleep_for(50ms);
  disk.fill();
  while (!study.run.poll()) std::this_thread::sleep_for(50ms);
  EXPECT_EQ(study.run.poll()->exit_code, 3) << study.run.output();
  EXPECT_THAT(study.run.output(), HasSubstr("isk"));

  disk.enlarge("1200m");
  const ProgramRun again = study.run_undisturbed();
  EXPECT_EQ(again.exit_code, 0) << again.output;
  EXPECT_THAT(again.output, HasSubstr("goes on with solve"));
  expect_undisturbed(disk.path(), undisturbed_->after_all, all_iterations, restart_share);
}

}  // namespace
