// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading and parsing a study file, and gathering what is wrong with it.
#include "geometry/base/study_file.h"

#include "geometry/base/error.h"
#include "geometry/base/nearest_name.h"
#include "geometry/base/study_nodes.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <map>
#include <sstream>
#include <tuple>

namespace cowlwright::base {

void Complaints::add(std::string_view file, Position position, std::string_view message) {
  Entry entry{position, fmt::format("{}:{}:{}: {}", file, position.line, position.column, message)};
  std::replace(entry.text.begin(), entry.text.end(), '\n', ' ');  // of a value over several lines
  const auto is_before = [](const Entry& a, const Entry& b) {
    return std::tie(a.position.line, a.position.column) < std::tie(b.position.line, b.position.column);
  };
  const auto [first, last] = std::equal_range(entries_.begin(), entries_.end(), entry, is_before);
  if (std::none_of(first, last, [&](const Entry& known) { return known.text == entry.text; })) {
    entries_.insert(last, std::move(entry));
  }
}

std::vector<std::string> Complaints::messages() const {
  std::vector<std::string> texts;
  for (const Entry& entry : entries_) {
    texts.push_back(entry.text);
  }
  return texts;
}

void Complaints::throw_if_any() const {
  if (!empty()) {
    throw InputError(fmt::format("{}", fmt::join(messages(), "\n")));
  }
}

Position position_of(const toml::source_region& source) {
  return {std::max<std::uint32_t>(source.begin.line, 1), std::max<std::uint32_t>(source.begin.column, 1)};
}

const toml::table* find_section(const toml::table& root, std::string_view name) {
  const toml::node* node = root.get(name);
  return node != nullptr ? node->as_table() : nullptr;
}

std::string node_text(const toml::node& node) {
  if (const auto* text = node.as_string()) {
    return text->get();
  }
  if (const auto* array = node.as_array()) {
    std::vector<std::string> parts;
    for (const toml::node& element : *array) {
      parts.push_back(node_text(element));
    }
    return fmt::format("[{}]", fmt::join(parts, ", "));
  }
  if (const auto* number = node.as_floating_point()) {
    return fmt::format("{}", number->get());  // the fewest digits that read back; toml++ writes all 17
  }
  std::ostringstream out;
  out << toml::node_view<const toml::node>(node);
  return out.str();
}

std::string_view kind_of(const toml::node& node) {
  switch (node.type()) {
    case toml::node_type::string:
      return "a text";
    case toml::node_type::integer:
    case toml::node_type::floating_point:
      return "a number";
    case toml::node_type::boolean:
      return "true or false";
    case toml::node_type::array:
      return "a list";
    case toml::node_type::table:
      return "a section";
    default:
      return "a date or time";
  }
}

std::vector<Member> members_in_file_order(const toml::table& table) {
  std::vector<Member> members;
  for (auto&& [key, node] : table) {
    members.push_back({&key, &node, position_of(key.source())});
  }
  std::stable_sort(members.begin(), members.end(), [](const Member& a, const Member& b) {
    return std::tie(a.position.line, a.position.column) < std::tie(b.position.line, b.position.column);
  });
  return members;
}

const toml::node* varied_node(const toml::table& root, const Setting& setting) {
  const toml::table* vary = find_section(root, vary_section);
  const toml::node* list = vary != nullptr ? vary->get(setting.key) : nullptr;
  if (list == nullptr || !list->is_array()) {
    return nullptr;
  }
  for (const toml::node& element : *list->as_array()) {
    if (node_text(element) == setting.text) {
      return &element;
    }
  }
  return nullptr;
}

StudyFile StudyFile::read(const std::filesystem::path& path) {
  return parse(read_text(path), path.string());
}

StudyFile StudyFile::parse(std::string_view text, std::string name) {
  auto content = std::make_unique<Content>();
  content->name = std::move(name);
  content->text = text;
  try {
    content->root = toml::parse(text, content->name);
  } catch (const toml::parse_error& error) {
    const Position position = position_of(error.source());
    throw InputError(fmt::format(
        "{}:{}:{}: not valid TOML: {}. Texts and quantities stand in quotation marks, as in gap = "
        "\"75 mm\"; a section begins with its name in square brackets.",
        content->name,
        position.line,
        position.column,
        error.description()));
  }
  return StudyFile(std::move(content));
}

StudyFile::StudyFile(std::unique_ptr<Content> content) : content_(std::move(content)) {}
StudyFile::StudyFile(StudyFile&&) noexcept = default;
StudyFile& StudyFile::operator=(StudyFile&&) noexcept = default;
StudyFile::~StudyFile() = default;

const std::string& StudyFile::name() const {
  return content_->name;
}

const std::string& StudyFile::text() const {
  return content_->text;
}

void StudyFile::check_section_names(std::span<const std::string_view> known, Complaints& complaints) const {
  const auto is_known = [&](std::string_view name) {
    return name == vary_section || std::find(known.begin(), known.end(), name) != known.end();
  };
  for (const Member& member : members_in_file_order(content_->root)) {
    const std::string_view section = member.key->str();
    if (!is_known(section)) {
      complaints.add(name(),
                     member.position,
                     fmt::format("unknown section [{}].{}", section, suggestion(section, known)));
    } else if (!member.node->is_table()) {
      complaints.add(
          name(),
          member.position,
          fmt::format("{} is {}, but must be a section. Write [{}] on a line of its own, its keys below.",
                      section,
                      kind_of(*member.node),
                      section));
    }
  }
  const toml::table* vary = find_section(content_->root, vary_section);
  for (const Member& member : vary != nullptr ? members_in_file_order(*vary) : std::vector<Member>{}) {
    const std::string_view key = member.key->str();
    const std::string_view section = key.substr(0, key.find('.'));
    if (section.size() < key.size() && (section == vary_section || !is_known(section))) {
      complaints.add(
          name(),
          member.position,
          fmt::format("[vary] {}: unknown section {}.{}", key, section, suggestion(section, known)));
    }
  }
}

std::string StudyFile::values_text(const Variant& variant, std::span<const std::string_view> left_out) const {
  std::map<std::string, std::string> values;
  for (auto&& [section, content] : content_->root) {
    const toml::table* table = content.as_table();
    if (table == nullptr || section == vary_section || section == "study") continue;
    for (auto&& [key, node] : *table)
      values[fmt::format("{}.{}", section.str(), key.str())] =
          fmt::format("{} {}", kind_of(node), node_text(node));
  }
  for (const Setting& setting : variant.settings) {
    const toml::node* node = varied_node(content_->root, setting);
    const std::string_view kind = node != nullptr ? kind_of(*node) : "a text";
    values[setting.key] = fmt::format("{} {}", kind, setting.text);
  }
  std::string text;
  for (const auto& [key, value] : values) {
    if (std::find(left_out.begin(), left_out.end(), key) == left_out.end())
      text += fmt::format("{} = {}\n", key, value);
  }
  return text;
}

SectionReader StudyFile::section(std::string_view section_name,
                                 const Variant& variant,
                                 Complaints& complaints) const {
  return {*this, std::string(section_name), variant, complaints};
}

}  // namespace cowlwright::base
