// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/compare/network_estimator.h"

#include "cases/envelope/engine_temperatures.h"
#include "cases/network/model.h"
#include "cases/network/study_coefficients.h"
#include "geometry/base/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <memory>
#include <optional>

namespace cowlwright::compare {
namespace {

using network::Coefficient;
using network::Coefficients;

/// A coefficient in its place.
struct Named {
  std::string name;
  std::string kind;
  Coefficient* coefficient;
};

void name_inlet(network::InletCoefficients& inlet, const std::string& side, std::vector<Named>& all) {
  const auto add = [&](const std::string& kind, Coefficient& one) {
    all.push_back({side + " inlet, " + kind, kind, &one});
  };
  if (inlet.solved_loss.empty()) {
    add("entrance loss in still air", inlet.still_loss);
    add("loss in diffuser and deck", inlet.deck_loss);
  } else {
    inlet.solved_loss_origin.value = 1.0;  // a factor: its band is relative
    add("solved loss over itself", inlet.solved_loss_origin);
  }
  add("factor on the propeller's pressure rise", inlet.propeller_rise);
}

std::string passage_name(const network::PassageCoefficients& passage) {
  if (passage.kind == base::PassageKind::Core) return "cylinder " + passage.name;
  std::string words = passage.name;
  for (char& c : words) c = c == '_' ? ' ' : c;
  return words;
}

std::vector<Named> named(Coefficients& coefficients) {
  std::vector<Named> all;
  name_inlet(coefficients.inlets[0], "left", all);
  name_inlet(coefficients.inlets[1], "right", all);
  for (network::PassageCoefficients& passage : coefficients.passages) {
    const std::string kind = passage.kind == base::PassageKind::Leak ? "factor on the leak's resistance"
                                                                     : "factor on the resistance";
    all.push_back({passage_name(passage) + ", " + kind, kind, &passage.resistance});
  }
  all.push_back({"exit, discharge coefficient", "discharge coefficient", &coefficients.exit.discharge});
  all.push_back({"exit, pressure coefficient", "pressure coefficient", &coefficients.exit.pressure});
  return all;
}

void shift(Coefficients& coefficients, const std::vector<Shift>& shifts) {
  for (const Named& one : named(coefficients)) {
    for (const Shift& by : shifts) {
      if (by.name == one.name) one.coefficient->value += by.amount;
    }
  }
  for (network::InletCoefficients& inlet : coefficients.inlets) {
    for (network::LossPoint& point : inlet.solved_loss) point.loss *= inlet.solved_loss_origin.value;
  }
}

using envelope::EngineTemperatures;

/// An engine's constants and the site whose temperature is shared out.
struct Engine {
  EngineTemperatures temperatures;
  std::size_t site = 0;
  bool has_limit = false;
};

envelope::Temperatures temperatures_at(const EngineTemperatures& engine,
                                       const network::Model& model,
                                       const network::State& state) {
  // The bands are the comparison's own affair: nothing is disturbed here.
  const std::vector<network::State> undisturbed(envelope::n_kinds + 1, state);
  const double power = model.spec().propeller.shaft_power;
  return engine.at(
      model, undisturbed, temperature::fuel_flow_at(model.spec().temperatures.fuel, power, power));
}

/// Of the hottest cylinder; nothing when one cylinder has none.
std::optional<double> hottest(const envelope::SiteTemperatures& site) {
  std::optional<double> highest;
  for (const temperature::Estimate& cylinder : site.cylinders) {
    if (!cylinder.value) return std::nullopt;
    highest = std::max(highest.value_or(*cylinder.value), *cylinder.value);
  }
  return highest;
}

/// Shared by all mixtures, so that a file of solved cases is read once.
using Source = std::shared_ptr<network::StudyCoefficients>;

network::Model model_of(const VariantSpec& spec, const std::vector<Shift>& shifts, const Source& source) {
  Coefficients coefficients = source->of(spec);
  shift(coefficients, shifts);
  return {spec, std::move(coefficients)};
}

std::vector<double> values(const VariantSpec& spec,
                           const std::vector<Shift>& shifts,
                           const std::shared_ptr<const Engine>& engine,
                           const Source& source) {
  const network::Model model = model_of(spec, shifts, source);
  const network::State state = model.solve(network::stated_condition(spec));
  double flow = 0.0;
  for (std::size_t i = 0; i < state.passages.size(); ++i) {
    if (model.coefficients().passages[i].kind == base::PassageKind::Core) flow += state.passages[i].mass_flow;
  }
  std::vector<double> all{state.deck_pressure_difference(), flow};
  if (!engine) return all;
  const envelope::SiteTemperatures site =
      temperatures_at(engine->temperatures, model, state).sites[engine->site];
  const std::optional<double> highest = hottest(site);
  if (!highest) throw base::ResultError("the temperature of a cylinder has no estimate. " + site.missing);
  all.push_back(*highest);
  if (engine->has_limit) all.push_back(site.limit.value() - *highest);
  return all;
}

/// The first site with temperatures, heads before barrels; nothing when there is none.
std::shared_ptr<const Engine> engine_of(const VariantSpec& spec, const Source& source) {
  const network::Model model = model_of(spec, {}, source);
  EngineTemperatures temperatures{envelope::DisturbedModel(model)};
  const envelope::Temperatures here =
      temperatures_at(temperatures, model, model.solve(network::stated_condition(spec)));
  for (const temperature::Site site : {temperature::Site::HeadBottom, temperature::Site::UnderPlug}) {
    const std::size_t i = temperature::index(site);
    if (hottest(here.sites[i])) {
      return std::make_shared<const Engine>(
          Engine{std::move(temperatures), i, here.sites[i].limit.has_value()});
    }
  }
  return nullptr;
}

void add_temperatures(const Engine& engine, Estimator& estimator) {
  const std::string site(temperature::site_name(temperature::sites[engine.site]));
  estimator.quantities.push_back({.name = fmt::format("hottest cylinder ({})", site),
                                  .unit = "degC",
                                  .practical_unit = "degF",
                                  .dimension = base::Dimension::Temperature,
                                  .change_dimension = base::Dimension::TemperatureDifference,
                                  .more_is_better = false});
  if (engine.has_limit) {
    estimator.quantities.push_back({.name = fmt::format("smallest margin ({})", site),
                                    .unit = "K",
                                    .practical_unit = "degF",
                                    .dimension = base::Dimension::TemperatureDifference,
                                    .change_dimension = base::Dimension::TemperatureDifference});
  }
  estimator.notes.push_back(
      "Temperatures: one engine in both installations, with one set of constants. The bands of their changes "
      "hold "
      "the network's coefficients, not the error of these constants; temperatures themselves are less sure "
      "than "
      "their changes.");
}

}  // namespace

Estimator network_estimator(const VariantSpec* engine) {
  Estimator estimator;
  estimator.quantities = {{.name = "deck pressure difference",
                           .unit = "Pa",
                           .practical_unit = "inH2O",
                           .dimension = base::Dimension::Pressure,
                           .change_dimension = base::Dimension::Pressure},
                          {.name = "air through the cylinders",
                           .unit = "kg/s",
                           .practical_unit = "lb/min",
                           .dimension = base::Dimension::MassFlow,
                           .change_dimension = base::Dimension::MassFlow}};
  const auto source = std::make_shared<network::StudyCoefficients>();
  std::shared_ptr<const Engine> known;
  if (engine != nullptr) {
    known = engine_of(*engine, source);
    if (std::any_of(engine->readings.begin(), engine->readings.end(), readings::has_deck_pressures)) {
      estimator.notes.push_back(
          "Deck pressures of readings are not used here: they belong to one of the two installations, and "
          "what "
          "they correct could not be told from what differs.");
    }
    if (known) {
      add_temperatures(*known, estimator);
    } else {
      estimator.notes.push_back(
          "No head temperatures: neither readings nor limits say enough of this engine.");
    }
  }
  estimator.assumptions = [source](const VariantSpec& spec) {
    Coefficients coefficients = source->of(spec);
    std::vector<Assumption> all;
    for (const Named& one : named(coefficients)) {
      const Coefficient& c = *one.coefficient;
      all.push_back({one.name, one.kind, c.value, c.half_band, c.source});
    }
    return all;
  };
  estimator.values = [known, source](const VariantSpec& spec, const std::vector<Shift>& shifts) {
    return values(spec, shifts, known, source);
  };
  return estimator;
}

}  // namespace cowlwright::compare
