// SPDX-License-Identifier: GPL-3.0-or-later
//
// What follows from a study's numbers before anything is solved: the table of `cowlwright check`.
#pragma once

#include "cases/study.h"
#include "geometry/shape/installation.h"

#include <string>
#include <vector>

namespace cowlwright::verbs {

/// One line of the table.
struct DerivedRow {
  std::string section;    ///< "Flight", "Openings", ...
  std::string name;       ///< "dynamic pressure q"
  std::string si;         ///< "1993.1 Pa"
  std::string practical;  ///< "8.00 inH2O"; empty when there is no other unit
};

/// @param passages  of the variant's shape; each gets a row.
/// @throws ResultError  when the propeller cannot absorb its power.
std::vector<DerivedRow> derived_rows(const VariantSpec& spec, const std::vector<shape::Passage>& passages);

/// Aligned columns with a heading per section.
std::string derived_table(const std::vector<DerivedRow>& rows);

/// The rows of `rows` that differ from those of the baseline.
std::vector<DerivedRow> differing_rows(const std::vector<DerivedRow>& rows,
                                       const std::vector<DerivedRow>& baseline);

}  // namespace cowlwright::verbs
