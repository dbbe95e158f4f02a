// SPDX-License-Identifier: GPL-3.0-or-later
//
// Rows of the table of derived numbers.
#include "cases/verbs/derived.h"

#include "cases/foam/passages.h"
#include "cases/propeller/blade_element.h"
#include "geometry/base/units.h"
#include "geometry/shape/installation.h"
#include "geometry/shape/opening.h"
#include "geometry/shape/own_cowl.h"
#include "meshing/plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>
#include <numeric>
#include <optional>
#include <utility>

namespace cowlwright::verbs {
namespace {

using base::Dimension;

constexpr double newton_per_pound_force = 0.45359237 * 9.80665;                  // exact
constexpr double newton_metre_per_foot_pound = newton_per_pound_force * 0.3048;  // exact
constexpr double cubic_metre_per_litre = 1e-3;
constexpr double cubic_metre_per_cubic_foot = 0.3048 * 0.3048 * 0.3048;

/// A value in one unit of the unit table, with digits after the point.
std::string in(double value, std::string_view unit, Dimension dimension, int digits) {
  return fmt::format("{:.{}f} {}", base::in_unit(value, unit, dimension), digits, unit);
}

std::string degrees(double angle) {
  return in(angle, "deg", Dimension::Angle, 1);
}

class Rows {
 public:
  void section(std::string name) { section_ = std::move(name); }
  void add(std::string name, std::string si, std::string practical = {}) {
    rows_.push_back({section_, std::move(name), std::move(si), std::move(practical)});
  }
  std::vector<DerivedRow> take() && { return std::move(rows_); }

 private:
  std::string section_;
  std::vector<DerivedRow> rows_;
};

/// Adds one row where both inlets have the same value, else one for each; `remark` goes into the last column.
void add_of_inlets(Rows& rows,
                   const shape::ShapeSpec& shape,
                   const std::string& name,
                   const std::function<std::string(const shape::InletSpec&)>& text,
                   const std::function<std::string(const shape::InletSpec&)>& remark) {
  const shape::InletPair& in = shape.inlets;
  if (text(in.left) == text(in.right)) {
    rows.add(name, text(in.left), remark(in.left));
  } else {
    rows.add(name + ", left", text(in.left), remark(in.left));
    rows.add(name + ", right", text(in.right), remark(in.right));
  }
}

std::string no_remark(const shape::InletSpec&) {
  return {};
}

void add_flight(Rows& rows,
                const flight::FlightSpec& flight,
                const flight::ReferencePressure& reference,
                const shape::ShapeSpec& shape) {
  const base::AirState& air = flight.air;
  const double q = flight::dynamic_pressure(flight);
  const double pressure_altitude = base::pressure_altitude(air.pressure);
  const double density_altitude = base::density_altitude(air.density);
  rows.section("Flight");
  rows.add("true airspeed",
           in(flight.true_airspeed, "m/s", Dimension::Speed, 1),
           in(flight.true_airspeed, "kt", Dimension::Speed, 1));
  rows.add("pressure altitude",
           in(pressure_altitude, "m", Dimension::Length, 0),
           in(pressure_altitude, "ft", Dimension::Length, 0));
  rows.add("density altitude",
           in(density_altitude, "m", Dimension::Length, 0),
           in(density_altitude, "ft", Dimension::Length, 0));
  rows.add("outside air temperature",
           in(air.temperature, "degC", Dimension::Temperature, 1),
           in(air.temperature, "degF", Dimension::Temperature, 1));
  rows.add("air density",
           in(air.density, "kg/m3", Dimension::Density, 4),
           fmt::format("{:.3f} of sea level", air.density / base::air::sea_level_density));
  rows.add("dynamic pressure q", in(q, "Pa", Dimension::Pressure, 0), in(q, "inH2O", Dimension::Pressure, 2));
  if (!reference.is_in_flight) {
    rows.add("pressures are over " + reference.name,
             in(reference.value, "Pa", Dimension::Pressure, 0),
             in(reference.value, "inH2O", Dimension::Pressure, 2));
    rows.add("slipstream far behind",
             in(reference.speed, "m/s", Dimension::Speed, 1),
             in(reference.speed, "kt", Dimension::Speed, 1));
  }
  rows.add("Mach number",
           fmt::format("{:.3f}", flight.true_airspeed / base::speed_of_sound(air.temperature)));
  add_of_inlets(
      rows,
      shape,
      "Reynolds number on inlet diameter",
      [&](const shape::InletSpec& in) {
        return fmt::format("{:.2e}",
                           air.density * reference.speed * shape::hydraulic_diameter(in) /
                               base::dynamic_viscosity(air.temperature));
      },
      no_remark);
  rows.add("incidence, sideslip", degrees(flight.incidence) + ", " + degrees(flight.sideslip));
}

/// A conical diffuser loses as much as a sudden widening at some 20 to 40 deg of full angle (Idelchik).
void add_diffusers(Rows& rows, const shape::ShapeSpec& shape) {
  constexpr double dump_angle = 20.0 * std::numbers::pi / 180.0;
  const auto angle = [](const shape::InletSpec& in) { return shape::diffuser_angle(in); };
  if (angle(shape.inlets.left) == 0.0 && angle(shape.inlets.right) == 0.0) return;
  add_of_inlets(
      rows,
      shape,
      "inlet diffuser, full angle",
      [&](const shape::InletSpec& in) { return angle(in) > 0.0 ? degrees(angle(in)) : "none"; },
      [&](const shape::InletSpec& in) {
        return angle(in) > dump_angle ? "NOTE: above 20 deg the air leaves the walls, as in a sudden widening"
                                      : "";
      });
}

void add_openings(Rows& rows, const shape::ShapeSpec& shape) {
  const shape::DerivedSizes sizes = shape::derived_sizes(shape);
  const auto area = [&](const std::string& name, double value) {
    rows.add(name, in(value, "cm2", Dimension::Area, 1), in(value, "in2", Dimension::Area, 1));
  };
  const auto volume = [&](const std::string& name, double value) {
    rows.add(name,
             fmt::format("{:.1f} L", value / cubic_metre_per_litre),
             fmt::format("{:.2f} ft3", value / cubic_metre_per_cubic_foot));
  };
  rows.section("Openings and decks");
  area("both inlet throats", sizes.inlet_area);
  area("exit gap", sizes.exit_area);
  rows.add("exit to inlet area", fmt::format("{:.3f}", sizes.exit_to_inlet));
  if (!shape.own) {
    add_of_inlets(
        rows,
        shape,
        "inlet ring r/D",
        [](const shape::InletSpec& in) {
          return fmt::format("{:.3f}", in.lip_radius / shape::hydraulic_diameter(in));
        },
        no_remark);
  }
  add_diffusers(rows, shape);
  if (shape.exit.strut_diameter > 0.0) {
    area("strut across the exit, seen along the air", shape.exit.strut_diameter * shape.exit.gap);
  }
  if (shape.exit.exhaust_diameter > 0.0) {
    area("exhaust pipes in the exit gap",
         0.5 * std::numbers::pi * shape.exit.exhaust_diameter * shape.exit.exhaust_diameter);
    rows.add("their heat, and the air their jets drag along", "not computed");
  }
  area("all cores", sizes.core_area);
  rows.add("core to inlet area", fmt::format("{:.2f}", sizes.core_to_inlet));
  volume("upper deck", sizes.upper_deck_volume);
  volume("lower deck", sizes.lower_deck_volume);
}

/// What was measured on a user's own cowl, so that a wrong unit or axis shows.
void add_own_cowl(Rows& rows, const shape::ShapeSpec& shape) {
  if (!shape.own) return;
  const shape::OwnCowl& own = *shape.own;
  const auto length = [&](const std::string& name, double value) {
    rows.add(name, in(value, "mm", Dimension::Length, 1), in(value, "in", Dimension::Length, 2));
  };
  rows.section("Own cowl");
  rows.add("surface", own.name, fmt::format("{} triangles", own.skin.triangles.size()));
  length("nose behind the spinner, FS", own.nose_station);
  length("trailing edge, FS", own.trailing_edge);
  length("greatest width inside the study's stations", own.width);
  length("crown above, WL", own.height_above);
  length("keel below, WL", -own.depth_below);
  length("exit gap", shape.exit.gap);
  for (const auto& [name, inlet] : {std::pair{"left inlet", own.inlets[0]}, {"right inlet", own.inlets[1]}}) {
    rows.add(
        fmt::format("{}, edge ends", name),
        fmt::format(
            "FS {:.0f} BL {:.0f} WL {:.0f} mm", 1000.0 * inlet->rear, 1000.0 * inlet->y, 1000.0 * inlet->z));
  }
  for (const std::string& note : own.notes) rows.add("NOTE", note);
}

/// What a pitch that is taken as given makes of the engine's power.
std::string mismatch_text(double mismatch) {
  const std::string_view verdict =
      std::abs(mismatch) <= propeller::noticeable_mismatch ? "within what the blade data know"
      : mismatch > 0.0 ? "the engine would not reach this speed: lower it or the pitch"
                       : "the engine would turn faster at this power: raise the speed or the pitch, or lower "
                         "the power";
  return fmt::format("{:+.0f} %: {}", 100.0 * mismatch, verdict);
}

void add_propeller(Rows& rows,
                   const VariantSpec& spec,
                   const std::optional<propeller::Performance>& performance) {
  rows.section("Propeller, alone in free air (blade-element solve)");
  if (!performance) {
    rows.add("none", "-");
    return;
  }
  const propeller::Performance& result = *performance;
  const double tip_speed = 0.5 * spec.propeller.diameter * spec.propeller.rotational_speed;
  rows.add("shaft power absorbed",
           in(result.power, "kW", Dimension::Power, 1),
           in(result.power, "hp", Dimension::Power, 1));
  if (spec.propeller.pitch_mode == propeller::PitchMode::Fixed) {
    rows.add("that is against shaft_power", mismatch_text(result.power / spec.propeller.shaft_power - 1.0));
  }
  rows.add("thrust",
           fmt::format("{:.0f} N", result.thrust),
           fmt::format("{:.0f} lbf", result.thrust / newton_per_pound_force));
  rows.add("torque",
           fmt::format("{:.0f} N m", result.torque),
           fmt::format("{:.0f} ft lbf", result.torque / newton_metre_per_foot_pound));
  if (spec.flight.true_airspeed > 0.0) {
    rows.add("efficiency", fmt::format("{:.3f} (ideal disk {:.3f})", result.efficiency, result.froude_limit));
  } else {
    rows.add("figure of merit at rest", fmt::format("{:.3f} (ideal disk 1)", result.figure_of_merit));
  }
  if (spec.propeller.pitch_mode == propeller::PitchMode::ToPower) {
    rows.add("pitch change to absorb it", degrees(result.collective));
  }
  rows.add("mean swirl behind it", degrees(result.mean_swirl));
  rows.add("rotational tip Mach number",
           fmt::format("{:.3f}", tip_speed / base::speed_of_sound(spec.flight.air.temperature)));
}

void add_heat(Rows& rows, const VariantSpec& spec) {
  const double heat = std::accumulate(spec.core.heat.begin(), spec.core.heat.end(), 0.0);
  rows.section("Engine");
  rows.add("cylinders", fmt::format("{}", spec.shape.engine.n_cylinders));
  rows.add("heat of the cylinders into the air",
           in(heat, "kW", Dimension::Power, 1),
           in(heat, "hp", Dimension::Power, 1));
  if (spec.oil_cooler) {
    rows.add("heat of the oil into the air",
             in(spec.oil_cooler->heat, "kW", Dimension::Power, 1),
             in(spec.oil_cooler->heat, "hp", Dimension::Power, 1));
  }
  const bool has_fins = std::any_of(spec.core.law.begin(), spec.core.law.end(), [](const core::Law& law) {
    return law.kind == core::LawKind::Fins;
  });
  if (has_fins) {
    rows.add("law from fins",
             "straight passages: Shah 1978, Blasius 1913, ends Idelchik; not a measured law");
  }
}

std::string source_of(core::LawKind kind) {
  switch (kind) {
    case core::LawKind::Table:
      return "table";
    case core::LawKind::PowerLaw:
      return "power law";
    case core::LawKind::Fins:
      break;
  }
  return "fins";
}

/// One row each: the stated law at its reference flow, how well the solver's law keeps to it, heat. A leak
/// has its effective area.
void add_passages(Rows& rows, const VariantSpec& spec, const std::vector<shape::Passage>& passages) {
  rows.section("Passages: sigma*dp at a mass flow; dp = a mu v + b rho v2 in the solver");
  const std::vector<base::PassageRecord> records = foam::passage_records(spec, passages);
  for (std::size_t i = 0; i < passages.size(); ++i) {
    const base::PassageRecord& record = records[i];
    if (record.kind == base::PassageKind::Leak) {
      rows.add(record.zone,
               fmt::format("Cd A {}", in(record.effective_area, "cm2", Dimension::Area, 2)),
               fmt::format(
                   "a = 0, b = {:.4g} in {}", record.inertial, in(record.area, "cm2", Dimension::Area, 1)));
      continue;
    }
    const core::Law law = foam::passage_law(spec, passages[i]);
    rows.add(record.zone,
             fmt::format("{} at {:.4f} kg/s ({})",
                         in(law.reference.pressure_drop, "Pa", Dimension::Pressure, 0),
                         law.reference.mass_flow,
                         source_of(law.kind)),
             fmt::format("a = {:.4g} 1/m, b = {:.4g}, misfit {:.1f} %, {}",
                         record.viscous,
                         record.inertial,
                         100.0 * record.fit_residual,
                         in(record.heat, "kW", Dimension::Power, 2)));
  }
}

void add_grid(Rows& rows, const VariantSpec& spec, bool is_in_flight) {
  const meshing::DiskSize disk = spec.propeller.present
                                     ? meshing::DiskSize{spec.propeller.diameter, spec.propeller.hub_diameter}
                                     : meshing::DiskSize{};
  rows.section("Grid");
  // The levels the user can choose between; a draft grid alone decides nothing.
  const double domain = spec.grid.domain_size;
  for (const meshing::GridLevel level :
       {meshing::GridLevel::Coarse, meshing::GridLevel::Medium, meshing::GridLevel::Fine}) {
    const double cells = meshing::plan_mesh(spec.shape, disk, level, domain).expected_cells;
    const std::string mark = level == spec.grid.level ? " (chosen)" : "";
    rows.add(fmt::format("expected cells, {}{}", meshing::level_name(level), mark),
             fmt::format("{:.0f}", cells));
  }
  const meshing::MeshPlan plan = meshing::plan_mesh(spec.shape, disk, spec.grid.level, domain);
  rows.add("cells across exit gap, inlet, lip",
           fmt::format("{:.1f}, {:.1f}, {:.1f}",
                       plan.cells_across_exit_gap,
                       plan.cells_across_inlet,
                       plan.cells_across_lip_thickness));
  if (is_in_flight) {
    rows.add("turbulence intensity, far field and propeller plane",
             fmt::format("{:.2f} %, {:.2f} %",
                         100.0 * spec.flight.turbulence_intensity,
                         100.0 * flight::decayed_intensity(spec.flight, -plan.far_field.low.x)));
  }
  if (spec.grid.cooling_drag) rows.add("cooling drag", "one closed reference more on each grid");
  rows.add("solver iterations, window for means",
           fmt::format("{}, {}", spec.grid.iterations, spec.grid.window));
}

}  // namespace

std::vector<DerivedRow> derived_rows(const VariantSpec& spec, const std::vector<shape::Passage>& passages) {
  std::optional<propeller::Performance> performance;
  if (spec.propeller.present) {
    performance = propeller::performance(
        spec.propeller,
        {flight::wind(spec.flight).x, spec.flight.air.density, spec.propeller.rotational_speed});
  }
  const flight::ReferencePressure reference =
      flight::reference_pressure(spec.flight, performance ? performance->disk_loading : 0.0);
  Rows rows;
  add_flight(rows, spec.flight, reference, spec.shape);
  add_own_cowl(rows, spec.shape);
  add_openings(rows, spec.shape);
  add_heat(rows, spec);
  add_passages(rows, spec, passages);
  add_propeller(rows, spec, performance);
  add_grid(rows, spec, reference.is_in_flight);
  return std::move(rows).take();
}

std::string derived_table(const std::vector<DerivedRow>& rows) {
  std::size_t name_width = 0;
  std::size_t si_width = 0;
  for (const DerivedRow& row : rows) {
    name_width = std::max(name_width, row.name.size());
    if (!row.practical.empty()) si_width = std::max(si_width, row.si.size());
  }
  std::string text;
  std::string section;
  for (const DerivedRow& row : rows) {
    if (row.section != section) text += row.section + "\n";
    section = row.section;
    std::string line =
        fmt::format("  {:<{}}  {:<{}}  {}", row.name, name_width, row.si, si_width, row.practical);
    line.erase(line.find_last_not_of(' ') + 1);
    text += line + "\n";
  }
  return text;
}

std::vector<DerivedRow> differing_rows(const std::vector<DerivedRow>& rows,
                                       const std::vector<DerivedRow>& baseline) {
  std::vector<DerivedRow> result;
  for (const DerivedRow& row : rows) {
    const bool is_same = std::any_of(baseline.begin(), baseline.end(), [&](const DerivedRow& other) {
      return other.section == row.section && other.name == row.name && other.si == row.si;
    });
    if (!is_same) result.push_back(row);
  }
  return result;
}

}  // namespace cowlwright::verbs
