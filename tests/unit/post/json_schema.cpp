// SPDX-License-Identifier: GPL-3.0-or-later
//
// Hands a document to tests/support/schema_violations.py.
#include "tests/unit/post/json_schema.h"

#include "tests/support/scratch_folder.h"

#include <fmt/format.h>

#include <cstdlib>
#include <fstream>
#include <stdexcept>

namespace cowlwright::post::synthetic {

std::vector<std::string> schema_violations(const nlohmann::json& document) {
  return schema_violations(document, COWLWRIGHT_RESULTS_SCHEMA);
}

std::vector<std::string> schema_violations(const nlohmann::json& document, const std::string& schema) {
  const testing_support::ScratchFolder folder;
  folder.write("document.json", document.dump());
  const std::string found = (folder.path() / "found").string();
  const std::string command = fmt::format("/usr/bin/python3 '{}' '{}' '{}' > '{}' 2>&1",
                                          COWLWRIGHT_SCHEMA_VALIDATOR,
                                          schema,
                                          (folder.path() / "document.json").string(),
                                          found);
  const int code = std::system(command.c_str());
  std::ifstream file(found);
  std::vector<std::string> lines;
  for (std::string line; std::getline(file, line);) {
    lines.push_back(line);
  }
  if (code != 0 || lines.empty() || lines.back() != "checked") {
    throw std::runtime_error("the schema validator does not run: " +
                             (lines.empty() ? command : lines.back()));
  }
  lines.pop_back();
  return lines;
}

}  // namespace cowlwright::post::synthetic
