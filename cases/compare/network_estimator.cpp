// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/compare/network_estimator.h"

#include "cases/network/model.h"
#include "cases/network/solved_cases.h"
#include "geometry/base/solved_flow.h"

#include <array>

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
  const auto add = [&](const std::string& kind, Coefficient& one) { all.push_back({side + " inlet, " + kind, kind, &one}); };
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
    const std::string kind = passage.kind == base::PassageKind::Leak ? "factor on the leak's resistance" : "factor on the resistance";
    all.push_back({passage_name(passage) + ", " + kind, kind, &passage.resistance});
  }
  all.push_back({"exit, discharge coefficient", "discharge coefficient", &coefficients.exit.discharge});
  all.push_back({"exit, pressure coefficient", "pressure coefficient", &coefficients.exit.pressure});
  return all;
}

Coefficients coefficients_of(const VariantSpec& spec) {
  Coefficients coefficients = network::default_coefficients(spec);
  if (!spec.estimate.solved_flow) return coefficients;
  return network::with_solved_cases(std::move(coefficients), spec, base::read_solved_flow(*spec.estimate.solved_flow));
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

std::vector<double> values(const VariantSpec& spec, const std::vector<Shift>& shifts) {
  Coefficients coefficients = coefficients_of(spec);
  shift(coefficients, shifts);
  const network::Model model(spec, std::move(coefficients));
  const network::State state = model.solve(network::stated_condition(spec));
  double flow = 0.0;
  for (std::size_t i = 0; i < state.passages.size(); ++i) {
    if (model.coefficients().passages[i].kind == base::PassageKind::Core) flow += state.passages[i].mass_flow;
  }
  return {state.deck_pressure_difference(), flow};
}

}  // namespace

Estimator network_estimator() {
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
  estimator.assumptions = [](const VariantSpec& spec) {
    Coefficients coefficients = coefficients_of(spec);
    std::vector<Assumption> all;
    for (const Named& one : named(coefficients)) {
      all.push_back({one.name, one.kind, one.coefficient->value, one.coefficient->half_band, one.coefficient->source});
    }
    return all;
  };
  estimator.values = values;
  return estimator;
}

}  // namespace cowlwright::compare
