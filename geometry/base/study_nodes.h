// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to this folder: the parsed tree behind a study file. The only header that knows toml++.
#pragma once

#include "geometry/base/study_file.h"

#include <toml++/toml.h>

#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::base {

/// A study file's text and its tree. Nodes carry their positions, which copies would lose: never copy them.
struct StudyFile::Content {
  std::string name;
  std::string text;
  toml::table root;
};

inline constexpr std::string_view vary_section = "vary";

/// Where a node or key stands; line 1, column 1 when toml++ does not know.
Position position_of(const toml::source_region& source);

/// The section of this name; null when it is absent or not a section.
const toml::table* find_section(const toml::table& root, std::string_view name);

/// A value as one writes it in a table: texts bare, numbers plain, lists in brackets.
std::string node_text(const toml::node& node);

/// What a node is, for messages: "a text", "a number", "a list", "a section", ...
std::string_view kind_of(const toml::node& node);

/// One key of a section.
struct Member {
  const toml::key* key = nullptr;
  const toml::node* node = nullptr;
  Position position;  ///< of the key
};

/// The keys of a table in the order of the file (toml++ sorts them by name).
std::vector<Member> members_in_file_order(const toml::table& table);

/// The element of [vary] that a setting stands for; null when there is none.
const toml::node* varied_node(const toml::table& root, const Setting& setting);

}  // namespace cowlwright::base
