// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading the sections that describe the shape.
#include "geometry/shape/own_cowl.h"
#include "geometry/shape/parameters.h"
#include "geometry/shape/read_inlets.h"
#include "geometry/shape/spec.h"

#include <fmt/format.h>

#include <array>
#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <utility>

namespace cowlwright::shape {

namespace {

// A feature must be absent or large enough for cells of its own.
constexpr double shortest_lip = 0.010;  // m
constexpr base::Range corner_range{2.0, 6.0, false, false, "2 is an ellipse, larger is squarer"};

using Readers = std::map<std::string_view, base::SectionReader*>;

/// Of the sections of the inlets nothing is left: they are refused as a whole.
void refuse_decided(base::SectionReader& reader, const Parameter& parameter) {
  if (parameter.section == "inlets") return;
  reader.optional_quantity(parameter.key, parameter.dimension, parameter.range);
  if (reader.has(parameter.key)) {
    reader.complain(parameter.key, "is decided by the surface in [own_cowl]. Take it out.");
  }
}

void read_dimensions(const Readers& readers, bool has_own_cowl, ShapeSpec& spec) {
  for (const Parameter& parameter : shape_parameters()) {
    base::SectionReader& reader = *readers.at(parameter.section);
    double& value = parameter.value(spec);
    if (has_own_cowl && is_decided_by_own_cowl(parameter)) {
      refuse_decided(reader, parameter);
      continue;
    }
    value = parameter.is_required
                ? reader.quantity(parameter.key, parameter.dimension, parameter.range)
                : reader.quantity_or(parameter.key, parameter.dimension, parameter.range, value);
  }
}

void read_counts_and_choices(const Readers& readers, ShapeSpec& spec) {
  static constexpr std::array<std::string_view, 2> plenums{"shared", "split"};
  static constexpr std::array<std::string_view, 2> roofs{"cowl", "lid"};
  base::SectionReader& engine = *readers.at("engine");
  const std::size_t n_before = engine.n_complaints();
  spec.engine.n_cylinders = static_cast<int>(engine.integer("cylinders", 4, 6));
  if (engine.n_complaints() == n_before && spec.engine.n_cylinders == 5) {
    engine.complain("cylinders", "= 5: must be 4 or 6, equally many on both sides.");
    spec.engine.n_cylinders = 4;
  }
  spec.cowl.corner_exponent =
      readers.at("cowl")->number_or("corner_exponent", corner_range, spec.cowl.corner_exponent);
  spec.plenum.kind = static_cast<PlenumKind>(
      readers.at("plenum")->choice_or("kind", plenums, static_cast<std::size_t>(spec.plenum.kind)));
  spec.plenum.roof = static_cast<PlenumRoof>(
      readers.at("plenum")->choice_or("roof", roofs, static_cast<std::size_t>(spec.plenum.roof)));
}

/// Without the section there is no oil cooler.
void read_oil_cooler(base::SectionReader& reader, OilCoolerSpec& cooler) {
  static constexpr std::array<std::string_view, 4> places{"none", "rear", "front", "below"};
  static constexpr std::array<std::string_view, 2> sides{"left", "right"};
  if (!reader.section_present()) return;
  cooler.place = static_cast<CoolerPlace>(reader.choice("place", places));
  cooler.side = reader.choice_or("side", sides, 0) == 0 ? base::Side::Left : base::Side::Right;
}

void check_plenum(base::SectionReader& reader, const PlenumSpec& plenum) {
  if (plenum.roof == PlenumRoof::Lid && !reader.has("lid_height")) {
    reader.complain("lid_height",
                    "is missing: say how high the lid of roof = \"lid\" lies above the upper deck's floor.");
  }
}

void read_exit_choices(base::SectionReader& exit, ExitSpec& spec) {
  spec.side_plates = exit.boolean_or("side_plates", spec.side_plates);
  if (spec.exhaust_diameter == 0.0 && exit.has("exhaust_spacing")) {
    exit.complain("exhaust_spacing",
                  "has no pipes to space. Give exhaust_diameter, or take exhaust_spacing out.");
  }
}

std::string millimetres(double length) {
  return fmt::format("{:.4g} mm", 1000.0 * length);
}

void check_lip(base::SectionReader& reader, const ExitSpec& exit) {
  if (exit.lip_length > 0.0 && exit.lip_length < shortest_lip) {
    reader.complain(
        "lip_length",
        fmt::format("= {}: must be 0 mm (no lip) or at least {}, or it cannot be meshed. Lengthen it or "
                    "leave it away.",
                    millimetres(exit.lip_length),
                    millimetres(shortest_lip)));
  }
}

/// An [alternator] that does not say where it stands would be none without a word.
void read_alternator(base::SectionReader& reader, AlternatorSpec& alternator) {
  static constexpr std::array<std::string_view, 3> sides{"none", "left", "right"};
  if (!reader.section_present()) return;
  const std::size_t side = reader.choice("side", sides);
  if (side > 0) alternator.side = side == 1 ? base::Side::Left : base::Side::Right;
}

/// Replaces outer skin and inlets by the study's own cowl.
void read_own_cowl(const Readers& readers, const OwnCowlSource& own_cowl, ShapeSpec& spec) {
  const OwnCowlRoom room{.front_station = spec.plenum.front_station,
                         .firewall_station = spec.cowl.firewall_station,
                         .skin_thickness = spec.cowl.skin_thickness,
                         .spinner_radius = 0.5 * spec.spinner.diameter,
                         .exit_width = spec.exit.width};
  const std::shared_ptr<const OwnCowl> own = own_cowl(room);
  if (!own) return;
  take_dimensions(own, spec);
  constexpr double least_gap = 0.020;
  if (!(spec.exit.gap >= least_gap)) {
    readers.at("fuselage")
        ->complain("depth_below",
                   fmt::format("= {}: leaves an exit gap of {} between the belly and the inner side of {}'s "
                               "trailing edge: must "
                               "leave at least {}. Raise the belly, or lower the cowl's trailing edge.",
                               millimetres(spec.fuselage.depth_below),
                               millimetres(spec.exit.gap),
                               own->name,
                               millimetres(least_gap)));
  }
}

/// "inlets.spacing = 560.0 mm: must be ..." becomes "[inlets] spacing = 560.0 mm: must be ..." at its place.
void report_conflicts(const Readers& readers, const ShapeSpec& spec) {
  for (const ShapeConflict& conflict : shape_conflicts(spec)) {
    const std::string_view message = conflict.message;
    const std::size_t dot = conflict.first_key.find('.');
    base::SectionReader& reader = *readers.at(std::string_view(conflict.first_key).substr(0, dot));
    reader.complain(conflict.first_key.substr(dot + 1),
                    message.starts_with(conflict.first_key + " ")
                        ? std::string(message.substr(conflict.first_key.size() + 1))
                        : fmt::format("conflicts with {}: {}", conflict.second_key, message));
  }
}

}  // namespace

ShapeSpec read_shape_spec(const base::StudyFile& file,
                          const base::Variant& variant,
                          base::SectionReader& engine,
                          base::SectionReader& propeller,
                          base::SectionReader& oil_cooler,
                          const OwnCowlSource& own_cowl,
                          base::Complaints& complaints) {
  base::SectionReader cowl = file.section("cowl", variant, complaints);
  base::SectionReader fuselage = file.section("fuselage", variant, complaints);
  base::SectionReader inlets = file.section("inlets", variant, complaints);
  base::SectionReader inlet_left = file.section("inlet_left", variant, complaints);
  base::SectionReader inlet_right = file.section("inlet_right", variant, complaints);
  base::SectionReader alternator = file.section("alternator", variant, complaints);
  base::SectionReader plenum = file.section("plenum", variant, complaints);
  base::SectionReader leaks = file.section("leaks", variant, complaints);
  base::SectionReader exit = file.section("exit", variant, complaints);
  const Readers readers{{"cowl", &cowl},
                        {"fuselage", &fuselage},
                        {"inlets", &inlets},
                        {"inlet_left", &inlet_left},
                        {"inlet_right", &inlet_right},
                        {"alternator", &alternator},
                        {"plenum", &plenum},
                        {"leaks", &leaks},
                        {"exit", &exit},
                        {"engine", &engine},
                        {"propeller", &propeller},
                        {"oil_cooler", &oil_cooler}};
  ShapeSpec spec;
  const bool has_own_cowl = static_cast<bool>(own_cowl);
  read_dimensions(readers, has_own_cowl, spec);
  if (has_own_cowl) {
    for (base::SectionReader* reader : {&inlets, &inlet_left, &inlet_right}) {
      if (reader->section_present()) {
        reader->complain("", "is decided by the surface in [own_cowl]. Take the section out.");
      }
    }
  } else {
    read_inlets(inlets, inlet_left, inlet_right, variant, spec.inlets);
  }
  read_alternator(alternator, spec.alternator);
  read_counts_and_choices(readers, spec);
  read_oil_cooler(oil_cooler, spec.oil_cooler);
  read_exit_choices(exit, spec.exit);
  const auto is_sound = [&] {
    std::size_t n_complaints = 0;
    for (const auto& [name, reader] : readers) {
      n_complaints += reader->n_complaints();
    }
    return n_complaints == 0;
  };
  if (is_sound()) {
    check_lip(exit, spec.exit);
    check_plenum(plenum, spec.plenum);
  }
  if (has_own_cowl && is_sound()) read_own_cowl(readers, own_cowl, spec);
  if (is_sound() && has_own_cowl == (spec.own != nullptr)) report_conflicts(readers, spec);
  for (const auto& [name, reader] : readers) {
    const bool is_shared = reader == &engine || reader == &propeller || reader == &oil_cooler;
    const bool is_refused =
        has_own_cowl && (reader == &inlets || reader == &inlet_left || reader == &inlet_right);
    if (!is_shared && !is_refused) reader->finish();
  }
  return spec;
}

}  // namespace cowlwright::shape
