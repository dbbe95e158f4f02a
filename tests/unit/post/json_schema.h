// SPDX-License-Identifier: GPL-3.0-or-later
//
// results.json held against its published schema by a validator that is not ours.
#pragma once

#include <nlohmann/json.hpp>

#include <string>
#include <vector>

namespace cowlwright::post::synthetic {

/// "place: what" for every violation of post/tables/results.schema.json.
/// @throws std::runtime_error  when the validator does not run.
std::vector<std::string> schema_violations(const nlohmann::json& document);

/// The same of another schema's file.
std::vector<std::string> schema_violations(const nlohmann::json& document, const std::string& schema);

}  // namespace cowlwright::post::synthetic
