// SPDX-License-Identifier: GPL-3.0-or-later
//
// From solved cases to coefficients: the network's own laws turned round at each case's condition.
#include "cases/network/solved_cases.h"

#include "cases/network/air_ahead.h"
#include "cases/network/elements.h"
#include "cases/network/model.h"
#include "cases/network/same_dimensions.h"
#include "cases/network/solved_parts.h"
#include "geometry/base/error.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

namespace cowlwright::network {

namespace {

using base::PassageKind;
using base::Side;
using base::SolvedCase;

using Known = KnownCase;
using KnownCases = std::vector<const Known*>;

bool is_sound(const SolvedCase& one) {
  return one.flags.empty() && (one.status == "settled" || one.status == "oscillating");
}

/// The sound ones of them, or all when none is.
KnownCases best_of(KnownCases cases) {
  KnownCases sound;
  std::copy_if(cases.begin(), cases.end(), std::back_inserter(sound), [](const Known* one) {
    return is_sound(*one->solved);
  });
  return sound.empty() ? cases : sound;
}

std::string condition_of(const SolvedCase& one) {
  return fmt::format("{}, {} grid, {} cells, {}{}",
                     one.folder,
                     one.grid,
                     one.n_cells,
                     one.status,
                     one.flags.empty() ? "" : ", flagged");
}

std::string source_of(const KnownCases& cases, std::string_view how_many = "mean of cases ") {
  std::vector<std::string> names;
  for (const Known* one : cases) names.push_back(condition_of(*one->solved));
  return fmt::format("from CFD: {}{}", cases.size() > 1 ? how_many : "case ", fmt::join(names, "; "));
}

/// Unknown error of a single grid, as a share of a flow: the most a flow of the demo's shape changed between
/// neighbouring grids was 4.7 % (DEVELOPERS.md).
constexpr double single_grid_flow = 0.05;

/// Of a coefficient that goes with the square of a flow.
double grid_allowance(const KnownCases& cases) {
  const bool is_known =
      std::all_of(cases.begin(), cases.end(), [](const Known* one) { return one->solved->bands_hold_grids; });
  return is_known ? 0.0 : single_grid_flow;
}

/// A mean over cases with half of their spread.
struct Mean {
  double value = 0.0;
  double half_spread = 0.0;
  double largest_band = 0.0;
};

template <typename Value, typename Band>
Mean mean_of(const KnownCases& cases, Value value, Band band) {
  Mean mean;
  double low = std::numeric_limits<double>::infinity();
  double high = -low;
  for (const Known* one : cases) {
    const double v = value(*one);
    mean.value += v / static_cast<double>(cases.size());
    low = std::min(low, v);
    high = std::max(high, v);
    mean.largest_band = std::max(mean.largest_band, band(*one));
  }
  mean.half_spread = 0.5 * (high - low);
  return mean;
}

std::string in_words(const std::string& passage) {
  std::string text = passage;
  std::replace(text.begin(), text.end(), '_', ' ');
  return text;
}

/// Puts parts of solved cases into a set of coefficients.
class HandOver {
 public:
  HandOver(Coefficients coefficients, const VariantSpec& spec, KnownCases cases)
      : c_(std::move(coefficients)), spec_(spec), cases_(std::move(cases)) {}

  Coefficients all() && {
    put_inlet(Side::Left);
    put_inlet(Side::Right);
    for (PassageCoefficients& passage : c_.passages) put_passage(passage);
    put_exit();
    if (!missing_.empty()) {
      c_.notes.push_back(
          fmt::format("No solved case has these dimensions, so handbooks and the study stand for: {}.",
                      fmt::join(missing_, ", ")));
    }
    for (const Known* one : cases_) note_case(*one->solved);
    return std::move(c_);
  }

 private:
  template <typename Condition>
  KnownCases cases_that(Condition condition) const {
    KnownCases found;
    for (const Known* one : cases_) {
      if (condition(*one)) found.push_back(one);
    }
    return best_of(found);
  }

  void put_inlet(Side side) {
    const std::size_t i = side == Side::Left ? 0 : 1;
    const KnownCases cases = cases_that([&](const Known& one) {
      return one.turned.inlets[i].loss > 0.0 && same_inlet(spec_, *one.spec, side);
    });
    if (cases.empty()) {
      missing_.emplace_back(i == 0 ? "left inlet" : "right inlet");
      return;
    }
    InletCoefficients& inlet = c_.inlets[i];
    put_rise(cases, i, inlet);
    put_loss(cases, i, inlet);
  }

  /// Factor on the blade elements' rise; stays where the blade elements give next to nothing there.
  void put_rise(const KnownCases& cases, std::size_t i, InletCoefficients& inlet) {
    KnownCases with_rise;
    std::copy_if(cases.begin(), cases.end(), std::back_inserter(with_rise), [i](const Known* one) {
      return one->turned.inlets[i].rise_factor.has_value();
    });
    if (with_rise.empty()) return;
    const Mean mean = mean_of(
        with_rise,
        [i](const Known& one) { return *one.turned.inlets[i].rise_factor; },
        [](const Known&) { return 0.0; });
    inlet.propeller_rise = {mean.value,
                            mean.half_spread + 2.0 * grid_allowance(with_rise) * std::abs(mean.value),
                            source_of(with_rise) + ", solver over blade elements"};
  }

  /// Loss over the velocity ratio, on the total pressure that the network then has ahead.
  void put_loss(const KnownCases& cases, std::size_t i, InletCoefficients& inlet) {
    inlet.solved_loss = loss_curve(cases, i, inlet.propeller_rise.value);
    double band = 0.0;
    for (const Known* one : cases) {
      const base::SolvedInlet& solved = one->solved->inlets[i];
      band = std::max(band, solved.loss > 0.0 ? solved.loss_band / solved.loss : 0.0);
    }
    inlet.solved_loss_origin = {0.0, band + 2.0 * grid_allowance(cases), source_of(cases)};
    const LossPoint& first = inlet.solved_loss.front();
    const LossPoint& last = inlet.solved_loss.back();
    c_.notes.push_back(
        fmt::format("{} inlet: loss solved at velocity ratio {}; beyond that it is held, an extrapolation.",
                    i == 0 ? "Left" : "Right",
                    inlet.solved_loss.size() == 1
                        ? fmt::format("{:.3f} only", first.velocity_ratio)
                        : fmt::format("{:.3f} to {:.3f}", first.velocity_ratio, last.velocity_ratio)));
  }

  void put_passage(PassageCoefficients& passage) {
    const auto has_factor = [&](const Known& one) { return one.turned.factor.contains(passage.name); };
    const KnownCases cases = cases_that([&](const Known& one) {
      if (!has_factor(one)) return false;
      switch (passage.kind) {
        case PassageKind::Core:
          return same_core(spec_, *one.spec, passage.name);
        case PassageKind::Cooler:
          return same_cooler(spec_, *one.spec);
        case PassageKind::Leak:
          return same_leak(spec_, *one.spec, passage.name);
      }
      return false;
    });
    if (cases.empty()) {
      missing_.push_back(in_words(passage.name));
      return;
    }
    const Mean mean = mean_of(
        cases,
        [&](const Known& one) { return one.turned.factor.at(passage.name).value; },
        [&](const Known& one) { return one.turned.factor.at(passage.name).flow_band; });
    const double band = (2.0 * (mean.largest_band + grid_allowance(cases))) * mean.value + mean.half_spread;
    if (passage.kind == PassageKind::Leak) {
      passage.effective_area *= mean.value;
      passage.resistance = {1.0, band / mean.value, source_of(cases)};
    } else {
      passage.resistance = {mean.value, band, source_of(cases)};
    }
  }

  void put_exit() {
    const KnownCases cases = cases_that([&](const Known& one) {
      return one.turned.discharge > 0.0 && same_exit_but_lip_angle(spec_, *one.spec);
    });
    if (cases.empty()) {
      missing_.emplace_back("exit");
      return;
    }
    std::map<long, KnownCases> by_angle;  // in thousandths of a degree
    for (const Known* one : cases) by_angle[millidegrees(*one)].push_back(one);
    const long asked = std::lround(lip_degrees(spec_) * 1000.0);
    const bool has_lip = spec_.shape.exit.lip_length > 0.0;
    auto above = has_lip ? by_angle.lower_bound(asked) : by_angle.begin();
    const bool is_beyond =
        above == by_angle.end() || (above == by_angle.begin() && above->first != asked && has_lip);
    if (above == by_angle.end()) --above;
    if (is_beyond) {
      set_exit(above->second, above->second, 0.0);
      note_held(above->first);
    } else if (!has_lip || above->first == asked) {
      set_exit(above->second, above->second, 0.0);
    } else {
      const auto below = std::prev(above);
      set_exit(below->second,
               above->second,
               static_cast<double>(asked - below->first) / static_cast<double>(above->first - below->first));
      c_.notes.push_back(
          fmt::format("Exit: lip angle {:.4g} deg lies between solved angles of {:.4g} and {:.4g} deg.",
                      lip_degrees(spec_),
                      static_cast<double>(below->first) / 1000.0,
                      static_cast<double>(above->first) / 1000.0));
    }
  }

  static double lip_degrees(const VariantSpec& spec) {
    return spec.shape.exit.lip_angle * 180.0 / std::numbers::pi;
  }
  static long millidegrees(const Known& one) { return std::lround(lip_degrees(*one.spec) * 1000.0); }

  void note_held(long nearest) {
    c_.notes.push_back(fmt::format(
        "Exit: lip angle {:.4g} deg lies beyond the solved ones; the coefficients of {:.4g} deg are held, an "
        "extrapolation.",
        lip_degrees(spec_),
        static_cast<double>(nearest) / 1000.0));
  }

  void set_exit(const KnownCases& low, const KnownCases& high, double weight) {
    const auto discharge = [](const Known& one) { return one.turned.discharge; };
    const auto pressure = [](const Known& one) { return one.solved->exit.pressure_coefficient; };
    const auto flow_band = [](const Known& one) { return one.solved->exit.mass_flow_band; };
    const auto pressure_band = [](const Known& one) { return one.solved->exit.pressure_band; };
    KnownCases both = low;
    if (&low != &high) both.insert(both.end(), high.begin(), high.end());
    const bool is_between = &low != &high;
    const std::string source = source_of(both, is_between ? "between cases " : "mean of cases ");
    const Mean d0 = mean_of(low, discharge, flow_band);
    const Mean d1 = mean_of(high, discharge, flow_band);
    const Mean p0 = mean_of(low, pressure, pressure_band);
    const Mean p1 = mean_of(high, pressure, pressure_band);
    const double allowance = grid_allowance(both);
    const double d = std::lerp(d0.value, d1.value, weight);
    const double p = std::lerp(p0.value, p1.value, weight);
    c_.exit.discharge = {d,
                         (std::max(d0.largest_band, d1.largest_band) + allowance) * d +
                             std::max(d0.half_spread, d1.half_spread),
                         source};
    c_.exit.pressure = {p,
                        std::max(p0.largest_band, p1.largest_band) + allowance * std::abs(p) +
                            std::max(p0.half_spread, p1.half_spread),
                        source};
  }

  void note_case(const SolvedCase& one) {
    if (is_sound(one)) return;
    c_.notes.push_back(fmt::format(
        "Case {} is {}{}: what is taken from it is as doubtful. Solve it on, or leave it out.",
        one.folder,
        one.status,
        one.flags.empty() ? std::string() : fmt::format(" and flagged ({})", fmt::join(one.flags, "; "))));
  }

  Coefficients c_;
  const VariantSpec& spec_;
  const KnownCases cases_;
  std::vector<std::string> missing_;

  static std::vector<LossPoint> loss_curve(const KnownCases& cases, std::size_t i, double factor) {
    std::vector<LossPoint> points;
    for (const Known* one : cases) {
      points.push_back({one->turned.inlets[i].velocity_ratio, loss_with(one->turned.inlets[i], factor)});
    }
    return joined(std::move(points));
  }
};

/// Where the study's file lies, so that what it names by a relative path is found: above the cases' folder,
/// as `cowlwright run` has it, or beside the file itself.
std::string study_place(const base::SolvedFlow& flow) {
  const std::filesystem::path beside = flow.file.parent_path();
  const std::filesystem::path above = beside / ".." / flow.study_file;
  std::error_code ignored;
  return (std::filesystem::exists(above, ignored) ? above : beside / flow.study_file).string();
}

/// Without [estimate], which speaks of this very file.
std::string without_estimate(const std::string& text) {
  std::string kept;
  bool in_estimate = false;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size() - 1) + 1;
    const std::string line = text.substr(at, end - at);
    if (line.starts_with('[')) in_estimate = line.starts_with("[estimate]");
    kept += in_estimate ? "\n" : line;
    at = end;
  }
  return kept;
}

const VariantSpec& variant_of(const Study& study, const SolvedCase& one, const base::SolvedFlow& flow) {
  const auto found = std::find_if(study.variants.begin(), study.variants.end(), [&](const VariantSpec& spec) {
    return spec.variant.name == one.variant;
  });
  if (found == study.variants.end()) {
    throw base::InputError(
        fmt::format("{}: case {}: its variant \"{}\" is not in the study the file holds. The file is "
                    "damaged; write it again "
                    "with `cowlpost extract`.",
                    flow.file.string(),
                    one.folder,
                    one.variant));
  }
  return *found;
}

/// At standstill q says nothing, and a loss over the velocity ratio neither.
bool is_flown(const VariantSpec& spec) {
  return spec.flight.true_airspeed > 0.0;
}

}  // namespace

SolvedCases::SolvedCases(base::SolvedFlow flow)
    : flow_(std::make_unique<const base::SolvedFlow>(std::move(flow))),
      study_(std::make_unique<const Study>(
          parse_study(without_estimate(flow_->study_text), study_place(*flow_)))) {
  for (const SolvedCase& one : flow_->cases) {
    const VariantSpec& made_from = variant_of(*study_, one, *flow_);
    cases_.push_back({&one, &made_from, turned_round(one, made_from)});
  }
}

Coefficients SolvedCases::put_into(Coefficients coefficients, const VariantSpec& spec) const {
  KnownCases cases;
  for (const Known& one : cases_) {
    if (base::is_by_q(one.solved->flight) != is_flown(spec)) {
      coefficients.notes.push_back(fmt::format("Case {} was solved {}: it says nothing about {}.",
                                               one.solved->folder,
                                               is_flown(spec) ? "near standstill" : "in flight",
                                               is_flown(spec) ? "flight" : "standstill"));
      continue;
    }
    cases.push_back(&one);
  }
  for (const std::string& left_out : flow_->left_out) {
    coefficients.notes.push_back(fmt::format("Not handed over: {}.", left_out));
  }
  return HandOver(std::move(coefficients), spec, std::move(cases)).all();
}

}  // namespace cowlwright::network
