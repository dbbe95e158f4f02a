// SPDX-License-Identifier: GPL-3.0-or-later
//
// The manifest as JSON. Each record's members are listed once, in fields(); one archive writes them, one
// reads them, so that the two cannot drift apart. Units in the file are SI and radians, as in the structs.
#include "geometry/base/manifest.h"

#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <array>
#include <cmath>
#include <limits>
#include <optional>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

namespace cowlwright::base {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::string_view format_name = "cowlwright case manifest";
constexpr int format_version = 3;

template <typename Enum>
struct EnumName {
  Enum value;
  std::string_view name;
};

constexpr std::array<EnumName<Side>, 3> side_names{
    {{Side::Left, "left"}, {Side::Right, "right"}, {Side::Centre, "centre"}}};
constexpr std::array<EnumName<PlaneRole>, 6> plane_role_names{{{PlaneRole::Inlet, "inlet"},
                                                               {PlaneRole::Core, "core"},
                                                               {PlaneRole::Cooler, "cooler"},
                                                               {PlaneRole::Leak, "leak"},
                                                               {PlaneRole::Outlet, "outlet"},
                                                               {PlaneRole::Exit, "exit"}}};
constexpr std::array<EnumName<PassageKind>, 3> passage_kind_names{
    {{PassageKind::Core, "core"}, {PassageKind::Cooler, "cooler"}, {PassageKind::Leak, "leak"}}};
constexpr std::array<EnumName<ZoneRole>, 6> zone_role_names{{{ZoneRole::UpperDeck, "upper_deck"},
                                                             {ZoneRole::LowerDeck, "lower_deck"},
                                                             {ZoneRole::Core, "core"},
                                                             {ZoneRole::Cooler, "cooler"},
                                                             {ZoneRole::Leak, "leak"},
                                                             {ZoneRole::PropellerDisk, "propeller_disk"}}};
constexpr std::array<EnumName<PitchMode>, 2> pitch_mode_names{
    {{PitchMode::ToPower, "to_power"}, {PitchMode::Fixed, "fixed"}}};

constexpr const auto& names_of(Side) {
  return side_names;
}
constexpr const auto& names_of(PlaneRole) {
  return plane_role_names;
}
constexpr const auto& names_of(ZoneRole) {
  return zone_role_names;
}
constexpr const auto& names_of(PassageKind) {
  return passage_kind_names;
}
constexpr const auto& names_of(PitchMode) {
  return pitch_mode_names;
}

template <typename Archive>
void fields(Archive& member, Setting& r) {
  member("key", r.key);
  member("text", r.text);
}

template <typename Archive>
void fields(Archive& member, PlaneRecord& r) {
  member("name", r.name);
  member("role", r.role);
  member("side", r.side);
  member("origin", r.origin);
  member("normal", r.normal);
  member("area", r.area);
  member("radius", r.radius);
}

template <typename Archive>
void fields(Archive& member, ZoneRecord& r) {
  member("name", r.name);
  member("role", r.role);
  member("side", r.side);
  member("volume", r.volume);
}

template <typename Archive>
void fields(Archive& member, PassageRecord& r) {
  member("zone", r.zone);
  member("plane", r.plane);
  member("area", r.area);
  member("depth", r.depth);
  member("viscous", r.viscous);
  member("inertial", r.inertial);
  member("fit_residual", r.fit_residual);
  member("heat", r.heat);
  member("kind", r.kind);
  member("direction", r.direction);
  member("transverse_ratio", r.transverse_ratio);
  member("outlet", r.outlet);
  member("cylinder", r.cylinder);
  member("joins_decks", r.joins_decks);
  member("effective_area", r.effective_area);
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

template <typename Archive>
void fields(Archive& member, PatchRecord& r) {
  member("name", r.name);
  member("area", r.area);
}

template <typename Archive>
void fields(Archive& member, MonitorRecord& r) {
  member("quantity", r.quantity);
  member("subject", r.subject);
  member("function_object", r.function_object);
  member("file", r.file);
  member("column", r.column);
}

template <typename Archive>
void fields(Archive& member, Manifest& r) {
  member("study", r.study);
  member("question", r.question);
  member("study_file", r.study_file);
  member("study_hash", r.study_hash);
  member("input_hash", r.input_hash);
  member("variant", r.variant);
  member("is_baseline", r.is_baseline);
  member("variant_index", r.variant_index);
  member("settings", r.settings);
  member("program_version", r.program_version);
  member("openfoam_version", r.openfoam_version);
  member("grid_level", r.grid_level);
  member("cell_size", r.cell_size);
  member("start_from", r.start_from);
  member("reference", r.reference);
  member("is_reference", r.is_reference);
  member("n_grids", r.n_grids);
  member("expected_cells", r.expected_cells);
  member("last_iteration", r.last_iteration);
  member("window", r.window);
  member("closure_tolerance", r.closure_tolerance);
  member("energy_tolerance", r.energy_tolerance);
  member("settled_tolerance", r.settled_tolerance);
  member("stop_tolerance", r.stop_tolerance);
  member("stop_when_held", r.stop_when_held);
  member("flight", r.flight);
  member("propeller", r.propeller);
  member("planes", r.planes);
  member("zones", r.zones);
  member("passages", r.passages);
  member("surveys", r.surveys);
  member("monitors", r.monitors);
  member("patches", r.patches);
  member("solid_volume", r.solid_volume);
  member("air_volume", r.air_volume);
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

/// Reads a JSON object member by member; every refusal names file and member.
class Reader {
 public:
  Reader(const Json& object, std::string place) : object_(object), place_(std::move(place)) {
    if (!object_.is_object()) {
      refuse("must be an object");
    }
  }

  template <typename T>
  void operator()(const char* name, T& value) const {
    const auto found = object_.find(name);
    if (found == object_.end()) {
      Reader(Nested{}, object_, join(name)).refuse("missing");
    }
    Reader(Nested{}, *found, join(name)).read(value);
  }

 private:
  struct Nested {};
  Reader(Nested, const Json& value, std::string place) : object_(value), place_(std::move(place)) {}

  std::string join(std::string_view name) const {
    return fmt::format("{}{}{}", place_, place_.ends_with(' ') ? "" : ".", name);
  }

  [[noreturn]] void refuse(std::string_view what) const {
    throw InputError(fmt::format(
        "{}: {}. The file is damaged or from another version; prepare the case again.", place_, what));
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
      Reader(Nested{}, object_[i], fmt::format("{}[{}]", place_, i)).read(part);
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
    Reader reader(object_, place_);
    fields(reader, record);
  }

  template <typename T>
  void read(std::vector<T>& records) const {
    if (!object_.is_array()) {
      refuse("must be a list");
    }
    for (std::size_t i = 0; i < object_.size(); ++i) {
      Reader(Nested{}, object_[i], fmt::format("{}[{}]", place_, i)).read(records.emplace_back());
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
};

}  // namespace

PlaneRole plane_role(PassageKind kind) {
  return kind == PassageKind::Core     ? PlaneRole::Core
         : kind == PassageKind::Cooler ? PlaneRole::Cooler
                                       : PlaneRole::Leak;
}

ZoneRole zone_role(PassageKind kind) {
  return kind == PassageKind::Core     ? ZoneRole::Core
         : kind == PassageKind::Cooler ? ZoneRole::Cooler
                                       : ZoneRole::Leak;
}

bool is_by_q(const FlightRecord& flight) {
  return flight.reference_name == "q";
}

bool is_force(const MonitorRecord& monitor) {
  return monitor.quantity.ends_with("_force");
}

Vec3 wind_direction(double incidence, double sideslip) {
  return {std::cos(incidence) * std::cos(sideslip),
          -std::sin(sideslip),
          std::sin(incidence) * std::cos(sideslip)};
}

void write_manifest(const Manifest& manifest, const std::filesystem::path& case_dir) {
  Manifest copy = manifest;  // the archives share one signature, which reading needs to be non-const
  Writer writer;
  fields(writer, copy);
  Json object{{"format", format_name}, {"format_version", format_version}, {"units", "SI and radians"}};
  object.update(writer.take());
  write_text(case_dir / manifest_file_name, object.dump(2) + "\n");
}

Manifest read_manifest(const std::filesystem::path& case_dir) {
  const std::filesystem::path path = case_dir / manifest_file_name;
  Json object;
  try {
    object = Json::parse(read_text(path));
  } catch (const Json::parse_error& error) {
    throw InputError(fmt::format("{}: not valid JSON (byte {}). The file is damaged; prepare the case again.",
                                 path.string(),
                                 error.byte));
  }
  const Reader reader(object, path.string() + ": ");
  std::string format;
  int version = 0;
  reader("format", format);
  reader("format_version", version);
  if (format != format_name || version != format_version) {
    throw InputError(fmt::format(
        "{}: format = \"{}\", format_version = {}: must be \"{}\", {}. Prepare the case again with this "
        "version of the program.",
        path.string(),
        format,
        version,
        format_name,
        format_version));
  }
  Manifest manifest;
  fields(reader, manifest);
  return manifest;
}

}  // namespace cowlwright::base
