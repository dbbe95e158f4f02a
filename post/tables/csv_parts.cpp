// SPDX-License-Identifier: GPL-3.0-or-later
//
// Fields and lines of comma-separated values.
#include "post/tables/csv_parts.h"

#include "geometry/base/markup.h"
#include "post/tables/statements.h"
#include "post/tables/wording.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

namespace cowlwright::post {

namespace {

std::string quoted(const std::string& field) {
  if (field.find_first_of(",\"\r\n") == std::string::npos) {
    return field;
  }
  return base::csv_quoted(field);
}

}  // namespace

std::string csv_line(const Fields& fields) {
  Fields quoted_fields;
  std::transform(fields.begin(), fields.end(), std::back_inserter(quoted_fields), quoted);
  return joined(quoted_fields, ",") + "\n";
}

std::string number(double value) {
  return fmt::format("{:.8g}", value);
}

std::string number(const std::optional<double>& value, double factor) {
  return value ? number(factor * *value) : std::string();
}

std::string cautions_text() {
  return joined({cautions.begin(), cautions.end()}, " ");
}

}  // namespace cowlwright::post
