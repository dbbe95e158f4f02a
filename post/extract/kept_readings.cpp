// SPDX-License-Identifier: GPL-3.0-or-later
//
// Keeps readings of fields as JSON.
#include "post/extract/kept_readings.h"

#include "geometry/base/case_state.h"
#include "geometry/base/error.h"
#include "geometry/base/json_archive.h"
#include "geometry/base/text_file.h"
#include "geometry/base/version.h"
#include "post/extract/case_layout.h"

#include <fmt/format.h>
#include <sys/stat.h>

#include <algorithm>
#include <optional>
#include <string>

namespace cowlwright::post {

template <typename Archive>
void fields(Archive& member, PlaneFlux& r) {
  member("plane", r.plane);
  member("n_faces", r.n_faces);
  member("area", r.area);
  member("mass_flow", r.mass_flow);
  member("absolute_flow", r.absolute_flow);
  member("reverse_area_share", r.reverse_area_share);
  member("forward_flow", r.forward_flow);
  member("reverse_flow", r.reverse_flow);
  member("flip_map_flow", r.flip_map_flow);
  member("steep_share", r.steep_share);
}

template <typename Archive>
void fields(Archive& member, ZoneMean& r) {
  member("zone", r.zone);
  member("n_cells", r.n_cells);
  member("volume", r.volume);
  member("static_pressure", r.static_pressure);
  member("total_pressure", r.total_pressure);
  member("temperature", r.temperature);
}

template <typename Archive>
void fields(Archive& member, PlaneMean& r) {
  member("plane", r.plane);
  member("area", r.area);
  member("mass_flow", r.mass_flow);
  member("static_pressure", r.static_pressure);
  member("density", r.density);
  member("momentum_flow", r.momentum_flow);
  member("temperature_excess_flow", r.temperature_excess_flow);
  member("upwind_excess_flow", r.upwind_excess_flow);
}

template <typename Archive>
void fields(Archive& member, SurveyMean& r) {
  member("survey", r.survey);
  member("n_points", r.n_points);
  member("n_outside", r.n_outside);
  member("axial_velocity", r.axial_velocity);
  member("clockwise_velocity", r.clockwise_velocity);
  member("total_pressure", r.total_pressure);
}

template <typename Archive>
void fields(Archive& member, RotorLoad& r) {
  member("force", r.force);
  member("moment", r.moment);
  member("right_force", r.right_force);
}

template <typename Archive>
void fields(Archive& member, PatchYPlus& r) {
  member("patch", r.patch);
  member("smallest", r.smallest);
  member("largest", r.largest);
  member("mean", r.mean);
}

template <typename Archive>
void fields(Archive& member, FieldMeans& r) {
  member("n_cells", r.n_cells);
  member("zones", r.zones);
  member("planes", r.planes);
  member("surveys", r.surveys);
  member("rotor", r.rotor);
  member("y_plus", r.y_plus);
}

namespace {

namespace fs = std::filesystem;

/// Readings with what they were read from.
struct Kept {
  std::string program_version;
  std::string solve_key;  ///< of the case's state; empty for a case that was run by hand
  std::string stamp;      ///< of manifest, fields and mesh
  FieldReadings readings;
};

template <typename Archive>
void fields(Archive& member, Kept& r) {
  member("program_version", r.program_version);
  member("solve_key", r.solve_key);
  member("stamp", r.stamp);
  member("iteration", r.readings.iteration);
  member("is_decomposed", r.readings.is_decomposed);
  member("fluxes", r.readings.fluxes);
  member("fields", r.readings.fields);
}

/// Name, size and time of change of the files in a folder, sorted; folders in it do not count.
std::string listing(const fs::path& folder) {
  std::vector<std::string> lines;
  std::error_code error;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder, error)) {
    struct stat file {};
    if (stat(entry.path().c_str(), &file) != 0 || !S_ISREG(file.st_mode)) continue;
    lines.push_back(fmt::format(
        "{} {} {}.{:09}\n", entry.path().string(), file.st_size, file.st_mtim.tv_sec, file.st_mtim.tv_nsec));
  }
  std::sort(lines.begin(), lines.end());
  std::string text;
  for (const std::string& line : lines) text += line;
  return text;
}

std::string stamp_of(const CaseLayout& layout) {
  std::string text = base::read_text(layout.case_dir / base::manifest_file_name);
  for (const CasePart& part : layout.parts) text += listing(part.mesh_dir) + listing(part.time_dir);
  return base::sha256(text);
}

/// Nothing when there is no such file or it is of no use.
std::optional<Kept> read_kept(const fs::path& case_dir) {
  const fs::path file = case_dir / base::field_readings_file_name;
  if (!fs::exists(file)) return std::nullopt;
  try {
    const base::Json object = base::Json::parse(base::read_text(file));
    const base::Reader reader(object, file.string() + ": ", "remove it");
    Kept kept;
    fields(reader, kept);
    if (kept.program_version != base::program_version) return std::nullopt;
    return kept;
  } catch (const base::Json::exception&) {
    return std::nullopt;
  } catch (const base::InputError&) {
    return std::nullopt;
  }
}

void keep(Kept& kept, const fs::path& case_dir) {
  base::Writer writer;
  fields(writer, kept);
  try {
    base::write_text(case_dir / base::field_readings_file_name, writer.take().dump(1) + "\n");
  } catch (const base::ExternalError&) {
    // A case that cannot be written is read anew each time.
  }
}

/// Of a case whose fields were tidied away.
std::optional<FieldReadings> readings_without_fields(const fs::path& case_dir,
                                                     const std::optional<base::CaseState>& state) {
  if (!state || state->kept != "tables") return std::nullopt;
  const std::optional<Kept> kept = read_kept(case_dir);
  if (!kept || kept->solve_key != state->keys.solve) return std::nullopt;
  return kept->readings;
}

}  // namespace

FieldReadings read_field_readings(const fs::path& case_dir, const base::Manifest& manifest) {
  const std::optional<base::CaseState> state = base::read_case_state(case_dir);
  if (const auto readings = readings_without_fields(case_dir, state)) return *readings;
  const CaseLayout layout = find_results(case_dir);
  const std::string stamp = stamp_of(layout);
  if (const std::optional<Kept> kept = read_kept(case_dir); kept && kept->stamp == stamp)
    return kept->readings;
  Kept kept{.program_version = base::program_version,
            .solve_key = state ? state->keys.solve : std::string(),
            .stamp = stamp,
            .readings = {.iteration = layout.time,
                         .is_decomposed = layout.is_decomposed,
                         .fluxes = read_plane_fluxes(layout, manifest.planes),
                         .fields = read_field_means(layout, manifest)}};
  // Whoever still writes these files makes readings of nothing in particular.
  if (stamp_of(layout) == stamp) keep(kept, case_dir);
  return kept.readings;
}

}  // namespace cowlwright::post
