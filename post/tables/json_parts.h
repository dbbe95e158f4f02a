// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/tables: the parts of results.json.
#pragma once

#include "post/tables/comparison.h"

#include <nlohmann/json.hpp>

#include <cstddef>

namespace cowlwright::post {

using Json = nlohmann::ordered_json;

/// Everything about one variant.
Json variant_json(const Comparison& comparison, std::size_t index);

}  // namespace cowlwright::post
