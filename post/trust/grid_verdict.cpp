// SPDX-License-Identifier: GPL-3.0-or-later
//
// Refusals first, then the procedure.
#include "post/trust/grid_verdict.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::post {

namespace {

constexpr std::size_t n_needed = 3;

std::vector<GridValue> sound_grids(std::span<const GridValue> grids) {
  std::vector<GridValue> sound;
  std::copy_if(grids.begin(), grids.end(), std::back_inserter(sound), [](const GridValue& grid) {
    return grid.trouble.empty();
  });
  return sound;
}

/// "; draft failed, coarse not settled", or nothing.
std::string troubles(std::span<const GridValue> grids) {
  std::string text;
  for (const GridValue& grid : grids) {
    if (!grid.trouble.empty()) {
      text += fmt::format("{}{} {}", text.empty() ? " (" : ", ", grid.grid, grid.trouble);
    }
  }
  return text.empty() ? text : text + ")";
}

std::string count_objection(std::span<const GridValue> grids, std::size_t n_sound, int n_planned) {
  if (n_sound >= n_needed) {
    return {};
  }
  const std::size_t n_asked =
      std::max({grids.size(), static_cast<std::size_t>(std::max(n_planned, 1)), n_sound});
  const std::string missing = fmt::format("{} of {} grids usable{}", n_sound, n_asked, troubles(grids));
  if (n_asked <= 1) {
    return std::string(single_grid);
  }
  return n_sound == 2
             ? fmt::format("{}: two grids give no order and no band, discretisation error unknown", missing)
             : fmt::format("{}: {}", missing, single_grid);
}

/// Sizes of the three finest grids.
std::string ratio_objection(std::span<const GridValue> sound) {
  for (const GridValue& grid : sound) {
    if (!(grid.cell_size > 0.0) || !std::isfinite(grid.cell_size)) {
      return fmt::format(
          "cell size of the {} grid is {:g} m: no ratio and no band", grid.grid, grid.cell_size);
    }
  }
  const double r21 = sound[1].cell_size / sound[0].cell_size;
  const double r32 = sound[2].cell_size / sound[1].cell_size;
  if (!(std::min(r21, r32) >= smallest_refinement)) {
    return fmt::format("ratios of cell sizes {:.3f} and {:.3f}: must be at least {:.1f} each, no band",
                       r21,
                       r32,
                       smallest_refinement);
  }
  if (!(std::abs(r21 - r32) <= ratio_tolerance * std::min(r21, r32))) {
    return fmt::format("ratios of cell sizes {:.3f} and {:.3f} differ by more than {:.0f} %: no band",
                       r21,
                       r32,
                       100.0 * ratio_tolerance);
  }
  return {};
}

std::string objection_of(std::span<const GridValue> grids, std::span<const GridValue> sound, int n_planned) {
  std::string objection = count_objection(grids, sound.size(), n_planned);
  return objection.empty() ? ratio_objection(sound.first(n_needed)) : objection;
}

/// Two sound values make a difference worth knowing, which is not a band.
std::string two_grid_difference(std::span<const GridValue> sound, std::string_view unit) {
  if (sound.size() != 2 || !sound[0].value || !sound[1].value) {
    return {};
  }
  return fmt::format("; {} less {}: {:+.4g}{}",
                     sound[0].grid,
                     sound[1].grid,
                     *sound[0].value - *sound[1].value,
                     unit == "-" ? std::string() : fmt::format(" {}", unit));
}

std::string value_objection(std::span<const GridValue> sound) {
  for (const GridValue& grid : sound) {
    if (!grid.value) {
      return fmt::format("no value on the {} grid: no band", grid.grid);
    }
    if (!std::isfinite(*grid.value) || !std::isfinite(grid.half_band.value_or(0.0))) {
      return fmt::format("the value on the {} grid is not a finite number: no band", grid.grid);
    }
  }
  return {};
}

/// What was found, with the band's origin.
std::string finding(const GridConvergence& found) {
  const std::string order = found.order ? fmt::format(", order {:.2f}", *found.order) : std::string();
  const std::string head = fmt::format("{}{}", behaviour_name(found.behaviour), order);
  switch (found.behaviour) {
    case GridBehaviour::Monotone:
      return head;
    case GridBehaviour::OrderBelowOne:
      return head + ": band of Celik's index, at least the range of the grids";
    case GridBehaviour::OrderAboveFormal:
      return head + (found.order ? ": band with order 2"
                                 : ": the two finest grids agree exactly, band is the range of the grids");
    case GridBehaviour::Oscillatory:
      return head + (found.order ? " of the magnitudes: band is at least the range of the grids"
                                 : ", growing with refinement: band is 3 times the range of the grids");
    case GridBehaviour::Diverging:
      return head + " with refinement: no order, band is 3 times the range of the grids";
    case GridBehaviour::WithinIterativeBands:
      return head + " of the iterations: no order can be seen, band is the range of the grids";
    case GridBehaviour::Identical:
      return head + " on all grids: no band, which does not mean no error";
  }
  return head;
}

}  // namespace

std::optional<double> GridVerdict::band() const {
  return convergence ? convergence->band : std::nullopt;
}

const GridValue* GridVerdict::on(std::string_view grid) const {
  const auto found = std::find_if(
      values.begin(), values.end(), [grid](const GridValue& value) { return value.grid == grid; });
  return found == values.end() ? nullptr : &*found;
}

bool GridVerdict::is_flagged() const {
  return convergence && post::is_flagged(convergence->behaviour);
}

std::string_view GridVerdict::behaviour() const {
  return convergence ? behaviour_name(convergence->behaviour) : "no estimate";
}

std::string family_objection(std::span<const GridValue> grids, int n_planned) {
  return objection_of(grids, sound_grids(grids), n_planned);
}

GridVerdict judge_grids(std::vector<GridValue> grids, int n_planned, std::string_view unit) {
  GridVerdict verdict;
  verdict.values = std::move(grids);
  const std::vector<GridValue> sound = sound_grids(verdict.values);
  verdict.text = objection_of(verdict.values, sound, n_planned);
  if (!verdict.text.empty()) {
    verdict.text += two_grid_difference(sound, unit);
    return verdict;
  }
  const std::span<const GridValue> three = std::span(sound).first(n_needed);
  verdict.text = value_objection(three);
  if (!verdict.text.empty()) {
    return verdict;
  }
  std::array<GridPoint, n_needed> points;
  std::transform(three.begin(), three.end(), points.begin(), [](const GridValue& grid) {
    return GridPoint{grid.cell_size, *grid.value, grid.half_band.value_or(0.0), grid.rounding};
  });
  verdict.convergence = grid_convergence(points);
  verdict.text = finding(*verdict.convergence) +
                 (troubles(verdict.values).empty() ? "" : "; left out:" + troubles(verdict.values));
  return verdict;
}

}  // namespace cowlwright::post
