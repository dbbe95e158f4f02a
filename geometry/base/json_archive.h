// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to geometry/base: records as JSON. A record's members are listed once, in fields(); Writer writes
// them, Reader reads them, so that the two cannot drift apart. Units in the files are SI and radians.
#pragma once

#include "geometry/base/error.h"
#include "geometry/base/manifest.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

namespace cowlwright::base {

using Json = nlohmann::ordered_json;

template <typename Enum>
struct EnumName {
  Enum value;
  std::string_view name;
};

inline constexpr std::array<EnumName<Side>, 3> side_names{
    {{Side::Left, "left"}, {Side::Right, "right"}, {Side::Centre, "centre"}}};
inline constexpr std::array<EnumName<PassageKind>, 3> passage_kind_names{
    {{PassageKind::Core, "core"}, {PassageKind::Cooler, "cooler"}, {PassageKind::Leak, "leak"}}};
inline constexpr std::array<EnumName<PitchMode>, 2> pitch_mode_names{
    {{PitchMode::ToPower, "to_power"}, {PitchMode::Fixed, "fixed"}}};

constexpr const auto& names_of(Side) {
  return side_names;
}
constexpr const auto& names_of(PassageKind) {
  return passage_kind_names;
}
constexpr const auto& names_of(PitchMode) {
  return pitch_mode_names;
}

template <typename Archive>
void fields(Archive& member, FlightRecord& r) {
  member("true_airspeed", r.true_airspeed);
  member("pressure", r.pressure);
  member("temperature", r.temperature);
  member("density", r.density);
  member("dynamic_pressure", r.dynamic_pressure);
  member("reference_pressure", r.reference_pressure);
  member("reference_name", r.reference_name);
  member("pressure_altitude", r.pressure_altitude);
  member("density_altitude", r.density_altitude);
  member("incidence", r.incidence);
  member("sideslip", r.sideslip);
}

template <typename Archive>
void fields(Archive& member, PropellerRecord& r) {
  member("diameter", r.diameter);
  member("hub_diameter", r.hub_diameter);
  member("rotational_speed", r.rotational_speed);
  member("clockwise", r.clockwise);
  member("shaft_power", r.shaft_power);
  member("pitch_mode", r.pitch_mode);
  member("power", r.power);
  member("power_mismatch", r.power_mismatch);
  member("collective", r.collective);
  member("thrust", r.thrust);
  member("torque", r.torque);
  member("efficiency", r.efficiency);
  member("force_field", r.force_field);
  member("zone", r.zone);
}

/// Fills a JSON object.
class Writer {
 public:
  template <typename T>
  void operator()(const char* name, T& value) {
    object_[name] = json_of(value);
  }
  Json take() { return std::move(object_); }

 private:
  static Json json_of(std::string& value) { return value; }
  static Json json_of(bool value) { return value; }
  static Json json_of(int value) { return value; }
  static Json json_of(std::size_t value) { return value; }
  static Json json_of(double value) { return value; }  // NaN becomes null, which Reader refuses by name
  static Json json_of(Vec3& value) { return Json::array({value.x, value.y, value.z}); }

  template <typename T>
  requires std::is_enum_v<T>
  static Json json_of(T value) {
    for (const auto& entry : names_of(value)) {
      if (entry.value == value) {
        return std::string(entry.name);
      }
    }
    return nullptr;
  }

  template <typename T>
  requires std::is_class_v<T>
  static Json json_of(T& record) {
    Writer writer;
    fields(writer, record);
    return writer.take();
  }

  template <typename T>
  static Json json_of(std::vector<T>& records) {
    Json list = Json::array();
    for (T& record : records) {
      list.push_back(json_of(record));
    }
    return list;
  }

  template <typename T>
  static Json json_of(std::optional<T>& record) {
    return record ? json_of(*record) : Json(nullptr);
  }

  Json object_ = Json::object();
};

/// Reads a JSON object member by member; every refusal names file and member, and what to do.
class Reader {
 public:
  Reader(const Json& object, std::string place, std::string_view remedy)
      : object_(object), place_(std::move(place)), remedy_(remedy) {
    if (!object_.is_object()) {
      refuse("must be an object");
    }
  }

  template <typename T>
  void operator()(const char* name, T& value) const {
    const auto found = object_.find(name);
    if (found == object_.end()) {
      Reader(Nested{}, object_, join(name), remedy_).refuse("missing");
    }
    Reader(Nested{}, *found, join(name), remedy_).read(value);
  }

 private:
  struct Nested {};
  Reader(Nested, const Json& value, std::string place, std::string_view remedy)
      : object_(value), place_(std::move(place)), remedy_(remedy) {}

  std::string join(std::string_view name) const {
    return fmt::format("{}{}{}", place_, place_.ends_with(' ') ? "" : ".", name);
  }

  [[noreturn]] void refuse(std::string_view what) const {
    throw InputError(
        fmt::format("{}: {}. The file is damaged or from another version; {}.", place_, what, remedy_));
  }

  void read(std::string& value) const {
    if (!object_.is_string()) {
      refuse("must be a text");
    }
    value = object_.get<std::string>();
  }
  void read(bool& value) const {
    if (!object_.is_boolean()) {
      refuse("must be true or false");
    }
    value = object_.get<bool>();
  }
  void read(int& value) const {
    if (!object_.is_number_integer() || object_ < std::numeric_limits<int>::min() ||
        object_ > std::numeric_limits<int>::max()) {
      refuse("must be a whole number");
    }
    value = object_.get<int>();
  }
  void read(std::size_t& value) const {
    if (!object_.is_number_unsigned()) {
      refuse("must be a whole number, not negative");
    }
    value = object_.get<std::size_t>();
  }
  void read(double& value) const {
    if (!object_.is_number() || !std::isfinite(object_.get<double>())) {
      refuse("must be a finite number");
    }
    value = object_.get<double>();
  }
  void read(Vec3& value) const {
    if (!object_.is_array() || object_.size() != 3) {
      refuse("must be a list of three numbers");
    }
    const auto read_part = [&](std::size_t i, double& part) {
      Reader(Nested{}, object_[i], fmt::format("{}[{}]", place_, i), remedy_).read(part);
    };
    read_part(0, value.x);
    read_part(1, value.y);
    read_part(2, value.z);
  }

  template <typename T>
  requires std::is_enum_v<T>
  void read(T& value) const {
    std::string name;
    read(name);
    for (const auto& entry : names_of(value)) {
      if (entry.name == name) {
        value = entry.value;
        return;
      }
    }
    refuse(fmt::format("unknown value \"{}\"", name));
  }

  template <typename T>
  requires std::is_class_v<T>
  void read(T& record) const {
    Reader reader(object_, place_, remedy_);
    fields(reader, record);
  }

  template <typename T>
  void read(std::vector<T>& records) const {
    if (!object_.is_array()) {
      refuse("must be a list");
    }
    for (std::size_t i = 0; i < object_.size(); ++i) {
      Reader(Nested{}, object_[i], fmt::format("{}[{}]", place_, i), remedy_).read(records.emplace_back());
    }
  }

  template <typename T>
  void read(std::optional<T>& record) const {
    if (!object_.is_null()) {
      read(record.emplace());
    }
  }

  const Json& object_;
  std::string place_;
  std::string_view remedy_;
};

}  // namespace cowlwright::base
