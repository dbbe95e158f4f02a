// SPDX-License-Identifier: GPL-3.0-or-later
//
// From published quantities, planes and survey discs to the parts of the air's way.
#include "post/quantities/solved_parts.h"

#include "post/quantities/inlet_air.h"
#include "post/quantities/passages.h"
#include "post/quantities/places.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <string_view>

namespace cowlwright::post {

namespace {

using base::PassageKind;
using base::PassageRecord;
using base::PlaneRole;
using base::Side;
using base::ZoneRole;

double speed_head(double mass_flow, double density, double area) {
  const double speed = mass_flow / (density * area);
  return 0.5 * density * speed * speed;
}

double disk_loading(const base::Manifest& manifest) {
  if (!manifest.propeller) {
    return 0.0;
  }
  const double diameter = manifest.propeller->diameter;
  return manifest.propeller->thrust / (0.25 * std::numbers::pi * diameter * diameter);
}

/// Name of a passage without the word for its kind: "l1", "l1_head", "oil_cooler", "leak_rear_baffle_left".
std::string passage_name(const PassageRecord& passage) {
  constexpr std::string_view prefix = "core_";
  return passage.zone.starts_with(prefix) ? passage.zone.substr(prefix.size()) : passage.zone;
}

std::string flow_id(const PassageRecord& passage) {
  constexpr std::string_view prefix = "leak_";
  switch (passage.kind) {
    case PassageKind::Core:
      return "core_mass_flow_" + passage.plane;
    case PassageKind::Cooler:
      return "cooler_mass_flow";
    case PassageKind::Leak:
      return "leak_mass_flow_" +
             (passage.zone.starts_with(prefix) ? passage.zone.substr(prefix.size()) : passage.zone);
  }
  return {};
}

/// Means over several planes, weighted with their areas.
struct PlanesMean {
  double area = 0.0;
  double pressure = 0.0;  ///< gauge [Pa]
  double density = 0.0;
};

PlanesMean planes_mean(const base::Manifest& manifest, const RawResults& raw, const Places& planes) {
  PlanesMean mean;
  for (const std::size_t plane : planes) {
    const double area = raw.fluxes[plane].area;
    mean.area += area;
    mean.pressure += area * (raw.fields.planes[plane].static_pressure - manifest.flight.pressure);
    mean.density += area * raw.fields.planes[plane].density;
  }
  mean.pressure /= mean.area;
  mean.density /= mean.area;
  return mean;
}

/// Puts the parts together and notes what is not there.
class Gathering {
 public:
  Gathering(const VariantResult& result, const RawResults& raw)
      : result_(result), manifest_(result.manifest), raw_(raw) {}

  SolvedParts all() && {
    one_.flight = manifest_.flight;
    one_.propeller = manifest_.propeller;
    one_.disk_loading = disk_loading(manifest_);
    one_.n_cells = result_.n_cells;
    one_.deck_pressure_difference = published("deck_pressure_difference");
    for (const Side side : {Side::Left, Side::Right}) {
      add_inlet(side);
    }
    for (const PassageRecord& passage : manifest_.passages) {
      add_passage(passage);
    }
    add_exit();
    if (!missing_.empty()) {
      return {std::nullopt, std::move(missing_)};
    }
    return {std::move(one_), {}};
  }

 private:
  /// A published value; NaN and noted when the case has none.
  double published(const std::string& id) {
    const Quantity* quantity = result_.find(id);
    if (quantity == nullptr) {
      missing_.push_back(id);
      return std::nan("");
    }
    return quantity->value;
  }

  /// Of a half where halves are told apart, else of the whole deck.
  double of_side(const std::string& id, Side side) {
    const bool has_halves = !zones_of(manifest_, ZoneRole::UpperDeck, Side::Left).empty() &&
                            !zones_of(manifest_, ZoneRole::UpperDeck, Side::Right).empty();
    return published(has_halves && side != Side::Centre ? id + "_" + side_name(side) : id);
  }

  void require(double value, const std::string& what) {
    if (!std::isfinite(value)) {
      missing_.push_back(what);
    }
  }

  void add_inlet(Side side) {
    const Places planes = planes_of(manifest_, PlaneRole::Inlet, side);
    const std::optional<InletAir> air = inlet_air(manifest_, raw_.fields, {side});
    if (!air) {
      missing_.push_back("whole survey disc ahead of the " + side_name(side) + " inlet");
    }
    if (planes.empty()) {
      missing_.push_back(side_name(side) + " inlet");
    }
    if (!air || planes.empty()) {
      return;
    }
    const PlanesMean mean = planes_mean(manifest_, raw_, planes);
    base::SolvedInlet& inlet = one_.inlets.emplace_back();
    inlet.side = side;
    inlet.area = mean.area;
    inlet.mass_flow = published("inlet_mass_flow_" + side_name(side));
    const double speed = inlet.mass_flow / (mean.density * mean.area);
    inlet.velocity_ratio = base::is_by_q(manifest_.flight) ? speed / manifest_.flight.true_airspeed : 0.0;
    inlet.total_pressure_ahead = air->total_pressure - manifest_.flight.pressure;
    inlet.deck_pressure = of_side("upper_deck_pressure", side);
    inlet.loss = (inlet.total_pressure_ahead - inlet.deck_pressure) /
                 speed_head(inlet.mass_flow, mean.density, mean.area);
    require(inlet.loss, "loss of the " + side_name(side) + " inlet");
    inlet.recovery = recovery(side);
  }

  double recovery(Side side) {
    Places half = zones_of(manifest_, ZoneRole::UpperDeck, side);
    half = half.empty() ? zones_of(manifest_, ZoneRole::UpperDeck) : half;
    if (half.empty()) {
      missing_.emplace_back("upper deck");
      return std::nan("");
    }
    const double total = zone_mean(
        raw_.fields.zones, half, [&](std::size_t zone) { return raw_.fields.zones[zone].total_pressure; });
    return (total - manifest_.flight.pressure) / manifest_.flight.reference_pressure;
  }

  void add_passage(const PassageRecord& record) {
    const std::size_t plane = *find_plane(manifest_, record.plane);  // held by check_passages()
    base::SolvedPassage& passage = one_.passages.emplace_back();
    passage.name = passage_name(record);
    passage.kind = record.kind;
    passage.area = record.area;
    passage.viscous = record.viscous;
    passage.inertial = record.inertial;
    passage.heat = record.heat;
    passage.joins_decks = record.joins_decks;
    passage.mass_flow = published(flow_id(record));
    passage.pressure_drop =
        record.joins_decks
            ? of_side("deck_pressure_difference", manifest_.planes[plane].side)
            : (record.direction.y < 0.0 ? -1.0 : 1.0) *
                  (of_side("upper_deck_pressure", Side::Left) - of_side("upper_deck_pressure", Side::Right));
    if (record.kind == PassageKind::Leak) {
      const double drop = passage.pressure_drop;
      const double area =
          passage.mass_flow /
          std::copysign(std::sqrt(2.0 * raw_.fields.planes[plane].density * std::abs(drop)), drop);
      passage.effective_area = std::isfinite(area) ? area : 0.0;
    }
  }

  void add_exit() {
    const Places exits = planes_of(manifest_, PlaneRole::Exit);
    if (exits.empty()) {
      missing_.emplace_back("exit");
      return;
    }
    const PlanesMean mean = planes_mean(manifest_, raw_, exits);
    base::SolvedExit& exit = one_.exit;
    exit.area = mean.area;
    exit.density = mean.density;
    exit.pressure = mean.pressure;
    exit.mass_flow = published("exit_mass_flow");
    exit.lower_deck_pressure = published("lower_deck_pressure");
    const double drop = exit.lower_deck_pressure - exit.pressure;
    exit.discharge = exit.mass_flow / (mean.area * std::sqrt(2.0 * mean.density * drop));
    require(exit.discharge, "fall of pressure from the lower deck to the exit plane");
    exit.pressure_coefficient = mean.pressure / (manifest_.flight.dynamic_pressure + one_.disk_loading);
    exit.temperature_rise = published("temperature_rise");
  }

  const VariantResult& result_;
  const base::Manifest& manifest_;
  const RawResults& raw_;
  base::SolvedCase one_;
  std::vector<std::string> missing_;
};

double band_of(const VariantResult& result, const std::string& id) {
  const Quantity* quantity = result.find(id);
  return quantity == nullptr ? 0.0 : published_band(*quantity).value_or(0.0);
}

double relative_band(const VariantResult& result, const std::string& id, double value) {
  return value == 0.0 ? 0.0 : band_of(result, id) / std::abs(value);
}

}  // namespace

SolvedParts solved_parts(const VariantResult& result, const RawResults& raw) {
  return Gathering(result, raw).all();
}

base::SolvedCase complete_case(const VariantResult& result) {
  base::SolvedCase one = result.solved.parts.value();
  one.folder = std::filesystem::weakly_canonical(result.case_dir).filename().string();
  one.variant = result.manifest.variant;
  one.grid = result.manifest.grid_level;
  one.status = base::status_name(result.judgement.status);
  one.flags = result.flags;
  one.discretisation = result.discretisation;
  one.deck_pressure_band = band_of(result, "deck_pressure_difference");
  const Quantity* difference = result.find("deck_pressure_difference");
  one.bands_hold_grids =
      difference != nullptr && band_contents(*difference) == BandContents::IterationsAndGrids;
  const bool by_q = base::is_by_q(one.flight);
  const double reference = one.flight.reference_pressure;
  for (base::SolvedInlet& inlet : one.inlets) {
    const std::string side = side_name(inlet.side);
    inlet.mass_flow_band = relative_band(result, "inlet_mass_flow_" + side, inlet.mass_flow);
    const double pressures =
        band_of(result, "upper_deck_pressure_" + side) +
        reference *
            band_of(result, (by_q ? "inlet_total_pressure_" : "inlet_total_pressure_of_loading_") + side);
    const double lost = std::abs(inlet.total_pressure_ahead - inlet.deck_pressure);
    inlet.loss_band =
        std::abs(inlet.loss) * (2.0 * inlet.mass_flow_band + (lost > 0.0 ? pressures / lost : 0.0));
  }
  for (std::size_t i = 0; i < one.passages.size(); ++i) {
    one.passages[i].mass_flow_band =
        relative_band(result, flow_id(result.manifest.passages[i]), one.passages[i].mass_flow);
  }
  one.exit.mass_flow_band = relative_band(result, "exit_mass_flow", one.exit.mass_flow);
  one.exit.pressure_band = reference / (one.flight.dynamic_pressure + one.disk_loading) *
                           band_of(result, by_q ? "exit_pressure_coefficient" : "exit_pressure_of_loading");
  return one;
}

}  // namespace cowlwright::post
