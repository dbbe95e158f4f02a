// SPDX-License-Identifier: GPL-3.0-or-later
//
// The manifest as JSON.
#include "geometry/base/manifest.h"

#include "geometry/base/error.h"
#include "geometry/base/json_archive.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <string_view>

namespace cowlwright::base {

namespace {

constexpr std::string_view format_name = "cowlwright case manifest";
constexpr int format_version = 3;

}  // namespace

constexpr std::array<EnumName<PlaneRole>, 6> plane_role_names{{{PlaneRole::Inlet, "inlet"},
                                                               {PlaneRole::Core, "core"},
                                                               {PlaneRole::Cooler, "cooler"},
                                                               {PlaneRole::Leak, "leak"},
                                                               {PlaneRole::Outlet, "outlet"},
                                                               {PlaneRole::Exit, "exit"}}};
constexpr std::array<EnumName<ZoneRole>, 6> zone_role_names{{{ZoneRole::UpperDeck, "upper_deck"},
                                                             {ZoneRole::LowerDeck, "lower_deck"},
                                                             {ZoneRole::Core, "core"},
                                                             {ZoneRole::Cooler, "cooler"},
                                                             {ZoneRole::Leak, "leak"},
                                                             {ZoneRole::PropellerDisk, "propeller_disk"}}};

constexpr const auto& names_of(PlaneRole) {
  return plane_role_names;
}
constexpr const auto& names_of(ZoneRole) {
  return zone_role_names;
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
  const Reader reader(object, path.string() + ": ", "prepare the case again");
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
