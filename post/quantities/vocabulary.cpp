// SPDX-License-Identifier: GPL-3.0-or-later
//
// The table of reported quantities, put together from its groups.
#include "post/quantities/quantity.h"
#include "post/quantities/vocabulary_parts.h"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>
#include <vector>

namespace cowlwright::post {

std::span<const QuantitySpec> vocabulary() {
  static const std::vector<QuantitySpec> table = [] {
    std::vector<QuantitySpec> all;
    for (const auto& part : {deck_entries(),
                             passage_entries(),
                             exit_entries(),
                             temperature_entries(),
                             propeller_entries(),
                             drag_entries(),
                             wall_entries()}) {
      all.insert(all.end(), part.begin(), part.end());
    }
    return all;
  }();
  return table;
}

const QuantitySpec& quantity_spec(std::string_view id) {
  const std::span<const QuantitySpec> table = vocabulary();
  const auto found =
      std::find_if(table.begin(), table.end(), [id](const QuantitySpec& spec) { return spec.id == id; });
  if (found == table.end()) {
    throw std::out_of_range(fmt::format("no reported quantity with id {}", id));
  }
  return *found;
}

Quantity empty_quantity(std::string_view id, std::string_view part) {
  const QuantitySpec& spec = quantity_spec(id);
  Quantity quantity;
  quantity.order = static_cast<std::size_t>(&spec - vocabulary().data());
  quantity.id = spec.id;
  quantity.group = spec.group;
  quantity.name = spec.name;
  quantity.unit = spec.unit;
  quantity.definition = spec.definition;
  quantity.decimals = spec.decimals;
  quantity.difference_in = spec.difference_in;
  if (!part.empty()) {
    quantity.id += fmt::format("_{}", part);
    quantity.name += fmt::format(", {}", part);
  }
  return quantity;
}

}  // namespace cowlwright::post
