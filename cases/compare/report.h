// SPDX-License-Identifier: GPL-3.0-or-later
//
// A comparison as text for people, as a table and as JSON.
#pragma once

#include "cases/compare/comparison.h"
#include "cases/compare/next_study.h"

#include <functional>
#include <string>
#include <vector>

namespace cowlwright::compare {

/// Whether a study file gives a key, by its name or its common name.
using IsStated = std::function<bool(const Key&)>;

/// Everything that is written down.
struct Report {
  std::string good_name;  ///< "good.toml, variant base"
  std::string mine_name;
  const VariantSpec* good = nullptr;
  const VariantSpec* mine = nullptr;
  Comparison comparison;
  std::vector<Candidate> candidates;
  NextStudy next;
  std::string next_file;                ///< name of the study file; empty when there is none
  std::vector<std::string> next_check;  ///< what building its shapes said: one line per variant
  IsStated is_stated_in_good;
  IsStated is_stated_in_mine;
};

/// "flight condition", "power", "installation", "estimate", "solver".
std::string topic_word(Topic topic);

/// What the screen shows: answer, details, cautions.
std::string short_text(const Report& report);

/// compare.md
std::string markdown(const Report& report);

/// compare.csv: a row for each detail.
std::string csv(const Report& report);

/// compare.json, version 1.
std::string json(const Report& report);

}  // namespace cowlwright::compare
