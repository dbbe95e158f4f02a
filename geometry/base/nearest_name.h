// SPDX-License-Identifier: GPL-3.0-or-later
//
// The name a person most likely meant when the one they wrote is unknown.
#pragma once

#include <span>
#include <string>
#include <string_view>

namespace cowlwright::base {

/// Number of single-character insertions, deletions and replacements that turn one text into the other.
/// Capital and small ASCII letters count as equal. Source: Levenshtein's definition.
std::size_t edit_distance(std::string_view a, std::string_view b);

/// The end of a message about an unknown name: " Did you mean X?" when one known name is near (at most two
/// edits, or half of the letters of a long name), else " Known: a, b, c." Empty when nothing is known.
std::string suggestion(std::string_view unknown, std::span<const std::string_view> known);

}  // namespace cowlwright::base
