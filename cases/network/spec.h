// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a study says about the quick estimate. Included by cases/study.h, so it includes nothing above
// geometry/base.
#pragma once

#include "geometry/base/study_file.h"

#include <filesystem>
#include <optional>

namespace cowlwright::network {

struct EstimateSpec {
  /// What solved cases say, written by `cowlpost`; absolute or relative to the working directory.
  std::optional<std::filesystem::path> solved_flow;
};

/// Reads [estimate]: `solved_flow`, a path relative to the study file. Complains when there is no such file.
EstimateSpec read_estimate_spec(const base::StudyFile& file,
                                const base::Variant& variant,
                                base::Complaints& complaints);

}  // namespace cowlwright::network
