// SPDX-License-Identifier: GPL-3.0-or-later
//
// How a run goes on with a case folder it finds.
#pragma once

#include "cases/foam/case.h"
#include "geometry/base/case_state.h"

#include <optional>
#include <string>
#include <vector>

namespace cowlwright::run {

/// What a run finds in a case folder.
struct Resumption {
  bool start_over = true;  ///< write the case anew and run every stage
  std::size_t first_stage =
      0;  ///< otherwise: index of the first stage to run; the number of stages when all are done
  std::string reason{};  ///< for the user, one clause: "its inputs have changed"
};

/// Decides how to go on. A mesh stage that was broken off starts the case over, because it may have left half
/// a mesh; checks, the solver (from its latest written iteration) and the joining of results go on where they
/// stopped.
/// @param stages  the case's stages for `state->ranks` when there is a state.
Resumption plan_resumption(const std::optional<base::CaseState>& state,
                           const std::vector<foam::Stage>& stages,
                           const std::string& input_hash);

}  // namespace cowlwright::run
