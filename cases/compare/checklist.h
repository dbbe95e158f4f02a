// SPDX-License-Identifier: GPL-3.0-or-later
//
// What makes one engine hot and another not, and stands in no study file.
#pragma once

#include <string>
#include <vector>

namespace cowlwright::compare {

struct ChecklistEntry {
  std::string subject;  ///< "Ignition timing"
  std::string question;
};

/// Common practice, no source; to be gone through on both aircraft.
const std::vector<ChecklistEntry>& checklist();

/// The cautions every output with an estimate carries.
std::string cautions();

}  // namespace cowlwright::compare
