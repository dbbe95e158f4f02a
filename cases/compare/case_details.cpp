// SPDX-License-Identifier: GPL-3.0-or-later
//
// Details that are no dimensions of the shape: flight condition, power, propeller, pressure-drop laws, heat.
#include "cases/compare/keys.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::compare {
namespace {

using base::Dimension;

/// A key that is more than a number or a word.
Key whole_key(std::string name,
              std::function<std::string(const VariantSpec&)> words,
              std::function<bool(const VariantSpec&, const VariantSpec&)> differs,
              std::function<void(const VariantSpec&, VariantSpec&)> copy,
              std::function<std::string(const VariantSpec&)> toml) {
  return {.name = std::move(name),
          .common_name = {},
          .applies = always,
          .differs = std::move(differs),
          .si = std::move(words),
          .practical = [](const VariantSpec&) { return std::string{}; },
          .toml = std::move(toml),
          .copy = std::move(copy)};
}

std::string cannot_vary(const VariantSpec&) {
  return {};
}

// Flight condition.

void set_density(base::AirState& air) {
  air.density = air.pressure / (base::air::gas_constant * air.temperature);
}

Key altitude_key() {
  const auto altitude = [](const VariantSpec& s) { return base::pressure_altitude(s.flight.air.pressure); };
  Key key = whole_key(
      "flight.pressure_altitude",
      [=](const VariantSpec& s) { return fmt::format("{:.0f} m", altitude(s)); },
      [](const auto& a, const auto& b) { return !is_same(a.flight.air.pressure, b.flight.air.pressure); },
      [](const VariantSpec& from, VariantSpec& to) {
        to.flight.air.pressure = from.flight.air.pressure;
        set_density(to.flight.air);
      },
      cannot_vary);
  key.practical = [=](const VariantSpec& s) {
    return fmt::format("{:.0f} ft", base::in_unit(altitude(s), "ft", Dimension::Length));
  };
  return key;
}

Key temperature_key() {
  Key key = quantity_key("flight.outside_temperature", Dimension::Temperature, [](VariantSpec& s) -> double& {
    return s.flight.air.temperature;
  });
  key.copy = [](const VariantSpec& from, VariantSpec& to) {
    to.flight.air.temperature = from.flight.air.temperature;
    set_density(to.flight.air);
  };
  return key;
}

void add_flight(DetailList& list) {
  using Spec = VariantSpec;
  list.add("airspeed",
           quantity_key("flight.true_airspeed",
                        Dimension::Speed,
                        [](Spec& s) -> double& { return s.flight.true_airspeed; }),
           Topic::Condition);
  list.add("pressure altitude", altitude_key(), Topic::Condition);
  list.add("outside temperature", temperature_key(), Topic::Condition);
  list.add("incidence",
           quantity_key(
               "flight.incidence", Dimension::Angle, [](Spec& s) -> double& { return s.flight.incidence; }),
           Topic::Condition);
  list.add(
      "sideslip",
      quantity_key("flight.sideslip", Dimension::Angle, [](Spec& s) -> double& { return s.flight.sideslip; }),
      Topic::Condition);
  list.add("turbulence of the air ahead",
           quantity_key("flight.turbulence_intensity",
                        Dimension::Share,
                        [](Spec& s) -> double& { return s.flight.turbulence_intensity; }),
           Topic::Solver);
  list.add("turbulence of the air ahead",
           number_key("flight.eddy_viscosity_ratio",
                      [](Spec& s) -> double& { return s.flight.eddy_viscosity_ratio; }),
           Topic::Solver);
}

void add_grid(DetailList& list) {
  list.add("grid",
           whole_key(
               "grid.level",
               [](const VariantSpec& s) {
                 return fmt::format(
                     "{}, domain {:.3g}{}",
                     meshing::level_name(s.grid.level),
                     s.grid.domain_size,
                     s.grid.wall_treatment == meshing::WallTreatment::Blended ? ", blended walls" : "");
               },
               [](const VariantSpec& a, const VariantSpec& b) {
                 return a.grid.level != b.grid.level || !is_same(a.grid.domain_size, b.grid.domain_size) ||
                        a.grid.wall_treatment != b.grid.wall_treatment;
               },
               [](const VariantSpec& from, VariantSpec& to) { to.grid = from.grid; },
               cannot_vary),
           Topic::Solver);
}

// Power and heat. Heat is kept in watts; where the study gives it as a share of the power it goes with the
// power.

double share(double heat, const VariantSpec& spec) {
  return heat / spec.propeller.shaft_power;
}
double total_share(const VariantSpec& spec) {
  double sum = 0.0;
  for (const double heat : spec.core.heat) sum += share(heat, spec);
  return sum;
}

/// Whether two heats are the same: in watts where both are stated so, as a share where both are that.
bool is_same_heat(double a,
                  const VariantSpec& of_a,
                  bool a_is_stated,
                  double b,
                  const VariantSpec& of_b,
                  bool b_is_stated) {
  const bool in_watts = is_same(a, b), in_shares = is_same(share(a, of_a), share(b, of_b));
  if (a_is_stated && b_is_stated) return in_watts;
  return a_is_stated == b_is_stated ? in_shares : in_watts && in_shares;
}

/// `from`'s heat at the power that `to` has.
double carried_heat(double heat, const VariantSpec& from, bool is_stated, const VariantSpec& to) {
  return is_stated ? heat : share(heat, from) * to.propeller.shaft_power;
}

void add_power(DetailList& list) {
  Key power = quantity_key("engine.shaft_power", Dimension::Power, [](VariantSpec& s) -> double& {
    return s.propeller.shaft_power;
  });
  power.copy = [](const VariantSpec& from, VariantSpec& to) {
    const double factor = from.propeller.shaft_power / to.propeller.shaft_power;
    to.propeller.shaft_power = from.propeller.shaft_power;
    if (!to.core.heat_is_stated) {
      for (double& heat : to.core.heat) heat *= factor;
    }
    if (to.oil_cooler && !to.oil_cooler->heat_is_stated) to.oil_cooler->heat *= factor;
  };
  list.add("shaft power", std::move(power), Topic::Power);
  list.add("rotational speed",
           quantity_key("engine.rotational_speed",
                        Dimension::RotationalSpeed,
                        [](VariantSpec& s) -> double& { return s.propeller.rotational_speed; }),
           Topic::Power);
}

std::string heat_words(const VariantSpec& s) {
  std::vector<std::string> kilowatts;
  for (const double heat : s.core.heat) kilowatts.push_back(fmt::format("{:.3g}", heat / 1000.0));
  return fmt::format("{:.3g} % of the power ({} kW)", 100.0 * total_share(s), fmt::join(kilowatts, " + "));
}

bool heat_differs(const VariantSpec& a, const VariantSpec& b) {
  if (a.core.heat.size() != b.core.heat.size()) return true;
  for (std::size_t i = 0; i < a.core.heat.size(); ++i) {
    if (!is_same_heat(a.core.heat[i], a, a.core.heat_is_stated, b.core.heat[i], b, b.core.heat_is_stated))
      return true;
  }
  return false;
}

void copy_heat(const VariantSpec& from, VariantSpec& to) {
  to.core.heat = from.core.heat;
  to.core.heat_is_stated = from.core.heat_is_stated;
  for (double& heat : to.core.heat) heat = carried_heat(heat, from, from.core.heat_is_stated, to);
}

std::string heat_split(const VariantSpec& s) {
  std::vector<std::string> parts;
  for (const double heat : s.core.heat) {
    const double equal = 1.0 / static_cast<double>(s.core.heat.size());
    const double part = total_share(s) > 0.0 ? share(heat, s) / total_share(s) : equal;
    parts.push_back(fmt::format("\"{:.12g} %\"", 100.0 * part));
  }
  return fmt::format("[{}]", fmt::join(parts, ", "));
}

void add_heat(DetailList& list) {
  const std::string label = "heat of the cylinders";
  list.add(
      label,
      whole_key("engine.heat_share",
                heat_words,
                heat_differs,
                copy_heat,
                [](const VariantSpec& s) { return fmt::format("\"{:.12g} %\"", 100.0 * total_share(s)); }),
      Topic::Power);
  list.add(label,
           whole_key(
               "engine.heat_split",
               heat_words,
               [](const VariantSpec&, const VariantSpec&) { return false; },
               copy_heat,
               heat_split),
           Topic::Power);
  list.detail(label).words = heat_words;
}

// Laws.

bool is_same_law(const core::Law& a, const core::Law& b) {
  return std::ranges::equal(a.points, b.points, [](const core::LawPoint& p, const core::LawPoint& q) {
    return is_same(p.mass_flow, q.mass_flow) && is_same(p.pressure_drop, q.pressure_drop);
  });
}

double exponent(const core::Law& law) {
  const core::LawPoint& first = law.points.front();
  const core::LawPoint& last = law.points.back();
  return std::log(last.pressure_drop / first.pressure_drop) / std::log(last.mass_flow / first.mass_flow);
}

std::string law_words(const core::Law& law) {
  const std::string at = fmt::format("{} at {}",
                                     quantity_texts(law.reference.pressure_drop, Dimension::Pressure).both(),
                                     quantity_texts(law.reference.mass_flow, Dimension::MassFlow).both());
  if (law.kind == core::LawKind::Fins) return "from fins, " + at;
  if (law.kind == core::LawKind::Table) return "a table, " + at;
  return fmt::format("{}, exponent {:.3g}", at, exponent(law));
}

/// One value of a power law, the list of a table.
std::string law_toml(const core::Law& law, double core::LawPoint::*member, std::string_view unit) {
  if (law.kind == core::LawKind::PowerLaw) return fmt::format("\"{:.12g} {}\"", law.reference.*member, unit);
  std::vector<std::string> values;
  for (const core::LawPoint& point : law.points) {
    values.push_back(fmt::format("\"{:.12g} {}\"", point.*member, unit));
  }
  return fmt::format("[{}]", fmt::join(values, ", "));
}

using LawOf = std::function<const core::Law*(const VariantSpec&)>;  ///< nullptr: it has none

/// Three keys of one law, which is copied as a whole.
void add_law(const std::string& label,
             const std::vector<std::string>& names,
             const LawOf& law,
             const std::function<void(const VariantSpec&, VariantSpec&)>& copy,
             DetailList& list) {
  const auto words = [=](const VariantSpec& s) { return law(s) ? law_words(*law(s)) : std::string("none"); };
  const auto differs = [=](const VariantSpec& a, const VariantSpec& b) {
    return law(a) && law(b) && !is_same_law(*law(a), *law(b));
  };
  const auto never = [](const VariantSpec&, const VariantSpec&) { return false; };
  const auto of = [=](double core::LawPoint::*member, std::string_view unit) {
    return [=](const VariantSpec& s) { return law(s) ? law_toml(*law(s), member, unit) : std::string{}; };
  };
  list.add(label, whole_key(names[0], words, never, copy, of(&core::LawPoint::mass_flow, "kg/s")));
  list.add(label, whole_key(names[1], words, differs, copy, of(&core::LawPoint::pressure_drop, "Pa")));
  list.add(label, whole_key(names[2], words, never, copy, [=](const VariantSpec& s) {
             const bool is_power_law = law(s) && law(s)->kind == core::LawKind::PowerLaw;
             return is_power_law ? fmt::format("{:.12g}", exponent(*law(s))) : std::string{};
           }));
}

std::string law_obstacle(const core::Law* good, const core::Law* mine) {
  if (!good || !mine || good->kind == core::LawKind::PowerLaw) {
    if (good && mine && mine->kind != good->kind) return "a law of another kind cannot be put back by a key";
    return {};
  }
  if (good->kind == core::LawKind::Fins || mine->kind == core::LawKind::Fins) {
    return "a law from fins cannot be put back by one key; change the fins' keys by hand";
  }
  return mine->kind == good->kind ? "" : "a law of another kind cannot be put back by a key";
}

bool is_uniform(const core::CoreSpec& core) {
  return std::all_of(core.law.begin(), core.law.end(), [&](const core::Law& law) {
    return is_same_law(law, core.law.front());
  });
}

void add_laws(const VariantSpec& good, const VariantSpec& mine, DetailList& list) {
  const bool is_one = is_uniform(good.core) && is_uniform(mine.core);
  const std::vector<std::string> names = core::cylinder_names(good.shape.engine.n_cylinders);
  for (std::size_t i = 0; i < names.size(); ++i) {
    const LawOf law = [=](const VariantSpec& s) { return i < s.core.law.size() ? &s.core.law[i] : nullptr; };
    const auto copy = [=](const VariantSpec& from, VariantSpec& to) {
      if (is_one) {
        to.core.law = from.core.law;
      } else if (i < from.core.law.size() && i < to.core.law.size()) {
        to.core.law[i] = from.core.law[i];
      }
    };
    const std::string section = is_one ? "engine" : "cylinder_" + names[i];
    const std::string label = is_one ? std::string("pressure drop of the cylinders")
                                     : fmt::format("pressure drop of cylinder {}{}",
                                                   static_cast<char>(std::toupper(names[i][0])),
                                                   names[i].substr(1));
    add_law(label,
            {section + ".core_mass_flow", section + ".core_pressure_drop", section + ".core_exponent"},
            law,
            copy,
            list);
    Detail& detail = list.detail(label);
    detail.words = detail.keys[1].si;
    detail.obstacle = law_obstacle(law(good), law(mine));
    if (is_one) break;
  }
}

void add_cooler(const VariantSpec& good, const VariantSpec& mine, DetailList& list) {
  const bool is_one = good.oil_cooler.has_value() != mine.oil_cooler.has_value();
  const LawOf law = [](const VariantSpec& s) { return s.oil_cooler ? &s.oil_cooler->law : nullptr; };
  const std::string label = is_one ? "oil cooler" : "pressure drop of the oil cooler";
  add_law(
      label,
      {"oil_cooler.mass_flow", "oil_cooler.pressure_drop", "oil_cooler.exponent"},
      law,
      [](const VariantSpec& from, VariantSpec& to) {
        if (from.oil_cooler && to.oil_cooler) to.oil_cooler->law = from.oil_cooler->law;
      },
      list);
  if (!is_one) {
    Detail& detail = list.detail(label);
    detail.words = detail.keys[1].si;
    detail.obstacle = law_obstacle(law(good), law(mine));
  }
  list.add(is_one ? "oil cooler" : "heat of the oil",
           whole_key(
               "oil_cooler.heat_share",
               [](const VariantSpec& s) {
                 if (!s.oil_cooler) return std::string("none");
                 return fmt::format("{:.3g} % of the power ({:.3g} kW)",
                                    100.0 * share(s.oil_cooler->heat, s),
                                    s.oil_cooler->heat / 1000.0);
               },
               [](const VariantSpec& a, const VariantSpec& b) {
                 return a.oil_cooler && b.oil_cooler &&
                        !is_same_heat(a.oil_cooler->heat,
                                      a,
                                      a.oil_cooler->heat_is_stated,
                                      b.oil_cooler->heat,
                                      b,
                                      b.oil_cooler->heat_is_stated);
               },
               [](const VariantSpec& from, VariantSpec& to) {
                 if (!from.oil_cooler || !to.oil_cooler) return;
                 to.oil_cooler->heat =
                     carried_heat(from.oil_cooler->heat, from, from.oil_cooler->heat_is_stated, to);
                 to.oil_cooler->heat_is_stated = from.oil_cooler->heat_is_stated;
               },
               [](const VariantSpec& s) {
                 return s.oil_cooler ? fmt::format("\"{:.12g} %\"", 100.0 * share(s.oil_cooler->heat, s))
                                     : std::string{};
               }),
           is_one ? Topic::Installation : Topic::Power);
}

bool has_head(const VariantSpec& spec) {
  return spec.shape.engine.head_width > 0.0;
}

void add_head(DetailList& list) {
  const std::string label = "head and barrel of the cylinders";
  list.add(label,
           quantity_key(
               "engine.head_heat_share",
               Dimension::Share,
               [](VariantSpec& s) -> double& { return s.core.head_heat_share; },
               has_head));
  list.add(label,
           quantity_key(
               "engine.head_flow_share",
               Dimension::Share,
               [](VariantSpec& s) -> double& { return s.core.head_flow_share; },
               has_head));
  list.add(
      "resistance across the fins",
      number_key("engine.core_transverse", [](VariantSpec& s) -> double& { return s.core.transverse_ratio; }),
      Topic::Solver);
}

}  // namespace

void add_condition_details(DetailList& list) {
  add_flight(list);
  add_power(list);
  add_heat(list);
  add_grid(list);
}

void add_core_details(const VariantSpec& good, const VariantSpec& mine, DetailList& list) {
  add_laws(good, mine, list);
  add_head(list);
  add_cooler(good, mine, list);
}

}  // namespace cowlwright::compare
