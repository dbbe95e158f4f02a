// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a case's steps depend on, as hashes: equal keys mean that a step's result can be taken over.
#pragma once

#include "cases/foam/case.h"

#include <cstddef>
#include <string>

namespace cowlwright::foam {

/// base::StepKeys::source, without building anything: of the study's values as the variant sees them (ranks
/// left out), of a surface of the user's own, and of this very program, so that a change of any of them has
/// the case's files built again. Whether the mesh or the result stands is then decided by the other keys.
std::string source_key(const Study& study, std::size_t variant_index, const CasePlan& plan);

/// All keys of a case whose files are built.
base::StepKeys step_keys(const Study& study,
                         std::size_t variant_index,
                         const CasePlan& plan,
                         const Case& built);

/// base::Manifest::input_hash: of the solve key and of what ends the solver.
std::string input_hash(const Case& built);

}  // namespace cowlwright::foam
