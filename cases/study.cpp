// SPDX-License-Identifier: GPL-3.0-or-later
//
// Every section's reader, once per variant, with all complaints gathered before any is thrown.
#include "cases/study.h"

#include "geometry/base/air.h"
#include "geometry/base/study_file.h"
#include "geometry/imported/own_cowls.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string_view>

namespace cowlwright {

namespace {

constexpr std::array section_names = std::to_array<std::string_view>(
    {"study",           "flight",      "engine",      "cylinder_l1", "cylinder_l2", "cylinder_l3",
     "cylinder_r1",     "cylinder_r2", "cylinder_r3", "oil_cooler",  "propeller",   "cowl",
     "fuselage",        "inlets",      "inlet_left",  "inlet_right", "alternator",  "plenum",
     "leaks",           "exit",        "grid",        "vary",        "own_cowl",    "own_inlet_left",
     "own_inlet_right", "own_exit",    "limits",      "fuel",        "temperatures", "envelope",
     "estimate"});

// Room kept between blades and spinner when the file does not say where the blades begin.
constexpr double hub_over_spinner = 1.05;

/// The blades begin outside the spinner: two sections meet here, so neither reader can check it alone.
void fit_hub_to_spinner(base::SectionReader& reader,
                        const shape::SpinnerSpec& spinner,
                        propeller::PropellerSpec& propeller) {
  if (!reader.has("hub_diameter")) {
    propeller.hub_diameter = std::max(propeller.hub_diameter, hub_over_spinner * spinner.diameter);
  }
  const bool is_sound = reader.n_complaints() == 0;
  if (is_sound && propeller.present && !(propeller.hub_diameter >= spinner.diameter)) {
    reader.complain(
        "hub_diameter",
        fmt::format("= {:.4g} mm: must be at least spinner_diameter ({:.4g} mm), because blades inside the "
                    "spinner move no air. Raise it or leave it out.",
                    1000.0 * propeller.hub_diameter,
                    1000.0 * spinner.diameter));
  }
  if (is_sound && propeller.present && !(spinner.diameter <= 0.5 * propeller.diameter)) {
    reader.complain("spinner_diameter",
                    fmt::format("= {:.4g} mm: must be at most half of diameter ({:.4g} mm). Lower it.",
                                1000.0 * spinner.diameter,
                                1000.0 * propeller.diameter));
  }
}

core::EngineBlock engine_block(const shape::EngineSpec& engine, double shaft_power, double viscosity) {
  return {.n_cylinders = engine.n_cylinders,
          .shaft_power = shaft_power,
          .length = engine.core_length,
          .width = engine.core_outer - engine.core_inner,
          .head_width = engine.head_width,
          .viscosity = viscosity};
}

/// Something has to move the air.
void check_airspeed(base::SectionReader& flight, const VariantSpec& spec) {
  if (spec.flight.true_airspeed == 0.0 && !spec.propeller.present) {
    flight.complain(
        flight.has("true_airspeed") ? "true_airspeed" : "calibrated_airspeed",
        "= 0: must be above 0 with propeller.kind = \"none\", because nothing else moves the air. "
        "Raise it or add the propeller.");
  }
}

/// The closed reference is made by leaving out what the parametric side knows of inlets and exit.
void check_cooling_drag(const base::StudyFile& file, const VariantSpec& spec, base::Complaints& complaints) {
  if (!spec.shape.own || !spec.grid.cooling_drag) return;
  file.section("grid", spec.variant, complaints)
      .complain("cooling_drag",
                "= true: cannot be had with [own_cowl], whose inlets and exit we cannot fill and fair. Take "
                "it out; "
                "cooling drag from momentum is shown all the same.");
}

VariantSpec read_variant(const base::StudyFile& file,
                         const base::Variant& variant,
                         imported::OwnCowls& own_cowls,
                         base::Complaints& complaints) {
  VariantSpec spec;
  spec.variant = variant;
  base::SectionReader engine = file.section("engine", variant, complaints);
  base::SectionReader propeller = file.section("propeller", variant, complaints);
  base::SectionReader oil_cooler = file.section("oil_cooler", variant, complaints);
  spec.flight = flight::read_flight_spec(file, variant, complaints);
  const shape::OwnCowlSource own_cowl = own_cowls.source(file, variant, complaints);
  spec.shape = shape::read_shape_spec(file, variant, engine, propeller, oil_cooler, own_cowl, complaints);
  spec.propeller = propeller::read_propeller_spec(propeller, engine, complaints);
  fit_hub_to_spinner(propeller, spec.shape.spinner, spec.propeller);
  base::SectionReader flight = file.section("flight", variant, complaints);
  check_airspeed(flight, spec);
  const double viscosity = base::dynamic_viscosity(spec.flight.air.temperature);
  spec.core = core::read_core_spec(file,
                                   variant,
                                   engine,
                                   engine_block(spec.shape.engine, spec.propeller.shaft_power, viscosity),
                                   complaints);
  // Without a cooler its keys may stay, so that its place can vary.
  const bool has_cooler = spec.shape.oil_cooler.place != shape::CoolerPlace::None;
  if (has_cooler || oil_cooler.has("mass_flow")) {
    const core::CoolerSpec cooler = core::read_cooler_spec(oil_cooler, spec.propeller.shaft_power);
    if (has_cooler) {
      spec.oil_cooler = cooler;
    }
  }
  spec.grid = meshing::read_grid_spec(file, variant, complaints);
  spec.temperatures = temperature::read_temperature_spec(
      file, variant, {spec.propeller.shaft_power, spec.propeller.rotational_speed}, complaints);
  spec.readings = readings::read_readings(file, variant, spec.shape.engine.n_cylinders, complaints);
  check_cooling_drag(file, spec, complaints);
  spec.estimate = network::read_estimate_spec(file, variant, complaints);
  engine.finish();
  propeller.finish();
  oil_cooler.finish();
  return spec;
}

/// Title and question belong to the whole study, so they are read as the file has them.
void read_heading(const base::StudyFile& file,
                  const base::Variant& first,
                  base::Complaints& complaints,
                  Study& study) {
  base::SectionReader reader = file.section("study", first, complaints);
  study.title = reader.text_or("title", study.file.stem().string());
  study.question = reader.text_or("question", "");
  reader.finish();
  for (const base::Setting& setting : first.settings) {
    if (setting.key.starts_with("study.")) {
      reader.complain(setting.key.substr(6),
                      "cannot vary: it stands for the whole study. Take it out of [vary].");
    }
  }
}

Study read_parsed(const base::StudyFile& file) {
  base::Complaints complaints;
  Study study;
  study.file = file.name();
  study.text = file.text();
  std::vector<std::string_view> known(section_names.begin(), section_names.end());
  const auto add_names = [&](std::span<const std::string_view> more) {
    known.insert(known.end(), more.begin(), more.end());
  };
  add_names(readings::reading_section_names());
  file.check_section_names(known, complaints);
  const std::vector<base::Variant> variants = file.variants(complaints);
  read_heading(file, variants.front(), complaints, study);
  imported::OwnCowls own_cowls;
  for (const base::Variant& variant : variants) {
    study.variants.push_back(read_variant(file, variant, own_cowls, complaints));
  }
  complaints.throw_if_any();
  return study;
}

}  // namespace

Study read_study(const std::filesystem::path& file) {
  return read_parsed(base::StudyFile::read(file));
}

Study parse_study(std::string_view text, const std::string& name) {
  return read_parsed(base::StudyFile::parse(text, name));
}

}  // namespace cowlwright
