// SPDX-License-Identifier: GPL-3.0-or-later
//
// An estimate put into the form that the tables print.
#include "cases/foam/case.h"
#include "cases/foam/passages.h"
#include "cases/verbs/estimate_values.h"
#include "geometry/shape/zones.h"
#include "post/tables/statements.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace cowlwright::verbs {
namespace {

constexpr double closure_limit = 1e-8;  // of the network's own balance [%]

/// Values with half bands and with what each coefficient does to them.
std::vector<post::Quantity> quantities_of(const VariantSpec& spec,
                                          const base::Manifest& manifest,
                                          const network::Model& model,
                                          const network::Estimate& estimate,
                                          std::vector<std::string>& notes) {
  const auto values_at = [&](const network::State& state) {
    return estimated_values(spec, manifest, model.coefficients(), state);
  };
  const std::vector<EstimatedValue> values = values_at(estimate.state);
  std::vector<post::Quantity> quantities;
  for (const EstimatedValue& value : values) {
    quantities.push_back(post::empty_quantity(value.id, value.part));
    quantities.back().value = value.value;
    quantities.back().basis = value.is_input ? post::Basis::Fixed : post::Basis::Estimate;
  }
  for (const network::Moved& moved : estimate.moved) {
    const std::vector<EstimatedValue> up = values_at(moved.up);
    const std::vector<EstimatedValue> down = values_at(moved.down);
    for (std::size_t i = 0; i < quantities.size(); ++i) {
      if (values[i].is_input) continue;
      quantities[i].shifts.push_back(
          {fmt::format("{} ({})", moved.coefficient.name, moved.coefficient.source),
           moved.coefficient.value,
           network::shift_of(values[i].value, up[i].value, down[i].value)});
    }
  }
  for (post::Quantity& quantity : quantities) {
    if (quantity.basis != post::Basis::Estimate) continue;
    double square = 0.0;
    for (const post::CoefficientShift& one : quantity.shifts) square += one.shift * one.shift;
    // Nothing moved it: no coefficient speaks of it, which is no certainty.
    if (square != 0.0) quantity.half_band = std::sqrt(square);
    if (!std::isfinite(quantity.value)) {
      notes.push_back(
          fmt::format("{} cannot be formed (division by a flow or pressure of zero)", quantity.name));
    }
  }
  std::erase_if(quantities, [](const post::Quantity& quantity) {
    return !std::isfinite(quantity.value) || !std::isfinite(quantity.half_band.value_or(0.0));
  });
  std::stable_sort(
      quantities.begin(), quantities.end(), [](const auto& a, const auto& b) { return a.order < b.order; });
  return quantities;
}

post::BalanceCheck balance_of(const post::Quantity& quantity) {
  post::BalanceCheck check{.id = quantity.id,
                           .name = quantity.name,
                           .value = quantity.value,
                           .lowest = -closure_limit,
                           .highest = closure_limit,
                           .flag = {}};
  if (!(std::abs(quantity.value) <= closure_limit)) {
    check.flag = fmt::format("{} {:+.2e} %: limit {:.0e} %; the network has not been balanced",
                             check.name,
                             quantity.value,
                             closure_limit);
  }
  return check;
}

/// The closures are no estimates: they say how well the network was balanced.
void set_balances(post::VariantResult& result) {
  for (post::Quantity& quantity : result.quantities) {
    if (!quantity.id.ends_with("_closure")) continue;
    quantity.basis = post::Basis::Fixed;
    quantity.half_band.reset();
    quantity.shifts.clear();
    if (quantity.id == "core_closure") continue;  // follows from the other
    result.balances.push_back(balance_of(quantity));
    if (result.balances.back().is_exceeded()) result.flags.push_back(result.balances.back().flag);
  }
}

/// What the network was not made for.
void add_doubts(const network::Model& model, const network::State& state, post::VariantResult& result) {
  const network::Coefficients& coefficients = model.coefficients();
  const char* const sides[] = {"left", "right"};
  for (std::size_t i = 0; i < 2; ++i) {
    const network::InletState& inlet = state.inlets[i];
    if (inlet.mass_flow < 0.0) {
      result.flags.push_back(
          fmt::format("air leaves forward through the {} inlet: no coefficient here was made for "
                      "that",
                      sides[i]));
    }
    const std::vector<network::LossPoint>& points = coefficients.inlets[i].solved_loss;
    if (!points.empty() && (inlet.velocity_ratio < points.front().velocity_ratio - 1e-3 ||
                            inlet.velocity_ratio > points.back().velocity_ratio + 1e-3)) {
      result.notes.push_back(
          fmt::format("{} inlet: velocity ratio {:.3f} lies outside the solved {:.3f} to {:.3f}: its loss is "
                      "extrapolated (held "
                      "flat)",
                      sides[i],
                      inlet.velocity_ratio,
                      points.front().velocity_ratio,
                      points.back().velocity_ratio));
    }
  }
  if (state.exit_mass_flow < 0.0) {
    result.flags.emplace_back("air enters through the exit: no coefficient here was made for that");
  }
  for (std::size_t i = 0; i < state.passages.size(); ++i) {
    const network::PassageCoefficients& passage = coefficients.passages[i];
    const double offered = passage.heat_share * state.condition.shaft_power + passage.stated_heat;
    if (state.passages[i].heat < offered) {
      result.flags.push_back(
          fmt::format("{}: {:.3f} kg/s cannot carry off {:.2f} kW: hardly any air passes, there is no "
                      "estimate of temperatures",
                      passage.name,
                      state.passages[i].mass_flow,
                      offered / 1000.0));
    }
    if (passage.kind != base::PassageKind::Leak && state.passages[i].mass_flow < 0.0) {
      result.flags.push_back(fmt::format("{}: air passes from the lower deck to the upper", passage.name));
    }
  }
}

}  // namespace

base::Manifest estimate_manifest(const Study& study, std::size_t index, const network::State& state) {
  const VariantSpec& spec = study.variants.at(index);
  base::Manifest manifest =
      foam::variant_manifest(study, index, flight::reference_pressure(spec.flight, state.disk_loading));
  if (spec.propeller.present) manifest.propeller = foam::propeller_record(spec.propeller);
  for (const shape::MeasurementPlane& plane : shape::make_planes(spec.shape))
    manifest.planes.push_back(plane.record);
  manifest.passages = foam::passage_records(spec, shape::make_passages(spec.shape));
  return manifest;
}

post::VariantResult estimate_result(const Study& study,
                                    std::size_t index,
                                    const network::Model& model,
                                    const network::Estimate& estimate) {
  const VariantSpec& spec = study.variants.at(index);
  post::VariantResult result;
  result.manifest = estimate_manifest(study, index, estimate.state);
  result.case_dir = spec.variant.name;
  result.judgement = {base::Status::Estimate,
                      "lumped network, balanced in mass and energy; no flow was solved"};
  result.discretisation = post::no_grid;
  result.quantities = quantities_of(spec, result.manifest, model, estimate, result.notes);
  set_balances(result);
  add_doubts(model, estimate.state, result);
  for (const std::string& note : model.coefficients().notes) result.notes.push_back(note);
  for (const network::Moved& moved : estimate.moved) {
    const network::MovingCoefficient& one = moved.coefficient;
    result.coefficients.push_back({one.name,
                                   one.value,
                                   one.half_band,
                                   one.unit,
                                   one.source,
                                   network::shift_of(estimate.state.deck_pressure_difference(),
                                                     moved.up.deck_pressure_difference(),
                                                     moved.down.deck_pressure_difference())});
  }
  return result;
}

}  // namespace cowlwright::verbs
