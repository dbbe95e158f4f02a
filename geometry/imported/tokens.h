// SPDX-License-Identifier: GPL-3.0-or-later
//
// Words and numbers of one line of a text format. Internal to this folder.
#pragma once

#include "geometry/base/vec3.h"
#include "geometry/imported/byte_source.h"

#include <cstdint>
#include <string_view>

namespace cowlwright::imported {

/// Walks through the words of a line. Blanks, tabs and carriage returns part them.
class Tokens {
 public:
  explicit Tokens(std::string_view line) : rest_(line) { pass_blanks(); }
  bool is_empty() const { return rest_.empty(); }
  std::string_view rest() const { return rest_; }  ///< from the next word to the end of the line
  std::string_view next();                         ///< empty at the end

 private:
  void pass_blanks();
  std::string_view rest_;
};

/// Word for word, capitals and small letters alike. `small` in small letters.
bool is_word(std::string_view word, std::string_view small);

/// The whole word is a number.
bool parse_real(std::string_view word, double& value);
bool parse_integer(std::string_view word, std::int64_t& value);

/// Three finite coordinates. @throws InputError naming line and word.
base::Vec3 coordinates(Tokens& tokens, const ByteSource& source);

/// A count, >= 0. @throws InputError naming line, `what` and word.
std::uint64_t count(Tokens& tokens, const ByteSource& source, std::string_view what);

/// The next line that has a word and does not begin with `comment` (0: none); false at the end of the file.
bool next_filled_line(ByteSource& source, char comment, std::string_view& line);

}  // namespace cowlwright::imported
