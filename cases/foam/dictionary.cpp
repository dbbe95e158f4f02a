// SPDX-License-Identifier: GPL-3.0-or-later
//
// Rendering of dictionaries: one entry a line, braces on their own lines, a space between keyword and bracket
// (the solver's reader does not accept `key(` for lists).
#include "cases/foam/dictionary.h"

#include <fmt/format.h>

#include <algorithm>

namespace cowlwright::foam {

Value::Value(double number) : text(fmt::format("{}", number)) {}
Value::Value(int number) : text(fmt::format("{}", number)) {}
Value::Value(std::size_t number) : text(fmt::format("{}", number)) {}
Value::Value(const base::Vec3& vector) : text(fmt::format("({} {} {})", vector.x, vector.y, vector.z)) {}

Value list(std::span<const Value> items) {
  std::string text = "(";
  for (const Value& item : items) {
    if (text.size() > 1) {
      text += ' ';
    }
    text += item.text;
  }
  return text + ")";
}

Value uniform(const Value& value) {
  return "uniform " + value.text;
}

Dictionary::Dictionary(std::initializer_list<std::pair<std::string, Value>> entries) {
  for (const auto& [key, value] : entries) {
    set(key, value);
  }
}

Dictionary& Dictionary::set(std::string key, Value value) {
  const auto found =
      std::find_if(entries_.begin(), entries_.end(), [&](const Entry& e) { return e.key == key; });
  if (found != entries_.end()) {
    *found = Entry{std::move(key), std::move(value.text), {}, false, true};
  } else {
    entries_.push_back({std::move(key), std::move(value.text), {}, false, true});
  }
  return *this;
}

Dictionary& Dictionary::sub(std::string key) {
  const auto found =
      std::find_if(entries_.begin(), entries_.end(), [&](const Entry& e) { return e.key == key; });
  if (found != entries_.end() && !found->is_plain && !found->is_list) {
    return found->children.front().second;
  }
  return sub(std::move(key), Dictionary{});
}

Dictionary& Dictionary::sub(std::string key, Dictionary content) {
  Entry entry{std::move(key), {}, {}, false, false};
  entry.children.emplace_back(std::string{}, std::move(content));
  entries_.push_back(std::move(entry));
  return entries_.back().children.front().second;
}

Dictionary& Dictionary::sub_list(std::string key, std::vector<std::pair<std::string, Dictionary>> items) {
  entries_.push_back({std::move(key), {}, std::move(items), true, false});
  return *this;
}

namespace {

std::string braced(const std::string& name, const Dictionary& content, int depth) {
  const std::string indent(static_cast<std::size_t>(4 * depth), ' ');
  const std::string head = name.empty() ? std::string{} : indent + name + "\n";
  return head + indent + "{\n" + content.body(depth + 1) + indent + "}\n";
}

}  // namespace

std::string Dictionary::body(int depth) const {
  const std::string indent(static_cast<std::size_t>(4 * depth), ' ');
  std::string text;
  for (const Entry& entry : entries_) {
    if (entry.is_plain) {
      text += fmt::format("{}{} {};\n", indent, entry.key, entry.value);
    } else if (entry.is_list) {
      text += fmt::format("{0}{1}\n{0}(\n", indent, entry.key);
      for (const auto& [name, content] : entry.children) {
        text += braced(name, content, depth + 1);
      }
      text += indent + ");\n";
    } else {
      text += braced(entry.key, entry.children.front().second, depth);
    }
  }
  return text;
}

std::string foam_file(std::string_view foam_class, std::string_view object, const Dictionary& content) {
  Dictionary file;
  file.sub("FoamFile", {{"version", "2.0"}, {"format", "ascii"}, {"class", foam_class}, {"object", object}});
  return file.body() + "\n" + content.body();
}

}  // namespace cowlwright::foam
