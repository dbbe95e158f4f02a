// SPDX-License-Identifier: GPL-3.0-or-later
//
// A study's run that is struck while it works: processes of it are killed, files that were not yet on the
// disk are cut as a power cut leaves them, clocks jump; and what it has published is looked at all the time.
#pragma once

#include "cases/run/process.h"

#include <nlohmann/json.hpp>

#include <filesystem>
#include <memory>
#include <optional>
#include <random>
#include <string>
#include <vector>

namespace cowlwright::testing_support {

enum class Victim { Solver, Task, Driver, Everything };
inline constexpr std::size_t n_victims = 4;
std::string victim_name(Victim victim);

/// One of the processes that a run has started, or itself.
struct RunProcess {
  pid_t id = 0;
  Victim role = Victim::Solver;
  std::string words;  ///< its command line
};

/// The driver of a study as a child, with all it starts.
class StruckRun {
 public:
  /// @param folder  holds the study file; its path marks the run's processes.
  StruckRun(std::filesystem::path folder, std::string study_file, std::vector<std::string> environment);

  /// Starts `cowlwright run` with these options; its output is kept for output().
  void start(const std::vector<std::string>& options, const std::vector<std::string>& extra_environment = {});
  /// How the driver ended; nothing while it runs.
  std::optional<run::Ending> poll();
  std::string output() const;

  /// Its living processes.
  std::vector<RunProcess> processes() const;
  /// Kills one of a kind at random, or all at once. @return false when there is none.
  bool strike(Victim victim, std::mt19937& random);
  /// Waits until none of its processes lives. @return whether that came about.
  bool wait_until_gone(std::chrono::seconds patience) const;

  /// Output folder of the study.
  std::filesystem::path output_folder() const;

 private:
  std::filesystem::path folder_;
  std::string study_file_;
  std::vector<std::string> environment_;
  std::unique_ptr<run::Child> driver_;
};

/// What a power cut does to the files of a study that nothing had put on the disk: time folders without a
/// seal lose bytes, tables get half a row, logs lose their end.
void lose_unsynced_bytes(const std::filesystem::path& output, std::mt19937& random);

/// Looks at a study's published tables whenever they change.
class TableWatch {
 public:
  /// @param before  results that the study began with and may still show; null: none.
  /// @param after   results of the undisturbed study. @param share  see difference().
  TableWatch(std::filesystem::path output, nlohmann::json before, nlohmann::json after, double share)
      : output_(std::move(output)), before_(std::move(before)), after_(std::move(after)), share_(share) {}

  /// @return what is wrong with them: not whole, or a row that is none of the undisturbed study's; empty: all
  /// is well.
  std::string look();
  int n_looks() const { return n_looks_; }

 private:
  std::string fault_of(const nlohmann::json& variant) const;

  std::filesystem::path output_;
  nlohmann::json before_;
  nlohmann::json after_;
  double share_;
  std::string last_results_;
  int n_looks_ = 0;
};

/// First difference between a variant's quantities and the undisturbed one's: other fields, other quantities,
/// or a value off by more than the undisturbed one's half band and by more than `share` of the largest value
/// of its unit; empty when there is none. @param share  infinite: any finite value will do.
std::string difference(const nlohmann::json& variant, const nlohmann::json& undisturbed, double share);

/// Why the monitors' tables of a case do not hold each iteration 1 to `last` once; empty when they do.
std::string iterations_fault(const std::filesystem::path& case_dir, int last);

}  // namespace cowlwright::testing_support
