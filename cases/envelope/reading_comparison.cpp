// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/envelope/reading_comparison.h"

#include "cases/core/spec.h"
#include "cases/envelope/disturbed_model.h"
#include "cases/envelope/engine_temperatures.h"
#include "cases/network/with_readings.h"
#include "geometry/base/error.h"
#include "geometry/base/units.h"

#include <fmt/format.h>

#include <cmath>

namespace cowlwright::envelope {

namespace {

using readings::Measured;
using readings::Reading;

Compared start(const Reading& reading, std::string quantity, const Measured& measured, bool is_temperature) {
  return {.reading = reading.name,
          .quantity = std::move(quantity),
          .is_temperature = is_temperature,
          .measured = measured.value,
          .measured_band = 2.0 * measured.scatter};
}

Compared deck(const Reading& reading, const std::vector<network::State>& states) {
  Compared result = start(reading, "deck pressure difference", *reading.deck_pressure_difference, false);
  const double value = states.front().deck_pressure_difference();
  double squares = 0.0;
  for (const network::State& state : states) squares += std::pow(state.deck_pressure_difference() - value, 2);
  result.value = value;
  result.low = value - std::sqrt(squares);
  result.high = value + std::sqrt(squares);
  return result;
}

const readings::PerCylinder& values_of(const Reading& reading, Site site) {
  return site == Site::HeadBottom  ? reading.head_bottom
         : site == Site::UnderPlug ? reading.under_plug
                                   : reading.barrel;
}

void add_estimate(Compared& compared, const Estimate& estimate) {
  compared.value = estimate.value;
  compared.low = estimate.low;
  compared.high = estimate.high;
}

std::vector<Compared> temperatures(const Reading& reading, const Temperatures& found) {
  std::vector<Compared> all;
  for (const Site site : temperature::sites) {
    const readings::PerCylinder& measured = values_of(reading, site);
    const std::vector<std::string> names = core::cylinder_names(static_cast<int>(measured.size()));
    const SiteTemperatures& estimated = found.sites[temperature::index(site)];
    for (std::size_t i = 0; i < measured.size(); ++i) {
      if (!measured[i]) continue;
      Compared compared =
          start(reading, fmt::format("{} {}", temperature::site_name(site), names[i]), *measured[i], true);
      if (estimated.is_shown()) {
        add_estimate(compared, estimated.cylinders.at(i));
      } else {
        compared.missing = estimated.missing;
      }
      all.push_back(compared);
    }
  }
  if (reading.oil_hot) {
    Compared compared = start(reading, "oil before the cooler", *reading.oil_hot, true);
    if (found.oil.hot) {
      add_estimate(compared, *found.oil.hot);
    } else {
      compared.missing = found.oil.missing_hot;
    }
    all.push_back(compared);
  }
  return all;
}

/// One reading by what the others say.
std::vector<Compared> left_out(VariantSpec spec,
                               const network::Coefficients& corrected,
                               const Reading& reading,
                               std::vector<Reading> others) {
  spec.readings = std::move(others);
  const DisturbedModel model(network::Model(spec, corrected));
  const auto states = model.solve(network::condition_of(reading), network::Route::Solved);
  std::vector<Compared> all;
  if (reading.deck_pressure_difference) all.push_back(deck(reading, states));
  const EngineTemperatures engine(model);
  const std::vector<Compared> more =
      temperatures(reading, engine.at(model.model(), states, reading.fuel_flow));
  all.insert(all.end(), more.begin(), more.end());
  return all;
}

std::string shown(double value, bool is_temperature) {
  return is_temperature ? fmt::format("{:.0f} degC, {:.0f} degF",
                                      base::celsius(value),
                                      base::in_unit(value, "degF", base::Dimension::Temperature))
                        : fmt::format("{:.0f} Pa, {:.2f} inH2O",
                                      value,
                                      base::in_unit(value, "inH2O", base::Dimension::Pressure));
}

std::string shown_estimate(const Compared& compared) {
  if (!compared.low) return "-";
  const std::string band =
      compared.is_temperature
          ? fmt::format("{:.0f} to {:.0f} degC", base::celsius(*compared.low), base::celsius(*compared.high))
          : fmt::format("{:.0f} to {:.0f} Pa", *compared.low, *compared.high);
  return compared.value ? fmt::format("{} ({})", shown(*compared.value, compared.is_temperature), band)
                        : band;
}

std::string table(const std::vector<Compared>& rows) {
  std::string text =
      "| reading | quantity | measured | estimated (band) | in words |\n|---|---|---|---|---|\n";
  for (const Compared& row : rows) {
    text += fmt::format("| {} | {} | {} | {} | {} |\n",
                        row.reading,
                        row.quantity,
                        shown(row.measured, row.is_temperature),
                        shown_estimate(row),
                        in_words(row));
  }
  return text + "\n";
}

}  // namespace

bool Compared::differs() const {
  return low && high && !(measured + measured_band >= *low && measured - measured_band <= *high);
}

std::string in_words(const Compared& compared) {
  if (!compared.low) return fmt::format("no estimate: {}", compared.missing);
  const char* verdict = compared.differs() ? "**beyond** both bands together" : "within both bands together";
  if (!compared.value) return verdict;
  const double difference = compared.measured - *compared.value;
  const char* direction = difference < 0.0 ? "less" : "more";
  return compared.is_temperature
             ? fmt::format(
                   "measured {:.0f} K {} than estimated, {}", std::abs(difference), direction, verdict)
             : fmt::format("measured {:.0f} % {} than estimated, {}",
                           100.0 * std::abs(difference / *compared.value),
                           direction,
                           verdict);
}

std::vector<Compared> compare_decks(const VariantSpec& spec,
                                    const network::Coefficients& coefficients,
                                    std::span<const Reading> readings) {
  const DisturbedModel model(network::Model(spec, coefficients));
  std::vector<Compared> all;
  for (const Reading& reading : readings) {
    if (!reading.deck_pressure_difference) continue;
    try {
      all.push_back(deck(reading, model.solve(network::condition_of(reading), network::Route::Solved)));
    } catch (const std::runtime_error& error) {
      all.push_back(start(reading, "deck pressure difference", *reading.deck_pressure_difference, false));
      all.back().missing = error.what();
    }
  }
  return all;
}

std::vector<Compared> compare_left_out(const VariantSpec& spec,
                                       const network::Coefficients& coefficients,
                                       std::span<const Reading> readings) {
  std::vector<Compared> all;
  if (readings.size() < 2) return all;
  const std::vector<network::DeckFit> fits = network::fit_decks(network::Model(spec, coefficients), readings);
  for (std::size_t i = 0; i < readings.size(); ++i) {
    std::vector<Reading> others(readings.begin(), readings.end());
    others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
    std::vector<network::DeckFit> other_fits = fits;
    std::erase_if(other_fits, [&](const network::DeckFit& fit) { return fit.reading == readings[i].name; });
    try {
      const std::vector<Compared> more =
          left_out(spec,
                   network::with_correction(coefficients, network::combined(other_fits)),
                   readings[i],
                   std::move(others));
      all.insert(all.end(), more.begin(), more.end());
    } catch (const std::runtime_error& error) {
      all.push_back({.reading = readings[i].name, .quantity = "everything", .missing = error.what()});
    }
  }
  return all;
}

std::string comparison_text(const VariantSpec& spec,
                            const network::Coefficients& coefficients,
                            std::span<const Reading> readings) {
  std::string text;
  const std::vector<Compared> decks = compare_decks(spec, coefficients, readings);
  if (!decks.empty()) {
    text +=
        "## Deck pressures beside the estimate\n\nThe estimate is the lumped network of the study's first "
        "variant, as it "
        "is without any reading, at each reading's airspeed, air, power and rotational speed; its band is "
        "what the bands "
        "of its coefficients make. The band of a measurement is twice its scatter: what the taps themselves "
        "get wrong is "
        "not in it.\n\n" +
        table(decks);
    text += "What the readings together say of the network:\n\n";
    const network::Coefficients together = network::with_readings(coefficients, spec, readings);
    for (std::size_t i = coefficients.notes.size(); i < together.notes.size(); ++i) {
      text += fmt::format("- {}\n", together.notes[i]);
    }
    text += "\n";
  }
  const std::vector<Compared> tests = compare_left_out(spec, coefficients, readings);
  if (!tests.empty()) {
    text +=
        "## Each reading by the others\n\nEach reading estimated by the network and the engine's constants "
        "that all other "
        "readings give: it has not been part of its own estimate. Temperatures are estimates, not an "
        "approval; the engine "
        "maker's limits decide.\n\n" +
        table(tests);
  }
  return text;
}

}  // namespace cowlwright::envelope
