// SPDX-License-Identifier: GPL-3.0-or-later
//
// Everything reported about one solved case: the quantities with their bands, how far they can be trusted,
// and the checks of our reading against the solver's own numbers.
#pragma once

#include "geometry/base/manifest.h"
#include "geometry/base/settling.h"
#include "geometry/base/solved_flow.h"
#include "geometry/base/solver_end.h"
#include "post/extract/field_means.h"
#include "post/extract/plane_flux.h"
#include "post/extract/provenance.h"
#include "post/quantities/balances.h"
#include "post/quantities/quantity.h"
#include "post/quantities/snapshot.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::post {

using base::Judgement;
using base::Status;

/// What was read of a case.
struct RawResults {
  double iteration = 0.0;  ///< of the fields
  bool is_decomposed = false;
  std::vector<PlaneFlux> fluxes;              ///< in the manifest's order of planes
  FieldMeans fields;                          ///< in the manifest's order of zones and planes
  std::vector<MonitorHistory> monitors;       ///< in the manifest's order
  std::optional<base::SolverEnd> solver_end;  ///< absent for a case that was run by hand
};

/// @throws InputError   when there is no such folder.
/// @throws ResultError  when there are no results, or they are damaged, not finite or do not fit the
/// manifest.
RawResults read_raw_results(const std::filesystem::path& case_dir, const base::Manifest& manifest);

/// Largest disagreement of two routes to the flows, over the planes.
struct RouteCheck {
  std::string plane;
  double difference = 0.0;  ///< relative
  double tolerance = 0.0;
  bool is_within() const { return difference <= tolerance; }
};

/// One of the grids a variant was solved on.
struct GridMember {
  std::string level;
  std::string folder;  ///< name of the case folder
  double cell_size = 0.0;
  std::size_t n_cells = 0;
  Status status = Status::NotSettled;
  std::string reason;   ///< of the status
  std::string trouble;  ///< why it does not count in a comparison of grids; empty: it does
};

/// How a judged quantity went over the iterations.
struct QuantityHistory {
  std::string id;
  std::string name;
  std::string unit;
  std::vector<double> values;  ///< (n_iterations)
};

/// For a plot; thinned evenly, the last iteration kept.
struct Histories {
  static constexpr std::size_t most_samples = 600;
  std::vector<double> iterations;  ///< rising; empty without monitors
  std::vector<QuantityHistory> series;
};

/// What a case tells of the parts of the air's way, for the quick estimate (solved_parts.h).
struct SolvedParts {
  std::optional<base::SolvedCase> parts;
  std::vector<std::string> missing;  ///< what the case lacks, in words; empty with parts
};

/// A coefficient that an estimate stands on.
struct EstimateCoefficient {
  std::string name;  ///< "exit discharge"
  double value = 0.0;
  double half_band = 0.0;  ///< same unit
  std::string unit;        ///< "-" for ratios
  std::string source;
  double shift = 0.0;  ///< of the deck pressure difference when it moves up by its half band [Pa]
};

struct VariantResult {
  base::Manifest manifest;
  std::filesystem::path case_dir;
  Judgement judgement;

  double iteration = 0.0;           ///< of the fields
  double last_iteration = 0.0;      ///< of the monitors; that of the fields without monitors
  double window_start = 0.0;        ///< first iteration in the window, when there are monitors
  int n_samples = 0;                ///< in the window; 0 without monitors
  base::AveragingWindow averaging;  ///< end of the transient, period of the swing
  std::size_t n_cells = 0;
  bool is_decomposed = false;

  Histories histories;                      ///< empty when failed
  std::vector<Quantity> quantities;         ///< empty when failed
  std::vector<BalanceCheck> balances;       ///< likewise; the first is the continuity closure
  std::optional<RouteCheck> monitor_check;  ///< our face fluxes against the solver's monitors
  std::optional<RouteCheck> field_check;    ///< rho u.n of the fields against the face fluxes

  std::vector<GridMember> grids;  ///< fine to coarse, the published one included; empty before grouping
  std::string discretisation{single_grid};  ///< what is known of the error of the grid, for the row

  std::vector<std::string> flags;  ///< what forbids to use the row as it stands
  std::vector<std::string> notes;  ///< what a reader should know

  SolvedParts solved;  ///< empty of a failed or closed case

  Provenance provenance;  ///< empty for what was evaluated without files

  std::vector<EstimateCoefficient> coefficients;  ///< of an estimate; empty for a solved case

  bool has_failed() const { return judgement.status == Status::Failed; }
  bool is_estimate() const { return judgement.status == Status::Estimate; }
  const Quantity* find(std::string_view id) const;
};

/// Computes all quantities. Free of files.
VariantResult evaluate(const base::Manifest& manifest, const RawResults& raw);

/// Reads and evaluates one case. A case without usable results comes back as failed, with the reason.
/// @throws InputError  when there is no such folder or its manifest is missing or damaged.
VariantResult extract_case(const std::filesystem::path& case_dir);

}  // namespace cowlwright::post
