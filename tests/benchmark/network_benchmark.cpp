// SPDX-License-Identifier: GPL-3.0-or-later
//
// How fast the quick estimate is: one condition through the blade elements, and a map of conditions through
// their tables, in one thread.
#include "cases/network/bands.h"
#include "cases/network/model.h"
#include "cases/starter.h"

#include <benchmark/benchmark.h>

namespace cowlwright::network {
namespace {

const VariantSpec& starter() {
  static const VariantSpec spec = parse_study(starter_study_text(), "starter.toml").variants.front();
  return spec;
}

/// The k-th condition of a map over airspeed, density and power.
Condition of_map(int k) {
  Condition condition = stated_condition(starter());
  condition.true_airspeed = 25.0 + 0.4 * (k % 100);
  condition.air.density = 0.85 + 0.004 * (k / 100 % 100);
  condition.air.pressure = condition.air.density * base::air::gas_constant * condition.air.temperature;
  condition.shaft_power *= 0.7 + 0.003 * (k / 10000 % 100);
  return condition;
}

void defaults(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(default_coefficients(starter()));
}
BENCHMARK(defaults)->Unit(benchmark::kMillisecond);

void one_point(benchmark::State& state) {
  const Model model(starter(), default_coefficients(starter()));
  for (auto _ : state) benchmark::DoNotOptimize(model.solve(stated_condition(starter())));
}
BENCHMARK(one_point)->Unit(benchmark::kMillisecond);

void with_bands(benchmark::State& state) {
  const Model model(starter(), default_coefficients(starter()));
  for (auto _ : state) benchmark::DoNotOptimize(estimate(model, stated_condition(starter())));
}
BENCHMARK(with_bands)->Unit(benchmark::kMillisecond);

void map_point(benchmark::State& state) {
  const Model model(starter(), default_coefficients(starter()));
  for (int k = 0; k < 10000; ++k) model.solve(of_map(k), Route::Tabulated);  // fills the tables
  int k = 0;
  for (auto _ : state) benchmark::DoNotOptimize(model.solve(of_map(k++ % 10000), Route::Tabulated));
  state.SetItemsProcessed(state.iterations());
}
BENCHMARK(map_point)->Unit(benchmark::kMicrosecond);

}  // namespace
}  // namespace cowlwright::network

BENCHMARK_MAIN();
