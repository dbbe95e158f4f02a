// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reads the monitors' whole histories and judges them.
#include "cases/run/stop_rule.h"

#include "geometry/base/error.h"
#include "geometry/base/monitor_history.h"
#include "geometry/base/settling.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <vector>

namespace cowlwright::run {
namespace {

namespace fs = std::filesystem;

/// One monitor's part in a judged quantity.
struct Term {
  std::string quantity;  ///< of the monitor
  std::string subject;
  double weight = 1.0;
};

/// A judged quantity as a weighted sum of monitors.
struct Judged {
  std::string name;
  std::vector<Term> terms{};
};

Judged deck_pressure_difference(const base::Manifest& manifest) {
  double upper_volume = 0.0;
  double lower_volume = 0.0;
  for (const base::ZoneRecord& zone : manifest.zones) {
    if (zone.role == base::ZoneRole::UpperDeck) upper_volume += zone.volume;
    if (zone.role == base::ZoneRole::LowerDeck) lower_volume += zone.volume;
  }
  Judged difference{.name = "deck pressure difference"};
  if (!(upper_volume > 0.0 && lower_volume > 0.0)) return difference;
  for (const base::ZoneRecord& zone : manifest.zones) {
    if (zone.role == base::ZoneRole::UpperDeck)
      difference.terms.push_back({"mean_pressure", zone.name, zone.volume / upper_volume});
    if (zone.role == base::ZoneRole::LowerDeck)
      difference.terms.push_back({"mean_pressure", zone.name, -zone.volume / lower_volume});
  }
  return difference;
}

/// What a case is judged by; a quantity that the case has no zone or plane for comes without terms.
std::vector<Judged> judged_quantities(const base::Manifest& manifest) {
  std::vector<Judged> judged{deck_pressure_difference(manifest)};
  Judged exit{.name = "exit flow"};
  bool has_inlet = false;
  for (const base::PlaneRecord& plane : manifest.planes) {
    if (plane.role == base::PlaneRole::Exit) exit.terms.push_back({"mass_flow", plane.name});
    if (plane.role != base::PlaneRole::Inlet) continue;
    has_inlet = true;
    judged.push_back({.name = "flow of " + plane.name, .terms = {{"mass_flow", plane.name}}});
  }
  if (!has_inlet) judged.push_back({.name = "inlet flow"});
  judged.push_back(exit);
  return judged;
}

const base::MonitorRecord* find_monitor(const base::Manifest& manifest, const Term& term) {
  const auto found = std::find_if(
      manifest.monitors.begin(), manifest.monitors.end(), [&](const base::MonitorRecord& monitor) {
        return monitor.quantity == term.quantity && monitor.subject == term.subject;
      });
  return found == manifest.monitors.end() ? nullptr : &*found;
}

/// The histories of all terms in order, or why there are none.
struct Reading {
  std::vector<base::History> histories;
  std::string trouble;
};

Reading read_histories(const fs::path& case_dir,
                       const base::Manifest& manifest,
                       const std::vector<Judged>& judged) {
  Reading reading;
  double newest = 0.0;
  for (const Judged& quantity : judged) {
    if (quantity.terms.empty()) return {{}, fmt::format("the case has nothing to tell {} by", quantity.name)};
    for (const Term& term : quantity.terms) {
      const base::MonitorRecord* monitor = find_monitor(manifest, term);
      base::History history = monitor != nullptr ? base::read_history(case_dir, *monitor) : base::History{};
      if (history.is_empty())
        return {{}, fmt::format("no monitor of {}: {} cannot be judged", term.subject, quantity.name)};
      newest = std::max(newest, history.time.back());
      reading.histories.push_back(std::move(history));
    }
  }
  for (const base::History& history : reading.histories) {
    if (base::ends_early(history, newest))
      return {
          {},
          fmt::format("a monitor ends at iteration {:.0f}, others at {:.0f}", history.time.back(), newest)};
  }
  return reading;
}

std::vector<base::Series> series_of(const std::vector<Judged>& judged,
                                    const base::AlignedHistories& aligned) {
  std::vector<base::Series> series;
  std::size_t column = 0;
  for (const Judged& quantity : judged) {
    base::Series one{quantity.name, std::vector<double>(aligned.iteration.size(), 0.0)};
    for (const Term& term : quantity.terms) {
      for (std::size_t i = 0; i < one.values.size(); ++i)
        one.values[i] += term.weight * aligned.values[column][i];
      ++column;
    }
    series.push_back(std::move(one));
  }
  return series;
}

}  // namespace

HoldVerdict judge_hold(const fs::path& case_dir, const base::Manifest& manifest) {
  const std::vector<Judged> judged = judged_quantities(manifest);
  Reading reading;
  try {
    reading = read_histories(case_dir, manifest, judged);
  } catch (const std::runtime_error& error) {
    return {.reason = error.what()};
  }
  if (!reading.trouble.empty()) return {.reason = reading.trouble};
  std::vector<const base::History*> histories;
  for (const base::History& history : reading.histories) histories.push_back(&history);
  const base::AlignedHistories aligned = base::align(histories);
  if (aligned.iteration.empty()) return {.reason = "the monitors have no iteration in common"};
  const base::Settling settling =
      base::assess(aligned.iteration, series_of(judged, aligned), {manifest.window, manifest.stop_tolerance});
  HoldVerdict verdict{.has_held = settling.judgement.status == base::Status::Settled,
                      .iteration = static_cast<int>(aligned.iteration.back()),
                      .reason = settling.judgement.reason};
  if (verdict.has_held) {
    verdict.reason += fmt::format(", over {:.0f} iterations at iteration {}",
                                  aligned.iteration.back() - aligned.iteration[settling.window.first] + 1.0,
                                  verdict.iteration);
  }
  return verdict;
}

}  // namespace cowlwright::run
