// SPDX-License-Identifier: GPL-3.0-or-later
//
// Puts one variant's case together: shape, mesh plan, propeller, cores, monitors; then every file as text.
#include "cases/foam/case.h"

#include "cases/foam/keys.h"
#include "cases/foam/parts.h"
#include "cases/foam/passages.h"
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"
#include "geometry/base/version.h"
#include "geometry/shape/prism.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::foam {

namespace {

base::FlightRecord flight_record(const flight::FlightSpec& flight,
                                 const flight::ReferencePressure& reference) {
  return {.true_airspeed = flight.true_airspeed,
          .pressure = flight.air.pressure,
          .temperature = flight.air.temperature,
          .density = flight.air.density,
          .dynamic_pressure = flight::dynamic_pressure(flight),
          .reference_pressure = reference.value,
          .reference_name = reference.name,
          .pressure_altitude = base::pressure_altitude(flight.air.pressure),
          .density_altitude = base::density_altitude(flight.air.density),
          .incidence = flight.incidence,
          .sideslip = flight.sideslip};
}

base::PropellerRecord loaded(base::PropellerRecord record,
                             const propeller::PropellerSpec& spec,
                             const propeller::Performance& performance) {
  record.power = performance.power;
  record.power_mismatch = performance.power / spec.shaft_power - 1.0;
  record.collective = performance.collective;
  record.thrust = performance.thrust;
  record.torque = performance.torque;
  record.efficiency = performance.efficiency;
  record.force_field = spec.is_uniform ? "" : "propeller:rotorForce";
  record.zone = "propeller_disk";
  return record;
}

std::vector<base::MonitorRecord> monitor_records(const base::Manifest& manifest) {
  std::vector<base::MonitorRecord> monitors;
  for (const base::PlaneRecord& plane : manifest.planes) {
    monitors.push_back({"mass_flow", plane.name, "flow_" + plane.name, "surfaceFieldValue.dat"});
  }
  for (const base::ZoneRecord& zone : manifest.zones) {
    if (zone.role == base::ZoneRole::UpperDeck || zone.role == base::ZoneRole::LowerDeck) {
      monitors.push_back({"mean_pressure", zone.name, "pressure_" + zone.name, "volFieldValue.dat"});
    }
  }
  monitors.push_back({"y_plus", "walls", "y_plus", "yPlus.dat"});
  return monitors;
}

std::string reference_folder(const std::string& open_folder) {
  return open_folder + "-closed";
}

base::Manifest describe(const Study& study,
                        std::size_t index,
                        const CasePlan& plan,
                        const shape::Installation& installation,
                        const flight::ReferencePressure& reference) {
  const VariantSpec& spec = study.variants.at(index);
  base::Manifest manifest = variant_manifest(study, index, reference);
  manifest.openfoam_version = "1912";
  manifest.grid_level = meshing::level_name(plan.level);
  manifest.start_from = plan.start_from;
  manifest.is_reference = plan.is_reference;
  if (spec.grid.cooling_drag && !plan.is_reference) manifest.reference = reference_folder(plan.folder);
  manifest.n_grids = spec.grid.compare;
  manifest.last_iteration = spec.grid.iterations;
  manifest.window = spec.grid.window;
  manifest.closure_tolerance = spec.grid.closure_tolerance;
  manifest.energy_tolerance = spec.grid.energy_tolerance;
  manifest.settled_tolerance = spec.grid.settled_tolerance;
  manifest.stop_tolerance = spec.grid.stop_tolerance;
  manifest.stop_when_held = spec.grid.stop_when_held;
  for (const shape::MeasurementPlane& plane : installation.planes) {
    manifest.planes.push_back(plane.record);
  }
  for (const shape::Zone& zone : installation.zones) {
    manifest.zones.push_back(zone.record);
  }
  manifest.passages = passage_records(spec, installation.passages);
  manifest.surveys = installation.surveys;
  for (const std::string& patch : installation.wetted.patch_names) {
    manifest.patches.push_back({patch, shape::surface_area(installation.wetted, patch)});
  }
  manifest.monitors = monitor_records(manifest);
  if (spec.grid.cooling_drag) {
    for (base::MonitorRecord& record : force_monitors(!plan.is_reference)) {
      manifest.monitors.push_back(std::move(record));
    }
  }
  return manifest;
}

void add_file(Case& built, const std::string& folder, const std::string& name, const Dictionary& content) {
  built.files[folder + "/" + name] = foam_file("dictionary", name, content);
}

/// Surfaces of the mesh. Each measurement plane goes in as the two prisms `reach` deep on either side of it.
void add_surfaces(Case& built, const shape::Installation& installation, double reach) {
  const auto add = [&](const std::string& name, const shape::Surface& surface) {
    built.files["constant/triSurface/" + name + ".stl"] = shape::stl_text(surface);
  };
  add("wetted", installation.wetted);
  for (const shape::Zone& zone : installation.zones) {
    add(zone.record.name, zone.surface);
  }
  for (const shape::MeasurementPlane& plane : installation.planes) {
    const base::PlaneRecord& record = plane.record;
    for (const auto& [suffix, sign] : {std::pair{"_before", -1.0}, std::pair{"_behind", 1.0}}) {
      const std::string name = record.name + suffix;
      add(name, shape::prism(plane.surface, sign * reach * record.normal, name));
    }
  }
}

/// With the estimate's speeds a draft grid settles sooner; the coarse grid of the demo study broke apart
/// after 180 iterations, which it never did from the few metres a second that it has had before.
std::map<std::string, double> still_start_speeds(const base::Manifest& manifest,
                                                 std::map<std::string, double> speeds) {
  constexpr double usual = 3.0;  // [m/s]; the order of what passages take
  if (manifest.grid_level == meshing::level_name(meshing::GridLevel::Draft)) return speeds;
  for (auto& [zone, speed] : speeds) speed = usual;
  return speeds;
}

/// One grid's case.
Case build_case(const Study& study,
                std::size_t variant_index,
                const CasePlan& plan_of_case,
                shape::Installation installation) {
  const VariantSpec& spec = study.variants.at(variant_index);
  const bool has_propeller = spec.propeller.present;
  const meshing::DiskSize disk = has_propeller
                                     ? meshing::DiskSize{spec.propeller.diameter, spec.propeller.hub_diameter}
                                     : meshing::DiskSize{};
  const meshing::MeshPlan plan =
      meshing::plan_mesh(spec.shape, disk, plan_of_case.level, spec.grid.domain_size);
  std::vector<propeller::DiskStation> stations;
  std::optional<base::PropellerRecord> record;
  double disk_loading = 0.0;
  if (has_propeller) {
    shape::Zone zone = shape::propeller_disk(disk.hub_diameter, disk.diameter, plan.disk_thickness);
    zone.record.volume *= plan.disk_layer / plan.disk_thickness;  // what its one layer of cells holds
    installation.zones.push_back(std::move(zone));
    const propeller::Operating operating{
        flight::wind(spec.flight).x, spec.flight.air.density, spec.propeller.rotational_speed};
    const propeller::Performance performance = propeller::performance(spec.propeller, operating);
    if (!spec.propeller.is_uniform) {
      stations = propeller::disk_stations(spec.propeller, performance.collective);
    }
    record = loaded(propeller_record(spec.propeller), spec.propeller, performance);
    disk_loading = performance.disk_loading;
  }
  fit_to_cells(installation, plan);
  Case built{.folder = plan_of_case.folder};
  const flight::ReferencePressure reference = flight::reference_pressure(spec.flight, disk_loading);
  built.manifest = describe(study, variant_index, plan_of_case, installation, reference);
  built.manifest.propeller = record;
  built.manifest.expected_cells = plan.expected_cells;
  built.manifest.cell_size = plan.cell_size;
  built.manifest.solid_volume = shape::enclosed_volume(installation.wetted);
  built.manifest.air_volume = shape::volume(plan.far_field) - built.manifest.solid_volume;

  const int ranks = spec.grid.ranks.value_or(meshing::hand_ranks);
  add_surfaces(built, installation, 2.0 * meshing::cell_size(plan, plan.plane_level));
  add_file(built, "system", "blockMeshDict", block_mesh(plan));
  add_file(built, "system", "surfaceFeatureExtractDict", surface_features("wetted.stl"));
  add_file(built, "system", "snappyHexMeshDict", snappy(plan));
  add_file(built, "system", "topoSetDict", zones(installation));
  add_file(built, "system", "decomposeParDict", decomposition(ranks));
  add_file(built, "system", "controlDict", control(built.manifest));
  add_file(built, "system", "fvSchemes", schemes());
  add_file(built, "system", "fvSolution", solution());
  add_file(built, "constant", "thermophysicalProperties", thermophysical_properties());
  add_file(built, "constant", "turbulenceProperties", turbulence_properties());
  add_file(built, "constant", "fvOptions", sources(built.manifest, stations, spec.propeller.n_blades));
  for (const Field& field :
       start_fields(spec.flight, reference, installation.wetted.patch_names, spec.grid.wall_treatment)) {
    built.files["0.orig/" + field.name] = foam_file(field.foam_class, field.name, field.content);
  }
  const double difference = plan_of_case.is_reference ? 0.0 : expected_deck_difference(spec, reference.value);
  const std::map<std::string, double> speeds = start_speeds(built.manifest, difference);
  add_file(built,
           "system",
           "setFieldsDict",
           still_air_inside(built.manifest, still_start_speeds(built.manifest, speeds)));
  add_file(built, "system", "mapFieldsDict", map_fields(speeds));
  built.files["Allrun"] = allrun_text(case_stages(ranks, built.manifest.start_from));
  built.keys = step_keys(study, variant_index, plan_of_case, built);
  built.manifest.input_hash = input_hash(built);
  return built;
}

}  // namespace

base::PropellerRecord propeller_record(const propeller::PropellerSpec& spec) {
  return {.diameter = spec.diameter,
          .hub_diameter = spec.hub_diameter,
          .rotational_speed = spec.rotational_speed,
          .clockwise = spec.rotation == propeller::Rotation::Clockwise,
          .shaft_power = spec.shaft_power,
          .pitch_mode = spec.pitch_mode,
          .force_field = "",
          .zone = ""};
}

base::Manifest variant_manifest(const Study& study,
                                std::size_t index,
                                const flight::ReferencePressure& reference) {
  const VariantSpec& spec = study.variants.at(index);
  base::Manifest manifest;
  manifest.study = study.title;
  manifest.question = study.question;
  manifest.study_file = study.file.filename().string();
  manifest.study_hash = base::sha256(study.text);
  manifest.variant = spec.variant.name;
  manifest.is_baseline = index == 0;
  manifest.variant_index = static_cast<int>(index);
  manifest.settings = spec.variant.settings;
  manifest.program_version = base::program_version;
  manifest.flight = flight_record(spec.flight, reference);
  return manifest;
}

std::string case_folder(const VariantSpec& spec, meshing::GridLevel level) {
  return spec.grid.compare == 1 ? spec.variant.name
                                : fmt::format("{}-{}", spec.variant.name, meshing::level_name(level));
}

std::vector<CasePlan> case_plans(const VariantSpec& spec) {
  std::vector<CasePlan> plans;
  for (const bool is_reference : {false, true}) {
    if (is_reference && !spec.grid.cooling_drag) break;
    std::string start_from;
    for (const meshing::GridLevel level : meshing::grid_levels(spec.grid)) {
      const std::string open = case_folder(spec, level);
      plans.push_back({is_reference ? reference_folder(open) : open, level, is_reference, start_from});
      start_from = plans.back().folder;
    }
  }
  return plans;
}

std::vector<Case> build_cases(const Study& study, std::size_t variant_index) {
  Study closed = study;
  closed.variants.at(variant_index).shape.is_closed = true;
  std::vector<Case> cases;
  std::optional<shape::Installation> installation;
  for (const CasePlan& plan : case_plans(study.variants.at(variant_index))) {
    const Study& source = plan.is_reference ? closed : study;
    if (plan.start_from.empty()) {  // the coarsest grid of this shape
      installation = shape::build_installation(source.variants.at(variant_index).shape);
    }
    cases.push_back(build_case(source, variant_index, plan, *installation));
  }
  return cases;
}

void write_case(const Case& built, const std::filesystem::path& case_dir) {
  namespace fs = std::filesystem;
  std::error_code failure;
  fs::remove_all(case_dir, failure);
  for (const auto& [path, text] : built.files) {
    const fs::path file = case_dir / path;
    fs::create_directories(file.parent_path(), failure);
    base::write_text(file, text);
  }
  fs::permissions(case_dir / "Allrun",
                  fs::perms::owner_exec | fs::perms::group_exec | fs::perms::others_exec,
                  fs::perm_options::add,
                  failure);
  base::write_manifest(built.manifest, case_dir);
}

}  // namespace cowlwright::foam
