// SPDX-License-Identifier: GPL-3.0-or-later
//
// One task: finds out what of its case stands, does the rest, and leaves the state for whoever comes next.
#include "cases/run/task_run.h"

#include "cases/run/checkpoint.h"
#include "cases/run/mesh_store.h"
#include "cases/run/openfoam.h"
#include "cases/run/orphans.h"
#include "cases/run/process.h"
#include "cases/run/resumption.h"
#include "cases/run/seal.h"
#include "cases/run/stages.h"
#include "cases/run/start_field.h"
#include "geometry/base/error.h"
#include "geometry/base/exit_code.h"
#include "geometry/base/folder_lock.h"
#include "geometry/base/manifest.h"
#include "geometry/base/progress_file.h"
#include "geometry/base/solver_end.h"
#include "meshing/quality_gate.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>

namespace cowlwright::run {
namespace {

namespace fs = std::filesystem;
using foam::Step;

/// Times that a solver ended from outside is gone on with before that is left to the next run.
constexpr int most_revivals = 2;

void print(const std::string& line) {
  fmt::print("{}\n", line);
  std::fflush(stdout);
}

/// Rewrites the progress file about once a second.
class ProgressWriter {
 public:
  ProgressWriter(fs::path case_dir, int ranks)
      : case_dir_(std::move(case_dir)), host_(base::host_name()), ranks_(ranks) {
    if (const auto before = base::read_progress(case_dir_)) beat_ = before->beat;
  }
  void ranks(int ranks) { ranks_ = ranks; }
  /// @param progress  what is of the stage.
  void show(base::Progress progress) {
    const auto now = std::chrono::steady_clock::now();
    const bool is_last = progress.seconds_left == 0.0;
    if (!is_last && progress.stage == stage_ && now - last_ < std::chrono::seconds(1)) return;
    last_ = now;
    stage_ = progress.stage;
    progress.host = host_;
    progress.process = ::getpid();
    progress.ranks = ranks_;
    progress.beat = ++beat_;
    progress.written_at =
        std::chrono::duration<double>(std::chrono::system_clock::now().time_since_epoch()).count();
    try {
      base::write_progress(progress, case_dir_);
    } catch (const base::ExternalError&) {
      // For whoever watches only: a disk too full for it stops nobody.
    }
  }

 private:
  fs::path case_dir_;
  std::string host_;
  int ranks_ = 1;
  long beat_ = 0;
  std::string stage_;
  std::chrono::steady_clock::time_point last_{};
};

class TaskRun {
 public:
  TaskRun(const fs::path& output, const base::Sweep& sweep, const base::Task& task)
      : output_(output),
        sweep_(sweep),
        task_(task),
        case_dir_(output / task.case_folder),
        store_(mesh_store(output)),
        state_(existing_state(case_dir_)),
        progress_(case_dir_, task.ranks) {
    run_.directory = case_dir_;
    run_.environment = openfoam_environment();
    run_.accept = [this](const foam::Stage& stage) { accept(stage); };
    run_.on_progress = [this](const base::Progress& progress) { progress_.show(progress); };
  }

  int work() {
    use_stages();
    const bool wants_mesh_only = task_.kind == base::TaskKind::Mesh;
    if (wants_mesh_only && plan_resumption(state_).redo != Step::Mesh && is_meshed()) return 0;
    prepare();
    if (state_.phase == base::CasePhase::Finished) return 0;
    if (!make_mesh()) return fail();
    if (wants_mesh_only) return 0;
    for (int n_revivals = 0;; ++n_revivals) {
      if (solve()) return 0;
      if (has_diverged_from_other()) {
        print(fmt::format("  {}\n  it diverged from the field of {}: once more, from still air",
                          state_.message,
                          state_.start_from));
        no_start_from_ = true;
        rewind_case(state_, Step::Start, case_dir_);
      } else if (state_.can_go_on && !is_disk_full() && n_revivals < most_revivals) {
        print(fmt::format("  {}\n  it was ended from outside: goes on", state_.message));
      } else {
        return fail();
      }
    }
  }

 private:
  static base::CaseState existing_state(const fs::path& case_dir) {
    if (const auto state = base::read_case_state(case_dir)) return *state;
    throw base::InputError(
        fmt::format("{}: has no readable {}. Run the study again; it writes the case anew.",
                    case_dir.string(),
                    base::case_state_file_name));
  }

  /// Throws away what does not stand.
  void prepare() {
    Resumption plan = plan_resumption(state_);
    if (plan.is_done) {
      const std::string damage = state_.kept == "tables" ? std::string() : result_damage(case_dir_);
      if (damage.empty()) return finish_quietly();
      plan = {.reason = "its result is damaged: " + damage};
      reopen();
    }
    print(fmt::format("{}: {}", task_.case_folder, plan.reason));
    require_no_orphans(case_dir_);
    if (plan.redo) rewind_case(state_, *plan.redo, case_dir_);
  }

  /// A run cut off between its last stage and its last word.
  void finish_quietly() {
    print(fmt::format("{}: all done before", task_.case_folder));
    if (state_.phase == base::CasePhase::Finished) return;
    state_.phase = base::CasePhase::Finished;
    base::write_case_state(state_, case_dir_);
  }

  /// Unlike a sound result, which is gone on with, a damaged one must never be what is split for the ranks.
  void reopen() {
    std::erase_if(state_.finished, [](const base::StageTime& stage) {
      return stage.name == foam::solve_stage || stage.name == "join";
    });
    state_.phase = base::CasePhase::Running;
    base::write_case_state(state_, case_dir_);
  }

  void use_stages() { run_.stages = foam::case_stages(state_.ranks, state_.start_from, sweep_.launcher); }

  std::size_t n_mesh_stages() const {
    return static_cast<std::size_t>(std::count_if(
        run_.stages.begin(), run_.stages.end(), [](const auto& stage) { return stage.step == Step::Mesh; }));
  }

  bool is_meshed() const { return state_.finished.size() >= n_mesh_stages(); }

  /// From the store, or made and put there; one task at a time makes a mesh. False: it failed.
  bool make_mesh() {
    if (is_meshed()) return true;
    const base::FolderLock lock = lock_of_mesh();
    if (const auto stages = take_mesh(store_, state_.keys.mesh, case_dir_)) {
      state_.finished = *stages;
      base::write_case_state(state_, case_dir_);
      print("  mesh: another case's, of the same shape and grid");
      return true;
    }
    state_ = run_stages(run_, state_, n_mesh_stages());
    if (state_.phase == base::CasePhase::Failed) return false;
    keep_mesh(store_, state_.keys.mesh, case_dir_, finished_stages(state_, Step::Mesh));
    return true;
  }

  base::FolderLock lock_of_mesh() const {
    std::error_code error;
    fs::create_directories(store_, error);
    const std::string name = state_.keys.mesh + ".lock";
    for (;;) {
      throw_if_interrupted();
      try {
        return {store_, name, "mesh of " + task_.case_folder, std::chrono::milliseconds(500)};
      } catch (const base::ExternalError&) {
        if (base::lock_holder(store_, name).empty()) throw;  // it cannot be made at all
      }
    }
  }

  /// Start field, solver, joining. False: it failed; the state says why.
  bool solve() {
    take_ranks();
    choose_start();
    use_stages();
    foam::write_ranks(case_dir_, state_.ranks, run_.stages);
    progress_.ranks(state_.ranks);
    const auto solver = std::find_if(run_.stages.begin(), run_.stages.end(), [](const auto& stage) {
      return stage.name == foam::solve_stage;
    });
    const auto before_solver = static_cast<std::size_t>(solver - run_.stages.begin());
    if (state_.finished.size() <= before_solver && !make_ready(before_solver)) return false;
    state_ = run_stages(run_, state_, run_.stages.size());
    if (state_.phase != base::CasePhase::Finished) return false;
    if (const auto end = base::read_solver_end(case_dir_)) {
      print(fmt::format("  solver {}", base::solver_end_text(*end)));
      return require_whole(seal_checkpoints(case_dir_, 1, end->iteration + 1));
    }
    return true;
  }

  /// Takes it for a failure when a field came out cut short.
  bool require_whole(const std::string& trouble) {
    if (trouble.empty()) return true;
    state_.phase = base::CasePhase::Failed;
    state_.can_go_on = true;
    state_.message = fmt::format(
        "{}: {}. Make room on the disk and run the same again, it goes on.", case_dir_.string(), trouble);
    if (!state_.finished.empty()) state_.finished.pop_back();
    base::write_case_state(state_, case_dir_);
    return false;
  }

  /// Fields that the solver can begin with: its start, or its last sound iteration.
  bool make_ready(std::size_t before_solver) {
    if (state_.finished.size() < before_solver) {
      forget_checkpoints(case_dir_, state_.ranks);
      state_ = run_stages(run_, state_, before_solver);
      if (state_.phase == base::CasePhase::Failed) return false;
      return require_whole(seal_checkpoints(case_dir_, state_.ranks, newest_iteration() + 1));
    }
    const std::optional<Restored> restored = restore_checkpoint(case_dir_, state_.ranks);
    if (restored) {
      if (!restored->trouble.empty()) print("  " + restored->trouble);
      if (restored->iteration > 0) print(fmt::format("  goes on after iteration {}", restored->iteration));
      return true;
    }
    print("  no field of it is sound: starts over from its mesh");
    rewind_case(state_, Step::Mesh, case_dir_);
    if (!make_mesh()) return false;
    choose_start();
    use_stages();
    return make_ready(before_solver);
  }

  /// The ranks of the sweep, also for a case whose fields are split for others.
  void take_ranks() {
    const bool is_begun = !finished_stages(state_, Step::Solve).empty() || state_.begun == foam::solve_stage;
    if (state_.ranks == 1) remove_rank_folders();
    if (state_.ranks == task_.ranks) return;
    if (is_begun && !regroup()) return;
    state_.ranks = task_.ranks;
    state_.begun.clear();
    base::write_case_state(state_, case_dir_);
    if (state_.ranks == 1) remove_rank_folders();  // only now: cut off before, they are what is gone on from
  }

  /// Joins the fields of the old ranks. False: they stay, since the solver has ended and only joining is
  /// left.
  bool regroup() {
    if (finished_stages(state_, Step::Solve).size() > 1) return false;
    const std::optional<Restored> restored = restore_checkpoint(case_dir_, state_.ranks);
    if (!restored) rewind_case(state_, Step::Start, case_dir_);
    if (restored && restored->iteration > 0 && state_.ranks > 1) {
      const Command command{.words = {"reconstructPar", "-latestTime"},
                            .directory = case_dir_,
                            .log = case_dir_ / "log.regroup",
                            .environment = run_.environment};
      forget_checkpoints(case_dir_, 1);
      if (run_process(command).exit_code != 0) return false;
      if (!seal_checkpoints(case_dir_, 1, restored->iteration + 1).empty()) return false;
    }
    state_.finished = without_solve();
    return true;
  }

  void remove_rank_folders() const {
    std::vector<fs::path> gone;
    std::error_code error;
    for (fs::directory_iterator i(case_dir_, error), end; !error && i != end; i.increment(error)) {
      if (i->path().filename().string().starts_with("processor")) gone.push_back(i->path());
    }
    for (const fs::path& folder : gone) fs::remove_all(folder, error);
  }

  std::vector<base::StageTime> without_solve() const {
    std::vector<base::StageTime> stages = finished_stages(state_, Step::Mesh);
    for (const base::StageTime& stage : finished_stages(state_, Step::Start)) stages.push_back(stage);
    return stages;
  }

  /// The sweep's source of the start field when it is any good, as long as none has been begun with.
  void choose_start() {
    if (!finished_stages(state_, Step::Start).empty()) return;
    state_.start_from = no_start_from_ ? std::string() : task_.start_from;
    if (!state_.start_from.empty()) {
      const fs::path source = output_ / state_.start_from;
      const auto other = base::read_case_state(source);
      const bool is_good = other && other->phase == base::CasePhase::Finished && other->kept != "tables" &&
                           result_damage(source).empty();
      if (!is_good) {
        print(fmt::format("  starts from still air: {} has no result to start from", state_.start_from));
        state_.start_from.clear();
      }
    }
    base::write_case_state(state_, case_dir_);
    base::Manifest manifest = base::read_manifest(case_dir_);
    if (manifest.start_from == state_.start_from) return;
    manifest.start_from = state_.start_from;
    base::write_manifest(manifest, case_dir_);
  }

  /// Largest iteration there is a field of, on the first rank.
  int newest_iteration() const {
    const std::vector<int> iterations = iterations_in(case_dir_ / rank_folders(state_.ranks).front());
    return iterations.empty() ? 0 : iterations.back();
  }

  /// The mesh must be good before a solver sees it; what it is like is told either way.
  void accept(const foam::Stage& stage) {
    try {
      if (stage.name == foam::check_stage) tell_mesh(stage);
      if (stage.name == foam::map_stage) fit_start(case_dir_, output_ / state_.start_from);
    } catch (const std::exception& error) {
      exit_code_ = base::exit_code_of(error);  // its type is lost in the state's text
      throw;
    }
  }

  void tell_mesh(const foam::Stage& stage) const {
    const meshing::GateResult gate =
        meshing::check_mesh_gate(base::read_manifest(case_dir_), case_dir_, case_dir_ / stage.log);
    print(fmt::format("  mesh: {} cells, non-orthogonality up to {:.1f} deg, skewness up to {:.2f}, Mesh OK",
                      gate.report.n_cells,
                      gate.report.max_non_orthogonality,
                      gate.report.max_skewness));
  }

  bool has_diverged_from_other() const {
    return !state_.can_go_on && !state_.start_from.empty() && state_.begun == foam::solve_stage;
  }

  bool is_disk_full() const { return state_.message.find("Make room on the disk") != std::string::npos; }

  int fail() const {
    print(fmt::format("  FAILED: {}", state_.message));
    return exit_code_;
  }

  fs::path output_;
  const base::Sweep& sweep_;
  const base::Task& task_;
  fs::path case_dir_;
  fs::path store_;
  base::CaseState state_;
  CaseRun run_;
  ProgressWriter progress_;
  int exit_code_ = 3;
  bool no_start_from_ = false;
};

}  // namespace

int run_task(const fs::path& output, const base::Sweep& sweep, std::size_t index) {
  const InterruptHold hold;
  const base::Task& task = sweep.tasks.at(index);
  const fs::path case_dir = output / task.case_folder;
  if (!fs::is_directory(case_dir)) {
    throw base::InputError(
        fmt::format("{}: is not there. Run the study again; it writes the case.", case_dir.string()));
  }
  const base::FolderLock lock(
      case_dir, base::case_lock_name, "cowlwright task: " + base::task_name(task), base::case_lock_patience);
  return TaskRun(output, sweep, task).work();
}

}  // namespace cowlwright::run
