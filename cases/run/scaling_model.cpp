// SPDX-License-Identifier: GPL-3.0-or-later
//
// What meshing and solving cost.
#include "cases/foam/stages.h"
#include "cases/run/packing.h"
#include "geometry/base/case_state.h"
#include "geometry/base/manifest.h"
#include "geometry/base/solver_end.h"

#include <algorithm>
#include <optional>
#include <vector>

namespace cowlwright::run {
namespace {

namespace fs = std::filesystem;

constexpr double most_correction = 10.0;  // either way; beyond it a stage's time says something else

/// The draft grid of the starter shape (71,602 cells) on the two cores of a virtual machine, least of two
/// turns: tests/benchmark/packing_side_by_side over 45 iterations, and one mesh. What a rank more costs was
/// measured between one and two ranks and is taken to be the same for each further one.
ScalingModel measured_once() {
  return {.mesh_seconds_per_cell = 4.8e-4,
          .solve_seconds_per_cell_iteration = 5.15e-6,
          .solve_seconds_per_iteration_and_rank = 0.05,
          .shared_slowdown = 0.105,
          .start_seconds = 4.0,
          .bytes_per_cell = 2700.0,
          .mesh_bytes_per_cell = 2400.0,
          .bytes_per_rank = 60e6,
          .disk_bytes_per_cell = 950.0,
          .most_ranks_measured = 2};
}

struct MeasuredTimes {
  double mesh = 0.0;
  double solve = 0.0;
};

/// Times of one case's mesh and solver over the model's; 0 where it tells nothing: reused, or the solver was
/// stopped in between.
MeasuredTimes ratios_of(const fs::path& case_dir, const ScalingModel& model) {
  MeasuredTimes measured;
  const std::optional<base::CaseState> state = base::read_case_state(case_dir);
  if (!state || !fs::exists(case_dir / base::manifest_file_name)) return measured;
  const double cells = base::read_manifest(case_dir).expected_cells;
  for (const base::StageTime& stage : state->finished) {
    if (!stage.is_reused && foam::is_mesh_stage(stage.name)) measured.mesh += stage.seconds;
    if (!stage.is_reused && stage.name == foam::solve_stage) measured.solve = stage.seconds;
  }
  const std::optional<base::SolverEnd> end = base::read_solver_end(case_dir);
  const bool is_whole = end && !fs::exists(case_dir / "log.solve.1");
  const double busy = 1.0 + model.shared_slowdown;
  measured.mesh /= busy * model.mesh_seconds(cells);
  measured.solve =
      is_whole ? measured.solve / (busy * model.solve_seconds(cells, end->iteration, state->ranks)) : 0.0;
  return measured;
}

double median_ratio(std::vector<double> ratios) {
  std::erase_if(ratios, [](double r) { return !(r > 1.0 / most_correction && r < most_correction); });
  if (ratios.empty()) return 1.0;
  const auto middle = ratios.begin() + static_cast<std::ptrdiff_t>(ratios.size() / 2);
  std::nth_element(ratios.begin(), middle, ratios.end());
  return *middle;
}

}  // namespace

ScalingModel measured_scaling(const fs::path& output) {
  ScalingModel model = measured_once();
  std::vector<double> mesh;
  std::vector<double> solve;
  std::error_code failure;
  for (fs::directory_iterator i(output, failure), end; !failure && i != end; i.increment(failure)) {
    const MeasuredTimes ratios = ratios_of(i->path(), model);
    if (ratios.mesh > 0.0) mesh.push_back(ratios.mesh);
    if (ratios.solve > 0.0) solve.push_back(ratios.solve);
  }
  model.n_cases_measured = static_cast<int>(solve.size());
  model.mesh_seconds_per_cell *= median_ratio(mesh);
  const double solver = median_ratio(solve);
  model.solve_seconds_per_cell_iteration *= solver;
  model.solve_seconds_per_iteration_and_rank *= solver;
  model.start_seconds *= solver;
  return model;
}

}  // namespace cowlwright::run
