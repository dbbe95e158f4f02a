// SPDX-License-Identifier: GPL-3.0-or-later
//
// How the cases of a study stand at this moment, from its output folder alone: also while another program or
// another machine that shares the folder works on it. Only reads.
#pragma once

#include "geometry/base/case_state.h"
#include "geometry/base/progress_file.h"
#include "geometry/base/sweep.h"

#include <chrono>
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::watch {

/// Working: a process holds the case's lock, or its beat moves. Stopped: broken off, and nobody works on it.
/// Silent: begun, and whoever should work on it has given no sign of life for Watcher::patience; it may be
/// gone, hung, or cut off from the folder.
enum class Standing { Waiting, Working, Solved, Failed, Stopped, Silent };

/// "waiting", "working", "solved", "failed", "stopped", "gone silent".
std::string_view standing_name(Standing standing);

struct CaseStatus {
  std::string case_folder;
  Standing standing = Standing::Waiting;
  std::string note{};  ///< what it waits for, why it failed, who is silent; may be empty
  std::optional<base::Progress>
      progress{};  ///< what was last told; its readings may be of a stage long ended
  std::optional<base::CaseState> state{};
};

/// Time until everything is done.
struct TimeLeft {
  double core_seconds = 0.0;        ///< work left, wall time x ranks [s]
  std::optional<double> seconds{};  ///< [s]; nothing when it is not known on how many cores
  int cores = 0;                    ///< that this counts on; 0: not known
  int n_measured = 0;               ///< cases solved in this sweep whose times corrected the estimate
};

struct SweepStatus {
  std::string study{};              ///< title; folder name when there is no sweep
  std::string driver{};             ///< who holds the driver's lock; empty: nobody
  bool has_jobs = false;            ///< handed in to a cluster, and its last job has not ended
  std::vector<CaseStatus> cases{};  ///< in the sweep's order
  TimeLeft left{};

  std::size_t count(Standing standing) const;
  /// No case is at work, and neither a driver nor a cluster's job is there to begin one.
  bool is_at_rest() const;
};

/// Looks again and again; knows from the looks before whether a beat has moved.
class Watcher {
 public:
  using Clock = std::chrono::steady_clock;

  /// @throws InputError  when `output` is no folder.
  explicit Watcher(std::filesystem::path output);

  /// @throws InputError  when there is neither a sweep nor a case in the folder, or the sweep is damaged.
  SweepStatus look(Clock::time_point now = Clock::now());

  /// The last look was enough to tell working from silent: each beat that should move has moved since the
  /// first look, or has stood still for the patience.
  bool is_sure() const { return is_sure_; }

  /// How long a beat may stand still. A task rewrites its progress about once a second.
  static constexpr std::chrono::seconds patience{10};

 private:
  enum class Pulse { Unsure, Moves, StandsStill };
  struct Beat {
    std::string writer;  ///< host and process
    long count = 0;
    Clock::time_point moved{};  ///< when it was first seen at this count
    bool has_moved = false;
  };

  Pulse pulse(const std::string& case_folder,
              const std::optional<base::Progress>& progress,
              Clock::time_point now);
  CaseStatus look_at(const std::string& case_folder, Clock::time_point now);

  std::filesystem::path output_;
  std::map<std::string, Beat> beats_;
  bool is_sure_ = false;
};

/// Estimate from what the tasks at work say, and else from the sweep's expectations, corrected by the ratio
/// of taken to expected time of the cases solved in this sweep.
TimeLeft time_left(const base::Sweep& sweep, const std::vector<CaseStatus>& cases);

/// The mesh stages have ended well.
bool has_mesh(const std::optional<base::CaseState>& state);

}  // namespace cowlwright::watch
