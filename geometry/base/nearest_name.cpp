// SPDX-License-Identifier: GPL-3.0-or-later
//
// Edit distance by the usual two-row table.
#include "geometry/base/nearest_name.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <numeric>
#include <vector>

namespace cowlwright::base {

namespace {

char lower(char c) {
  return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

}  // namespace

std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> above(b.size() +
                                 1);  // distances of the letters of `a` so far to each start of `b`
  std::iota(above.begin(), above.end(), std::size_t{0});
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t i = 0; i < a.size(); ++i) {
    row[0] = i + 1;
    for (std::size_t j = 0; j < b.size(); ++j) {
      const std::size_t replaced = above[j] + (lower(a[i]) == lower(b[j]) ? 0 : 1);
      row[j + 1] = std::min({replaced, above[j + 1] + 1, row[j] + 1});
    }
    std::swap(above, row);
  }
  return above.back();
}

std::string suggestion(std::string_view unknown, std::span<const std::string_view> known) {
  if (known.empty()) {
    return {};
  }
  const auto nearest = std::min_element(known.begin(), known.end(), [&](auto a, auto b) {
    return edit_distance(unknown, a) < edit_distance(unknown, b);
  });
  const std::size_t longest = std::max(unknown.size(), nearest->size());
  if (edit_distance(unknown, *nearest) <= std::max<std::size_t>(2, longest / 2)) {
    return fmt::format(" Did you mean {}?", *nearest);
  }
  return fmt::format(" Known: {}.", fmt::join(known, ", "));
}

}  // namespace cowlwright::base
