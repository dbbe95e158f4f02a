// SPDX-License-Identifier: GPL-3.0-or-later
//
// Typed reading of one section as one variant sees it.
#include "geometry/base/error.h"
#include "geometry/base/nearest_name.h"
#include "geometry/base/study_file.h"
#include "geometry/base/study_nodes.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::base {

struct SectionReader::Node {
  const toml::node* value = nullptr;
  Position position;
};

namespace {

bool is_inside(double value, const Range& range) {
  const bool is_above = range.low_is_open ? value > range.low : value >= range.low;
  const bool is_below = range.high_is_open ? value < range.high : value <= range.high;
  return is_above && is_below;
}

bool is_bounded(double bound) {
  return std::abs(bound) < 1e300;
}

/// Some value inside the range, to go on reading with after a complaint.
double harmless(const Range& range) {
  if (is_bounded(range.low) && is_bounded(range.high)) {
    return 0.5 * (range.low + range.high);
  }
  if (is_bounded(range.low)) {
    return range.low + 1.0;
  }
  return is_bounded(range.high) ? range.high - 1.0 : 1.0;
}

/// "must be at least 10 mm and below 2 m (why)"; `bound` writes one bound with its unit.
template <typename WriteBound>
std::string rule(const Range& range, const WriteBound& bound) {
  std::vector<std::string> parts;
  if (is_bounded(range.low)) {
    parts.push_back(fmt::format("{} {}", range.low_is_open ? "above" : "at least", bound(range.low)));
  }
  if (is_bounded(range.high)) {
    parts.push_back(fmt::format("{} {}", range.high_is_open ? "below" : "at most", bound(range.high)));
  }
  if (parts.empty()) {
    parts.emplace_back("finite");
  }
  const std::string reason = range.reason.empty() ? std::string{} : fmt::format(" ({})", range.reason);
  return fmt::format("must be {}{}", fmt::join(parts, " and "), reason);
}

std::string quoted_list(std::span<const std::string_view> choices) {
  std::vector<std::string> parts;
  for (const std::string_view choice : choices) {
    parts.push_back(fmt::format("\"{}\"", choice));
  }
  return fmt::format("{}", fmt::join(parts, ", "));
}

std::string shown(const toml::node& node) {
  return node.is_string() ? fmt::format("\"{}\"", node_text(node)) : node_text(node);
}

std::string quantity_form(std::string_view key, Dimension dimension) {
  return fmt::format("{} = \"<number> <unit>\", {} in one of: {}",
                     key,
                     dimension_phrase(dimension),
                     fmt::join(unit_symbols(dimension), ", "));
}

}  // namespace

SectionReader::SectionReader(const StudyFile& file,
                             std::string section,
                             const Variant& variant,
                             Complaints& complaints)
    : file_(&file), section_(std::move(section)), variant_(&variant), complaints_(&complaints) {}

SectionReader::Node SectionReader::find(std::string_view key) const {
  const toml::table& root = file_->content_->root;
  const std::string full_key = fmt::format("{}.{}", section_, key);
  for (const Setting& setting : variant_->settings) {
    const toml::node* varied = setting.key == full_key ? varied_node(root, setting) : nullptr;
    if (varied != nullptr) {
      return {varied, position_of(varied->source())};
    }
  }
  const toml::table* table = find_section(root, section_);
  const toml::node* node = table != nullptr ? table->get(key) : nullptr;
  return node != nullptr ? Node{node, position_of(node->source())} : Node{};
}

SectionReader::Node SectionReader::ask(std::string_view key) {
  if (std::find(asked_.begin(), asked_.end(), key) == asked_.end()) {
    asked_.emplace_back(key);
  }
  return find(key);
}

Position SectionReader::head() const {
  const toml::table* table = find_section(file_->content_->root, section_);
  return table != nullptr ? position_of(table->source()) : Position{};
}

void SectionReader::complain_at(Position position, std::string_view message) {
  ++n_complaints_;
  complaints_->add(file_->name(), position, fmt::format("[{}] {}", section_, message));
}

void SectionReader::complain(std::string_view key, std::string_view message) {
  const Node node = find(key);
  complain_at(node.value != nullptr ? node.position : head(),
              fmt::format("{}{}{}", key, key.empty() ? "" : " ", message));
}

void SectionReader::complain_missing(std::string_view key, std::string_view how_to_write) {
  complain_at(head(),
              fmt::format("{} is missing{}. Write {}.",
                          key,
                          section_present() ? "" : fmt::format(", and so is the section [{}]", section_),
                          how_to_write));
}

double SectionReader::checked_quantity(std::string_view key,
                                       const Node& node,
                                       Dimension dimension,
                                       const Range& range) {
  if (!node.value->is_string()) {
    const std::string remedy = node.value->is_number()
                                   ? fmt::format("Write \"{} <unit>\" with one of: {}",
                                                 node_text(*node.value),
                                                 fmt::join(unit_symbols(dimension), ", "))
                                   : fmt::format("Write {}", quantity_form(key, dimension));
    complain_at(node.position,
                fmt::format("{} = {}: {}, but {} needs a text with its unit. {}.",
                            key,
                            node_text(*node.value),
                            kind_of(*node.value),
                            dimension_phrase(dimension),
                            remedy));
    return harmless(range);
  }
  const std::string text = node_text(*node.value);
  double value = 0.0;
  try {
    value = parse_quantity(text, dimension);
  } catch (const InputError& error) {
    complain_at(node.position, fmt::format("{} = {}", key, error.what()));
    return harmless(range);
  }
  if (!is_inside(value, range)) {
    const std::string unit(split_quantity(text).unit);
    const std::string_view si_unit = unit_symbols(dimension).front();
    const auto bound = [&](double x) { return fmt::format("{:.6g} {}", in_unit(x, unit, dimension), unit); };
    const std::string in_si = unit == si_unit ? std::string{} : fmt::format(" ({:.6g} {})", value, si_unit);
    complain_at(
        node.position,
        fmt::format(
            "{} = \"{}\"{}: {}. Check the number and its unit.", key, text, in_si, rule(range, bound)));
    return harmless(range);
  }
  return value;
}

double SectionReader::quantity(std::string_view key, Dimension dimension, Range range) {
  const Node node = ask(key);
  if (node.value == nullptr) {
    complain_missing(key, quantity_form(key, dimension));
    return harmless(range);
  }
  return checked_quantity(key, node, dimension, range);
}

double SectionReader::quantity_or(std::string_view key, Dimension dimension, Range range, double fallback) {
  return optional_quantity(key, dimension, range).value_or(fallback);
}

std::optional<double> SectionReader::optional_quantity(std::string_view key,
                                                       Dimension dimension,
                                                       Range range) {
  const Node node = ask(key);
  if (node.value == nullptr) {
    return std::nullopt;
  }
  return checked_quantity(key, node, dimension, range);
}

std::vector<SectionReader::Node> SectionReader::elements(std::string_view key, const Node& node) {
  if (node.value == nullptr) {
    return {};
  }
  const toml::array* list = node.value->as_array();
  if (list == nullptr) {
    return {node};
  }
  if (list->empty()) {
    complain_at(node.position, fmt::format("{} = []: the list is empty. Leave the key out or fill it.", key));
  }
  std::vector<Node> found;
  for (const toml::node& element : *list) {
    found.push_back({&element, position_of(element.source())});
  }
  return found;
}

std::vector<double> SectionReader::quantities(std::string_view key, Dimension dimension, Range range) {
  std::vector<double> values;
  for (const Node& element : elements(key, ask(key))) {
    values.push_back(checked_quantity(key, element, dimension, range));
  }
  return values;
}

std::vector<std::optional<double>> SectionReader::optional_quantities(std::string_view key,
                                                                      Dimension dimension,
                                                                      Range range) {
  std::vector<std::optional<double>> values;
  for (const Node& element : elements(key, ask(key))) {
    const bool is_hole = element.value->is_string() && node_text(*element.value) == "none";
    values.push_back(is_hole ? std::nullopt
                             : std::optional(checked_quantity(key, element, dimension, range)));
  }
  return values;
}

std::vector<std::size_t> SectionReader::choices(std::string_view key,
                                                std::span<const std::string_view> choices) {
  std::vector<std::size_t> indices;
  for (const Node& element : elements(key, ask(key))) {
    indices.push_back(checked_choice(key, element, choices));
  }
  return indices;
}

std::int64_t SectionReader::checked_integer(std::string_view key,
                                            const Node& node,
                                            std::int64_t low,
                                            std::int64_t high) {
  const auto* integer = node.value->as_integer();
  if (integer != nullptr && integer->get() >= low && integer->get() <= high) {
    return integer->get();
  }
  const std::string hint = node.value->is_string() ? " Write it without quotation marks." : "";
  complain_at(
      node.position,
      fmt::format(
          "{} = {}: must be a whole number from {} to {}.{}", key, shown(*node.value), low, high, hint));
  return low;
}

std::int64_t SectionReader::integer(std::string_view key, std::int64_t low, std::int64_t high) {
  const Node node = ask(key);
  if (node.value == nullptr) {
    complain_missing(key, fmt::format("{} = <whole number from {} to {}>", key, low, high));
    return low;
  }
  return checked_integer(key, node, low, high);
}

std::int64_t SectionReader::integer_or(std::string_view key,
                                       std::int64_t low,
                                       std::int64_t high,
                                       std::int64_t fallback) {
  const Node node = ask(key);
  return node.value != nullptr ? checked_integer(key, node, low, high) : fallback;
}

double SectionReader::checked_number(std::string_view key, const Node& node, const Range& range) {
  const std::optional<double> value = node.value->is_number() ? node.value->value<double>() : std::nullopt;
  if (value && std::isfinite(*value) && is_inside(*value, range)) {
    return *value;
  }
  const auto bound = [](double x) { return fmt::format("{:.6g}", x); };
  const std::string hint =
      node.value->is_string() ? " It has no unit and stands without quotation marks." : "";
  complain_at(
      node.position,
      fmt::format(
          "{} = {}: must be a number; {}. Check it.{}", key, shown(*node.value), rule(range, bound), hint));
  return harmless(range);
}

double SectionReader::number_or(std::string_view key, Range range, double fallback) {
  const Node node = ask(key);
  return node.value != nullptr ? checked_number(key, node, range) : fallback;
}

std::vector<double> SectionReader::numbers(std::string_view key, Range range) {
  const Node node = ask(key);
  std::vector<double> values;
  if (node.value == nullptr) {
    return values;
  }
  const toml::array* list = node.value->as_array();
  if (list == nullptr || list->empty()) {
    complain_at(
        node.position,
        fmt::format("{} = {}: must be a list of numbers such as [0.2, 0.5, 1.0].", key, shown(*node.value)));
    return values;
  }
  for (const toml::node& element : *list) {
    values.push_back(checked_number(key, {&element, position_of(element.source())}, range));
  }
  return values;
}

std::size_t SectionReader::checked_choice(std::string_view key,
                                          const Node& node,
                                          std::span<const std::string_view> choices) {
  const std::string text = node_text(*node.value);
  const auto found = std::find(choices.begin(), choices.end(), text);
  if (node.value->is_string() && found != choices.end()) {
    return static_cast<std::size_t>(found - choices.begin());
  }
  complain_at(node.position,
              fmt::format("{} = {}: must be one of {}.{}",
                          key,
                          shown(*node.value),
                          quoted_list(choices),
                          node.value->is_string() ? suggestion(text, choices) : ""));
  return 0;
}

std::size_t SectionReader::choice(std::string_view key, std::span<const std::string_view> choices) {
  const Node node = ask(key);
  if (node.value == nullptr) {
    complain_missing(key, fmt::format("{} = one of {}", key, quoted_list(choices)));
    return 0;
  }
  return checked_choice(key, node, choices);
}

std::size_t SectionReader::choice_or(std::string_view key,
                                     std::span<const std::string_view> choices,
                                     std::size_t fallback) {
  const Node node = ask(key);
  return node.value != nullptr ? checked_choice(key, node, choices) : fallback;
}

std::string SectionReader::text_or(std::string_view key, std::string_view fallback) {
  const Node node = ask(key);
  if (node.value == nullptr) {
    return std::string(fallback);
  }
  if (!node.value->is_string()) {
    complain_at(node.position,
                fmt::format("{} = {}: must be a text in quotation marks.", key, node_text(*node.value)));
    return std::string(fallback);
  }
  return node_text(*node.value);
}

std::vector<std::string> SectionReader::texts(std::string_view key) {
  std::vector<std::string> found;
  for (const Node& element : elements(key, ask(key))) {
    if (!element.value->is_string()) {
      complain_at(element.position,
                  fmt::format("{} = {}: must be a text in quotation marks.", key, node_text(*element.value)));
      continue;
    }
    found.push_back(node_text(*element.value));
  }
  return found;
}

bool SectionReader::boolean_or(std::string_view key, bool fallback) {
  const Node node = ask(key);
  if (node.value == nullptr) {
    return fallback;
  }
  const auto* boolean = node.value->as_boolean();
  if (boolean == nullptr) {
    complain_at(
        node.position,
        fmt::format("{} = {}: must be true or false, without quotation marks.", key, shown(*node.value)));
  }
  return boolean != nullptr ? boolean->get() : fallback;
}

bool SectionReader::has(std::string_view key) const {
  return find(key).value != nullptr;
}

bool SectionReader::section_present() const {
  const auto is_in_section = [this](const Setting& setting) {
    return setting.key.starts_with(section_) && setting.key.substr(section_.size()).starts_with('.');
  };
  return find_section(file_->content_->root, section_) != nullptr ||
         std::any_of(variant_->settings.begin(), variant_->settings.end(), is_in_section);
}

void SectionReader::finish() {
  const std::vector<std::string_view> known(asked_.begin(), asked_.end());
  const auto check = [&](std::string_view label, std::string_view key, Position position) {
    if (std::find(known.begin(), known.end(), key) == known.end()) {
      ++n_complaints_;
      complaints_->add(
          file_->name(), position, fmt::format("unknown key {}.{}", label, suggestion(key, known)));
    }
  };
  if (const toml::table* table = find_section(file_->content_->root, section_)) {
    for (const Member& member : members_in_file_order(*table)) {
      check(fmt::format("[{}] {}", section_, member.key->str()), member.key->str(), member.position);
    }
  }
  const toml::table* vary = find_section(file_->content_->root, vary_section);
  for (const Member& member : vary != nullptr ? members_in_file_order(*vary) : std::vector<Member>{}) {
    const std::string_view full_key = member.key->str();
    if (full_key.substr(0, full_key.find('.')) == section_ && full_key.size() > section_.size() + 1) {
      check(fmt::format("[vary] {}", full_key), full_key.substr(section_.size() + 1), member.position);
    }
  }
}

}  // namespace cowlwright::base
