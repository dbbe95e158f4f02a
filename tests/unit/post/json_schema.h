// SPDX-License-Identifier: GPL-3.0-or-later
//
// The part of JSON Schema that results.schema.json uses: type, enum, required, properties,
// additionalProperties, items and references into $defs.
#pragma once

#include <nlohmann/json.hpp>

#include <string>
#include <vector>

namespace cowlwright::post::synthetic {

/// "place: what" for every violation.
std::vector<std::string> schema_violations(const nlohmann::json& document, const nlohmann::json& schema);

}  // namespace cowlwright::post::synthetic
