// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reads the monitors' whole histories and judges them.
#include "cases/run/stop_rule.h"

#include "cases/run/monitored.h"
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

/// What a case is judged by; a quantity that the case has no zone or plane for comes without terms.
std::vector<MonitoredQuantity> judged_quantities(const base::Manifest& manifest) {
  if (manifest.is_reference) return {drag(manifest)};
  std::vector<MonitoredQuantity> judged{deck_pressure_difference(manifest)};
  for (const base::PlaneRecord& plane : manifest.planes) {
    if (plane.role == base::PlaneRole::Inlet)
      judged.push_back({.name = "flow of " + plane.name, .terms = {{"mass_flow", plane.name}}});
  }
  if (judged.size() == 1) judged.push_back({.name = "inlet flow"});
  judged.push_back(total_flow(manifest, base::PlaneRole::Exit, "exit flow"));
  if (!manifest.reference.empty()) judged.push_back(drag(manifest));
  return judged;
}

/// The histories of all terms in order, or why there are none.
struct Reading {
  std::vector<base::History> histories;
  std::string trouble;
};

Reading read_histories(const fs::path& case_dir,
                       const base::Manifest& manifest,
                       const std::vector<MonitoredQuantity>& judged) {
  Reading reading;
  double newest = 0.0;
  for (const MonitoredQuantity& quantity : judged) {
    if (quantity.terms.empty()) return {{}, fmt::format("the case has nothing to tell {} by", quantity.name)};
    for (const MonitorTerm& term : quantity.terms) {
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

std::vector<base::Series> series_of(const std::vector<MonitoredQuantity>& judged,
                                    const base::AlignedHistories& aligned) {
  std::vector<base::Series> series;
  std::size_t column = 0;
  for (const MonitoredQuantity& quantity : judged) {
    base::Series one{quantity.name, std::vector<double>(aligned.iteration.size(), 0.0)};
    for (const MonitorTerm& term : quantity.terms) {
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
  const std::vector<MonitoredQuantity> judged = judged_quantities(manifest);
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
  if (!manifest.is_reference && !settling.quantities.empty())
    verdict.deck_pressure_difference_band = settling.quantities.front().statistics.half_band;
  if (verdict.has_held) {
    verdict.reason += fmt::format(", over {:.0f} iterations at iteration {}",
                                  aligned.iteration.back() - aligned.iteration[settling.window.first] + 1.0,
                                  verdict.iteration);
  }
  return verdict;
}

}  // namespace cowlwright::run
