// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/network/with_readings.h"

#include "geometry/base/error.h"

#include <boost/math/tools/toms748_solve.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

namespace cowlwright::network {

namespace {

using readings::Reading;

constexpr double least_factor = 0.1;
constexpr double largest_factor = 10.0;
constexpr double largest_exit_shift = 1.0;
constexpr double loss_floor = 0.15;  // of the loss, chosen
constexpr double exit_floor = 0.03;  // of the coefficient, chosen

struct Correction {
  double log_factor = 0.0;
  double exit_shift = 0.0;
};

Coefficients corrected(Coefficients coefficients, const Correction& correction) {
  const double factor = std::exp(correction.log_factor);
  for (InletCoefficients& inlet : coefficients.inlets) {
    inlet.still_loss.value *= factor;
    inlet.deck_loss.value *= factor;
    for (LossPoint& point : inlet.solved_loss) point.loss *= factor;
  }
  coefficients.exit.pressure.value += correction.exit_shift;
  return coefficients;
}

State solved(const Model& model, const Reading& reading, const Correction& correction) {
  return model.with(corrected(model.coefficients(), correction)).solve(condition_of(reading));
}

/// Factor on the inlets' losses that gives the measured difference; more loss is always less difference.
void fit_difference(const Model& model, const Reading& reading, DeckFit& fit) {
  const double measured = reading.deck_pressure_difference->value;
  const auto difference_at = [&](double log_factor) {
    return solved(model, reading, {log_factor, 0.0}).deck_pressure_difference();
  };
  const double low = std::log(least_factor);
  const double high = std::log(largest_factor);
  const double most = difference_at(low);
  const double least = difference_at(high);
  if (!(measured <= most && measured >= least)) {
    fit.failure = fmt::format(
        "{:.0f} Pa cannot come from the inlets' losses: with {} to {} times of them the network gives {:.0f} "
        "to {:.0f} Pa. "
        "Look at exit, leaks, core law, the taps and the stated power",
        measured,
        largest_factor,
        least_factor,
        least,
        most);
    return;
  }
  const auto close = [](double a, double b) { return std::abs(a - b) < 1e-6; };
  std::uintmax_t turns = 60;
  const auto [below, above] =
      boost::math::tools::toms748_solve([&](double at) { return difference_at(at) - measured; },
                                        low,
                                        high,
                                        most - measured,
                                        least - measured,
                                        close,
                                        turns);
  fit.loss_factor = std::exp(0.5 * (below + above));
}

/// Two unknowns from two pressures by Newton's method.
void fit_both_taps(const Model& model, const Reading& reading, DeckFit& fit) {
  constexpr double step = 1e-4;
  constexpr int most_turns = 40;
  Correction at;
  const auto misses = [&](const Correction& correction) -> std::array<double, 2> {
    const State state = solved(model, reading, correction);
    const double upper = 0.5 * (state.upper_deck_pressure[0] + state.upper_deck_pressure[1]);
    return {(upper - reading.upper_deck_pressure->value) / state.reference_pressure,
            (state.lower_deck_pressure - reading.lower_deck_pressure->value) / state.reference_pressure};
  };
  for (int turn = 0; turn < most_turns; ++turn) {
    const auto here = misses(at);
    if (std::max(std::abs(here[0]), std::abs(here[1])) < 1e-8) {
      fit.loss_factor = std::exp(at.log_factor);
      fit.exit_shift = at.exit_shift;
      return;
    }
    const auto more_loss = misses({at.log_factor + step, at.exit_shift});
    const auto more_exit = misses({at.log_factor, at.exit_shift + step});
    const double a = (more_loss[0] - here[0]) / step;
    const double b = (more_exit[0] - here[0]) / step;
    const double c = (more_loss[1] - here[1]) / step;
    const double d = (more_exit[1] - here[1]) / step;
    const double determinant = a * d - b * c;
    if (!(std::abs(determinant) > 1e-14)) break;
    // No step longer than what keeps the straight line through here of use.
    at.log_factor += std::clamp(-(d * here[0] - b * here[1]) / determinant, -0.7, 0.7);
    at.exit_shift += std::clamp(-(a * here[1] - c * here[0]) / determinant, -0.2, 0.2);
    const double bound = std::log(largest_factor);
    if (std::abs(at.log_factor) > bound || std::abs(at.exit_shift) > largest_exit_shift) break;
  }
  fit.failure = fmt::format(
      "{:.0f} Pa above and {:.0f} Pa below the cylinders cannot come from inlet losses of {} to {} times the "
      "network's and "
      "an exit coefficient shifted by at most {}. Look at the taps, what the other port of the gauge felt, "
      "leaks and core law",
      reading.upper_deck_pressure->value,
      reading.lower_deck_pressure->value,
      least_factor,
      largest_factor,
      largest_exit_shift);
}

bool has_both_taps(const Reading& reading) {
  return reading.upper_deck_pressure && reading.lower_deck_pressure;
}

/// Mean and largest deviation from it.
std::pair<double, double> middle_and_spread(const std::vector<double>& values) {
  double sum = 0.0;
  for (const double value : values) sum += value;
  const double mean = sum / static_cast<double>(values.size());
  double spread = 0.0;
  for (const double value : values) spread = std::max(spread, std::abs(value - mean));
  return {mean, spread};
}

/// What is kept of the fits: those with both taps when there are any, because they tell inlets from exit.
std::vector<DeckFit> usable(const std::vector<DeckFit>& fits) {
  std::vector<DeckFit> kept;
  const bool any_taps = std::any_of(
      fits.begin(), fits.end(), [](const DeckFit& fit) { return fit.has_both_taps && fit.failure.empty(); });
  for (const DeckFit& fit : fits) {
    if (fit.failure.empty() && fit.has_both_taps == any_taps) kept.push_back(fit);
  }
  return kept;
}

std::string names_of(const std::vector<DeckFit>& fits) {
  std::vector<std::string> names;
  for (const DeckFit& fit : fits) names.push_back(fit.reading);
  return fmt::format("{}", fmt::join(names, ", "));
}

void set_bands(Coefficients& coefficients, double loss_share, const std::string& source) {
  for (InletCoefficients& inlet : coefficients.inlets) {
    for (Coefficient* loss : {&inlet.still_loss, &inlet.deck_loss}) {
      loss->half_band = loss_share * loss->value;
      loss->source += source;
    }
    if (!inlet.solved_loss.empty()) {
      inlet.solved_loss_origin.half_band = loss_share;
      inlet.solved_loss_origin.source += source;
    }
  }
}

/// How far the corrected network still is from each reading.
void note_residuals(Coefficients& coefficients, const VariantSpec& spec, std::span<const Reading> readings) {
  const Model model(spec, coefficients);
  for (const Reading& reading : readings) {
    if (!reading.deck_pressure_difference) continue;
    const double measured = reading.deck_pressure_difference->value;
    try {
      const double found = model.solve(condition_of(reading)).deck_pressure_difference();
      coefficients.notes.push_back(
          fmt::format("{}: deck pressure difference measured {:.0f} Pa, with the corrected losses "
                      "{:.0f} Pa ({:+.1f} %).",
                      reading.name,
                      measured,
                      found,
                      100.0 * (found - measured) / measured));
    } catch (const base::ResultError& error) {
      coefficients.notes.push_back(
          fmt::format("{}: no answer with the corrected losses: {}", reading.name, error.what()));
    }
  }
}

}  // namespace

Condition condition_of(const Reading& reading) {
  return {.true_airspeed = reading.true_airspeed,
          .air = reading.air,
          .incidence = reading.incidence,
          .shaft_power = reading.shaft_power,
          .rotational_speed = reading.rotational_speed};
}

std::vector<DeckFit> fit_decks(const Model& model, std::span<const Reading> readings) {
  std::vector<DeckFit> fits;
  for (const Reading& reading : readings) {
    if (!readings::has_deck_pressures(reading)) continue;
    DeckFit fit{.reading = reading.name, .has_both_taps = has_both_taps(reading)};
    try {
      fit.has_both_taps ? fit_both_taps(model, reading, fit) : fit_difference(model, reading, fit);
    } catch (const base::InputError& error) {
      fit.failure = error.what();
    } catch (const base::ResultError& error) {
      fit.failure = error.what();
    }
    fits.push_back(fit);
  }
  return fits;
}

DeckCorrection deck_correction(const Model& model, std::span<const Reading> readings) {
  return combined(fit_decks(model, readings));
}

DeckCorrection combined(const std::vector<DeckFit>& fits) {
  DeckCorrection result;
  for (const DeckFit& fit : fits) {
    if (!fit.failure.empty()) {
      result.notes.push_back(
          fmt::format("{}: its deck pressures are not used: {}.", fit.reading, fit.failure));
    }
  }
  const std::vector<DeckFit> kept = usable(fits);
  if (kept.empty()) return result;
  std::vector<double> logs;
  std::vector<double> shifts;
  for (const DeckFit& fit : kept) {
    logs.push_back(std::log(fit.loss_factor));
    if (fit.exit_shift) shifts.push_back(*fit.exit_shift);
  }
  const auto [log_factor, log_spread] = middle_and_spread(logs);
  result.is_any = true;
  result.loss_factor = std::exp(log_factor);
  result.loss_band = std::max(loss_floor, std::expm1(log_spread));
  result.origin = fmt::format("deck pressures in flight ({})", names_of(kept));
  std::string exit =
      "A difference alone cannot tell a loss at the inlets from a pressure at the exit: all of it is put on "
      "the inlets";
  if (!shifts.empty()) {
    const auto [shift, spread] = middle_and_spread(shifts);
    result.exit_shift = shift;
    result.exit_band = std::max(exit_floor, spread);
    exit = fmt::format("The exit's pressure coefficient is shifted by {:+.3f}", shift);
  }
  result.notes.push_back(fmt::format(
      "The losses of both inlets are {:.3f} times what handbook or CFD give, by {}. {}. Pressures "
      "alone say nothing of the law of the cores: it is taken as stated.",
      result.loss_factor,
      result.origin,
      exit));
  if (!(result.loss_factor > 0.5 && result.loss_factor < 2.0)) {
    result.notes.push_back(
        "So large a correction points to something else than the inlets' losses: a leak that is not in the "
        "study, the exit, the core law, the stated power, or the taps. Find it before you trust what "
        "follows.");
  }
  return result;
}

Coefficients with_correction(Coefficients coefficients, const DeckCorrection& correction) {
  coefficients.notes.insert(coefficients.notes.end(), correction.notes.begin(), correction.notes.end());
  if (!correction.is_any) return coefficients;
  coefficients = corrected(std::move(coefficients),
                           {std::log(correction.loss_factor), correction.exit_shift.value_or(0.0)});
  set_bands(coefficients,
            correction.loss_band,
            fmt::format("; times {:.3f} by {}", correction.loss_factor, correction.origin));
  if (correction.exit_shift) {
    coefficients.exit.pressure.half_band = correction.exit_band;
    coefficients.exit.pressure.source +=
        fmt::format("; {:+.3f} by {}", *correction.exit_shift, correction.origin);
  }
  return coefficients;
}

Coefficients with_readings(Coefficients coefficients,
                           const VariantSpec& spec,
                           std::span<const Reading> readings) {
  const DeckCorrection correction = deck_correction(Model(spec, coefficients), readings);
  coefficients = with_correction(std::move(coefficients), correction);
  if (correction.is_any) note_residuals(coefficients, spec, readings);
  return coefficients;
}

}  // namespace cowlwright::network
