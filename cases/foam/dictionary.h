// SPDX-License-Identifier: GPL-3.0-or-later
//
// The one writer of OpenFOAM dictionary text. Everything a case folder holds in that format is built as a
// Dictionary and rendered here; nothing else in the toolkit pastes such text together.
#pragma once

#include "geometry/base/vec3.h"

#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace cowlwright::foam {

/// Text of one entry's value. Numbers are written with the fewest digits that read back exactly.
struct Value {
  std::string text;

  Value(const char* word) : text(word) {}
  Value(std::string word) : text(std::move(word)) {}
  Value(std::string_view word) : text(word) {}
  Value(double number);
  Value(int number);
  Value(std::size_t number);
  Value(const base::Vec3& vector);
};

/// "(a b c)".
Value list(std::span<const Value> items);
inline Value list(std::initializer_list<Value> items) {
  return list(std::span<const Value>(items.begin(), items.size()));
}

/// "uniform value", as fields want it.
Value uniform(const Value& value);

/// Keys in the order they were set, each with a value, a sub-dictionary or a list of dictionaries.
class Dictionary {
 public:
  Dictionary() = default;
  Dictionary(std::initializer_list<std::pair<std::string, Value>> entries);

  /// Sets or replaces a plain entry: `key value;`.
  Dictionary& set(std::string key, Value value);
  /// Adds a sub-dictionary and returns it, or returns the one that is there.
  Dictionary& sub(std::string key);
  /// Adds a sub-dictionary with this content.
  Dictionary& sub(std::string key, Dictionary content);
  /// Adds `key ( name { ... } ... );`; an empty name writes an unnamed dictionary.
  Dictionary& sub_list(std::string key, std::vector<std::pair<std::string, Dictionary>> items);

  /// Entries only, indented by `depth` levels of four spaces.
  std::string body(int depth = 0) const;

 private:
  struct Entry {
    std::string key;
    std::string value;  // plain entry when `children` is empty
    std::vector<std::pair<std::string, Dictionary>> children;
    bool is_list = false;
    bool is_plain = true;
  };
  std::vector<Entry> entries_;
};

/// A whole file: header naming class and object, then the entries.
std::string foam_file(std::string_view foam_class, std::string_view object, const Dictionary& content);

}  // namespace cowlwright::foam
