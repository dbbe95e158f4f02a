// SPDX-License-Identifier: GPL-3.0-or-later
//
// Histories whose mean, period, transient and autocorrelation time are known.
#pragma once

#include <cmath>
#include <cstddef>
#include <numbers>
#include <random>
#include <vector>

namespace cowlwright::testing_support {

/// first, first + 1, ..., last.
inline std::vector<double> iterations(int first, int last) {
  std::vector<double> values;
  for (int i = first; i <= last; ++i) values.push_back(i);
  return values;
}

/// mean + amplitude * sin(2 pi (i + phase) / period).
inline std::vector<double> swing(
    double mean, double amplitude, int n_samples, double period = 20.0, double phase = 0.0) {
  std::vector<double> values;
  for (int i = 0; i < n_samples; ++i) {
    values.push_back(mean + amplitude * std::sin(2.0 * std::numbers::pi * (i + phase) / period));
  }
  return values;
}

/// start, start + step, ...
inline std::vector<double> ramp(double start, double step, int n_samples) {
  std::vector<double> values;
  for (int i = 0; i < n_samples; ++i) values.push_back(start + step * i);
  return values;
}

/// Adds amplitude * exp(-i / constant).
inline std::vector<double> with_decay(std::vector<double> values, double amplitude, double constant) {
  for (std::size_t i = 0; i < values.size(); ++i) {
    values[i] += amplitude * std::exp(-static_cast<double>(i) / constant);
  }
  return values;
}

/// x_i = a x_{i-1} + normal noise, begun in its stationary distribution; standard deviation of x is
/// 1/sqrt(1 - a²), integrated autocorrelation time (1 + a)/(1 - a). a = 0 is white noise.
inline std::vector<double> autoregressive(double a, int n_samples, unsigned seed) {
  std::mt19937_64 source(seed);
  std::normal_distribution<double> normal;
  double x = normal(source) / std::sqrt(1.0 - a * a);
  std::vector<double> values;
  for (int i = 0; i < n_samples; ++i) {
    values.push_back(x);
    x = a * x + normal(source);
  }
  return values;
}

}  // namespace cowlwright::testing_support
