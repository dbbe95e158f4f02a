// SPDX-License-Identifier: GPL-3.0-or-later
//
// What verb `repair` did, as a table and as JSON.
#pragma once

#include "geometry/imported/repair.h"
#include "geometry/imported/wrap.h"

#include <optional>
#include <string>

namespace cowlwright::verbs {

struct RepairOutcome {
  std::string file;    ///< as the user named it
  std::string format;  ///< "binary STL"
  imported::RepairSettings settings{};
  imported::RepairedSurface repaired{};
  std::optional<imported::WrappedSurface> wrapped{};

  const shape::Surface& surface() const { return wrapped ? wrapped->surface : repaired.surface; }
  const imported::Deviation& deviation() const { return wrapped ? wrapped->deviation : repaired.deviation; }
};

/// Tables: before and after, steps, what was left out, openings that stay, deviations [mm].
std::string report_text(const RepairOutcome& outcome);

/// The same as JSON, lengths in m, areas in m², volumes in m³. `refusal` says why the surface was not
/// written; empty: it was.
std::string report_json(const RepairOutcome& outcome, const std::string& refusal);

}  // namespace cowlwright::verbs
