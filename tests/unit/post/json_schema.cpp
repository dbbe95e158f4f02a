// SPDX-License-Identifier: GPL-3.0-or-later
//
// A small validator.
#include "tests/unit/post/json_schema.h"

#include <algorithm>

namespace cowlwright::post::synthetic {

namespace {

using nlohmann::json;

bool is_type(const json& value, const std::string& type) {
  return (type == "object" && value.is_object()) || (type == "array" && value.is_array()) ||
         (type == "string" && value.is_string()) || (type == "boolean" && value.is_boolean()) ||
         (type == "null" && value.is_null()) || (type == "integer" && value.is_number_integer()) ||
         (type == "number" && value.is_number());
}

bool has_type(const json& value, const json& types) {
  return types.is_array()
             ? std::any_of(types.begin(),
                           types.end(),
                           [&](const json& type) { return is_type(value, type.get<std::string>()); })
             : is_type(value, types.get<std::string>());
}

class Validator {
 public:
  explicit Validator(const json& root) : root_(root) {}

  void check(const json& value, const json& schema, const std::string& place) {
    if (schema.contains("$ref")) {
      const std::string pointer = schema["$ref"].get<std::string>().substr(1);
      check(value, root_.at(json::json_pointer(pointer)), place);
      return;
    }
    if (schema.contains("type") && !has_type(value, schema["type"])) {
      violations.push_back(place + ": is no " + schema["type"].dump());
      return;
    }
    if (schema.contains("enum") &&
        std::find(schema["enum"].begin(), schema["enum"].end(), value) == schema["enum"].end()) {
      violations.push_back(place + ": not one of " + schema["enum"].dump());
    }
    if (value.is_object()) {
      check_object(value, schema, place);
    }
    if (value.is_array() && schema.contains("items")) {
      for (std::size_t i = 0; i < value.size(); ++i) {
        check(value[i], schema["items"], place + "/" + std::to_string(i));
      }
    }
  }

  std::vector<std::string> violations;

 private:
  void check_object(const json& value, const json& schema, const std::string& place) {
    for (const auto& name : schema.value("required", json::array())) {
      if (!value.contains(name.get<std::string>())) {
        violations.push_back(place + ": lacks " + name.get<std::string>());
      }
    }
    const json properties = schema.value("properties", json::object());
    for (const auto& [name, member] : value.items()) {
      if (properties.contains(name)) {
        check(member, properties[name], place + "/" + name);
      } else if (schema.contains("additionalProperties") && schema["additionalProperties"].is_object()) {
        check(member, schema["additionalProperties"], place + "/" + name);
      } else if (schema.contains("additionalProperties")) {
        violations.push_back(place + ": unknown member " + name);
      }
    }
  }

  const json& root_;
};

}  // namespace

std::vector<std::string> schema_violations(const json& document, const json& schema) {
  Validator validator(schema);
  validator.check(document, schema, "");
  return validator.violations;
}

}  // namespace cowlwright::post::synthetic
