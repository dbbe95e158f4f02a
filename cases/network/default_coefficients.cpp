// SPDX-License-Identifier: GPL-3.0-or-later
//
// Coefficients from handbooks and from the study itself.
#include "cases/network/coefficients.h"
#include "cases/network/exit_default.h"
#include "cases/network/handbook.h"
#include "geometry/shape/installation.h"
#include "geometry/shape/opening.h"
#include "geometry/shape/own_cowl.h"
#include "geometry/shape/zones.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace cowlwright::network {
namespace {

using base::Side;

// Handbooks differ by 0.03 to 0.11 for a well rounded entrance, and by a sixth for sharper ones.
constexpr double least_entrance_band = 0.05;
constexpr double relative_entrance_band = 0.20;
// A lip that nobody has measured: between sharp and well rounded.
constexpr double unknown_lip_loss = 0.25;
constexpr double unknown_lip_band = 0.25;
// Of the throat's dynamic pressure. Solved rounded rings of one shape (study network_lip, draft grid,
// settled) lost 0.96 to 1.02 of it on the right, but 1.9 on the left, where the propeller's swirl and the
// incidence make air spill out of the throat again: half of that excess.
constexpr double deck_band = 0.50;
constexpr double propeller_band = 0.50;
constexpr double resistance_band = 0.15;
constexpr double leak_band = 0.20;

Coefficient entrance(const shape::ShapeSpec& shape, const shape::InletSpec& inlet) {
  if (shape.own) {
    return {unknown_lip_loss, unknown_lip_band, "chosen, no source: the lip of an own cowl is not measured"};
  }
  const double ratio = inlet.lip_radius / shape::hydraulic_diameter(inlet);
  const bool is_proud = inlet.ring == shape::RingStyle::Proud;
  const double loss = is_proud ? proud_entrance_loss(ratio) : flush_entrance_loss(ratio);
  return {loss,
          std::max(least_entrance_band, relative_entrance_band * loss),
          fmt::format("Idelchik, diagram 3-4 {}, r/D {:.3f} (second-hand)", is_proud ? "a" : "b", ratio)};
}

Coefficient deck(const shape::InletSpec& inlet) {
  const double angle = shape::diffuser_angle(inlet);
  if (!(angle > 0.0)) {
    return {1.0,
            deck_band,
            "sudden widening: the whole dynamic pressure of the throat; band from CFD of one invented shape, "
            "draft grid "
            "(0.96 to 1.02 on one side, 1.9 where air spills out again)"};
  }
  const double ratio = 1.0 / inlet.diffuser_area_ratio;
  return {diffuser_loss(angle, ratio) + ratio * ratio,
          deck_band,
          fmt::format("Idelchik, conical diffuser of {:.1f} deg (second-hand), then a sudden widening; band "
                      "chosen, no source",
                      angle * 180.0 / std::numbers::pi)};
}

InletCoefficients inlet_coefficients(const VariantSpec& spec, Side side) {
  const shape::InletSpec& inlet = shape::inlet(spec.shape, side);
  InletCoefficients result;
  result.area = shape::opening_area(inlet);
  result.still_loss = entrance(spec.shape, inlet);
  result.deck_loss = deck(inlet);
  result.propeller_rise = spec.propeller.present
                              ? Coefficient{1.0, propeller_band, "blade elements; band chosen, no source"}
                              : Coefficient{0.0, 0.0, "no propeller"};
  return result;
}

Side side_of(const VariantSpec& spec, const shape::Passage& passage) {
  if (passage.kind == base::PassageKind::Cooler) return spec.shape.oil_cooler.side;
  if (passage.kind == base::PassageKind::Core)
    return passage.cylinder.starts_with('l') ? Side::Left : Side::Right;
  return passage.name.ends_with("_left")    ? Side::Left
         : passage.name.ends_with("_right") ? Side::Right
                                            : Side::Centre;
}

std::string law_source(core::LawKind kind) {
  switch (kind) {
    case core::LawKind::Table:
      return "law stated in the study (table)";
    case core::LawKind::PowerLaw:
      return "law stated in the study (power law)";
    case core::LawKind::Fins:
      break;
  }
  return "law from the fins stated in the study";
}

/// A law fitted over the whole passage.
void set_law(const VariantSpec& spec, const core::Law& law, PassageCoefficients& passage) {
  const core::CoreFit fit = core::fit_core_law(law.points,
                                               passage.area,
                                               spec.flight.air.density,
                                               base::dynamic_viscosity(spec.flight.air.temperature));
  passage.viscous = fit.viscous;
  passage.inertial = fit.inertial;
  // Fins are twice as uncertain as a measured law: straight passages, no bend, no leaks between.
  const double band = law.kind == core::LawKind::Fins ? 2.0 * resistance_band : resistance_band;
  passage.resistance = {
      1.0,
      std::hypot(band, fit.residual),
      fmt::format(
          "{}, fit within {:.1f} %; band chosen, no source", law_source(law.kind), 100.0 * fit.residual)};
}

void set_heat(double heat, bool is_stated, double shaft_power, PassageCoefficients& passage) {
  if (is_stated || !(shaft_power > 0.0)) {
    passage.stated_heat = heat;
  } else {
    passage.heat_share = heat / shaft_power;
  }
}

/// Head and barrel of a cylinder that is split are one passage here: they take one pressure drop.
std::vector<PassageCoefficients> cylinders(const VariantSpec& spec,
                                           const std::vector<shape::Passage>& passages) {
  std::vector<PassageCoefficients> result;
  const std::vector<std::string> names = core::cylinder_names(spec.shape.engine.n_cylinders);
  for (std::size_t i = 0; i < names.size(); ++i) {
    PassageCoefficients cylinder;
    cylinder.name = names[i];
    for (const shape::Passage& passage : passages) {
      if (passage.cylinder != names[i]) continue;
      cylinder.side = side_of(spec, passage);
      cylinder.area += passage.area;
    }
    set_law(spec, spec.core.law.at(i), cylinder);
    set_heat(spec.core.heat.at(i), spec.core.heat_is_stated, spec.propeller.shaft_power, cylinder);
    result.push_back(cylinder);
  }
  return result;
}

PassageCoefficients other_passage(const VariantSpec& spec, const shape::Passage& passage) {
  PassageCoefficients result;
  result.name = passage.name;
  result.kind = passage.kind;
  result.side = side_of(spec, passage);
  result.joins_decks = passage.joins_decks;
  result.area = passage.area;
  if (passage.kind == base::PassageKind::Cooler) {
    const core::CoolerSpec& cooler = spec.oil_cooler.value();
    set_law(spec, cooler.law, result);
    set_heat(cooler.heat, cooler.heat_is_stated, spec.propeller.shaft_power, result);
  } else {
    result.effective_area = passage.effective_area;
    result.resistance = {1.0, leak_band, "effective area stated in the study; band chosen, no source"};
  }
  return result;
}

/// What stands in the gap: the nose leg and two exhaust pipes, seen along the air.
double exit_obstruction(const shape::ExitSpec& exit) {
  return exit.strut_diameter * exit.gap +
         0.5 * std::numbers::pi * exit.exhaust_diameter * exit.exhaust_diameter;
}

void add_notes(const VariantSpec& spec, Coefficients& coefficients) {
  if (spec.shape.alternator.side) {
    coefficients.notes.push_back(
        "An alternator stands behind one inlet: what it costs there is not in the estimate.");
  }
  if (spec.shape.plenum.kind == shape::PlenumKind::Split && !coefficients.is_split) {
    coefficients.notes.push_back("The centre wall ends below the roof: both halves are taken as one room.");
  }
  if (spec.shape.exit.exhaust_diameter > 0.0) {
    coefficients.notes.push_back(
        "The exhaust's heat and the air its jets drag along are not in the estimate.");
  }
  coefficients.notes.push_back(
      "Upper deck: static pressure, the jets' dynamic pressure is lost in it. Entrance loss in flight is "
      "taken as in still air: a solved sharp edge lost 0.09 of q more than a rounded ring in flight too (one "
      "shape, draft grid, one grid, inlet flow flagged as unbalanced). Air density at the free stream's "
      "pressure.");
}

}  // namespace

Coefficients default_coefficients(const VariantSpec& spec) {
  Coefficients result;
  const std::vector<shape::Passage> passages = shape::make_passages(spec.shape);
  result.inlets = {inlet_coefficients(spec, Side::Left), inlet_coefficients(spec, Side::Right)};
  result.passages = cylinders(spec, passages);
  for (const shape::Passage& passage : passages) {
    if (passage.kind != base::PassageKind::Core) result.passages.push_back(other_passage(spec, passage));
  }
  const shape::ExitSpec& exit = spec.shape.exit;
  result.exit = exit_coefficients_default(exit.lip_angle, exit.lip_length / exit.gap);
  for (const shape::MeasurementPlane& plane : shape::make_planes(spec.shape)) {
    if (plane.record.role == base::PlaneRole::Exit) result.exit.area += plane.record.area;
  }
  result.exit.area -= exit_obstruction(exit);
  result.is_split =
      spec.shape.plenum.kind == shape::PlenumKind::Split && spec.shape.plenum.wall_height >= 1.0;
  add_notes(spec, result);
  return result;
}

}  // namespace cowlwright::network
