// SPDX-License-Identifier: GPL-3.0-or-later
//
// The six-cylinder study with parts of its text changed.
#pragma once

#include "cases/envelope/grid.h"
#include "cases/study.h"
#include "geometry/base/text_file.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <string>
#include <utility>
#include <vector>

namespace cowlwright::testing_support {

using Changes = std::vector<std::pair<std::string, std::string>>;

/// @param changes  texts and what replaces their first occurrence; each must be there.
inline VariantSpec six_cylinders(const Changes& changes = {}) {
  std::string text =
      base::read_text(std::filesystem::path(COWLWRIGHT_TEST_DATA) / "studies/six_cylinder_envelope.toml");
  for (const auto& [from, to] : changes) {
    const std::size_t at = text.find(from);
    EXPECT_NE(at, std::string::npos) << from;
    if (at != std::string::npos) text.replace(at, from.size(), to);
  }
  return parse_study(text, "six.toml").variants.front();
}

inline envelope::DisturbedModel disturbed(const VariantSpec& spec) {
  return envelope::DisturbedModel(network::Model(spec, network::default_coefficients(spec)));
}

/// The same without a propeller: nothing to trim, so that a solve takes next to no time.
inline VariantSpec six_cylinders_gliding(Changes changes = {}) {
  changes.insert(changes.begin(), {"[propeller]", "[propeller]\nkind = \"none\""});
  return six_cylinders(changes);
}

/// Without readings.
inline VariantSpec without_readings(VariantSpec spec) {
  spec.readings.clear();
  return spec;
}

}  // namespace cowlwright::testing_support
