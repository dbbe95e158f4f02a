// SPDX-License-Identifier: GPL-3.0-or-later
//
// Solved cases as JSON.
#include "geometry/base/solved_flow.h"

#include "geometry/base/error.h"
#include "geometry/base/json_archive.h"
#include "geometry/base/text_file.h"
#include "geometry/base/version.h"

#include <fmt/format.h>

#include <string_view>

namespace cowlwright::base {

namespace {

constexpr std::string_view format_name = "cowlwright solved flow";
constexpr int format_version = 1;
constexpr std::string_view remedy = "write it again with `cowlpost extract` from the solved cases";

}  // namespace

template <typename Archive>
void fields(Archive& member, SolvedInlet& r) {
  member("side", r.side);
  member("area", r.area);
  member("mass_flow", r.mass_flow);
  member("velocity_ratio", r.velocity_ratio);
  member("total_pressure_ahead", r.total_pressure_ahead);
  member("deck_pressure", r.deck_pressure);
  member("loss", r.loss);
  member("recovery", r.recovery);
  member("mass_flow_band", r.mass_flow_band);
  member("loss_band", r.loss_band);
}

template <typename Archive>
void fields(Archive& member, SolvedPassage& r) {
  member("name", r.name);
  member("kind", r.kind);
  member("area", r.area);
  member("viscous", r.viscous);
  member("inertial", r.inertial);
  member("mass_flow", r.mass_flow);
  member("heat", r.heat);
  member("pressure_drop", r.pressure_drop);
  member("effective_area", r.effective_area);
  member("joins_decks", r.joins_decks);
  member("mass_flow_band", r.mass_flow_band);
}

template <typename Archive>
void fields(Archive& member, SolvedExit& r) {
  member("area", r.area);
  member("mass_flow", r.mass_flow);
  member("density", r.density);
  member("pressure", r.pressure);
  member("lower_deck_pressure", r.lower_deck_pressure);
  member("discharge", r.discharge);
  member("pressure_coefficient", r.pressure_coefficient);
  member("temperature_rise", r.temperature_rise);
  member("mass_flow_band", r.mass_flow_band);
  member("pressure_band", r.pressure_band);
}

template <typename Archive>
void fields(Archive& member, SolvedCase& r) {
  member("folder", r.folder);
  member("variant", r.variant);
  member("grid", r.grid);
  member("n_cells", r.n_cells);
  member("status", r.status);
  member("flags", r.flags);
  member("discretisation", r.discretisation);
  member("flight", r.flight);
  member("propeller", r.propeller);
  member("disk_loading", r.disk_loading);
  member("deck_pressure_difference", r.deck_pressure_difference);
  member("deck_pressure_band", r.deck_pressure_band);
  member("bands_hold_grids", r.bands_hold_grids);
  member("inlets", r.inlets);
  member("passages", r.passages);
  member("exit", r.exit);
}

template <typename Archive>
void fields(Archive& member, SolvedFlow& r) {
  member("study_file", r.study_file);
  member("study_text", r.study_text);
  member("study_hash", r.study_hash);
  member("cases", r.cases);
  member("left_out", r.left_out);
}

namespace {

[[noreturn]] void refuse(const std::string& place, const std::string& what) {
  throw InputError(fmt::format("{}: {}. The file is damaged; {}.", place, what, remedy));
}

/// What the numbers must be for the network to divide by them.
void check(const SolvedFlow& flow, const std::string& file) {
  if (sha256(flow.study_text) != flow.study_hash) {
    refuse(file + ": study_text", "is not the text that study_hash stands for");
  }
  if (flow.cases.empty()) {
    refuse(file + ": cases", "no case in it");
  }
  for (std::size_t i = 0; i < flow.cases.size(); ++i) {
    const SolvedCase& one = flow.cases[i];
    const auto positive = [&](const std::string& key, double value) {
      if (!(value > 0.0)) {
        refuse(fmt::format("{}: cases[{}].{}", file, i, key), fmt::format("= {}: must be above 0", value));
      }
    };
    if (one.inlets.size() != 2 || one.inlets[0].side != Side::Left || one.inlets[1].side != Side::Right) {
      refuse(fmt::format("{}: cases[{}].inlets", file, i), "must be the left and the right one");
    }
    if (one.status != "settled" && one.status != "oscillating" && one.status != "not settled") {
      refuse(fmt::format("{}: cases[{}].status", file, i),
             fmt::format("unknown value \"{}\": must be settled, oscillating or not settled", one.status));
    }
    positive("flight.density", one.flight.density);
    positive("flight.reference_pressure", one.flight.reference_pressure);
    for (const std::size_t side : {0U, 1U}) {
      positive(fmt::format("inlets[{}].area", side), one.inlets[side].area);
    }
    for (std::size_t k = 0; k < one.passages.size(); ++k) {
      positive(fmt::format("passages[{}].area", k), one.passages[k].area);
    }
    positive("exit.area", one.exit.area);
    positive("exit.density", one.exit.density);
    positive("exit.discharge", one.exit.discharge);
  }
}

}  // namespace

std::string solved_flow_json(const SolvedFlow& flow) {
  SolvedFlow copy = flow;  // the archives share one signature, which reading needs to be non-const
  Writer writer;
  fields(writer, copy);
  Json object{{"format", format_name},
              {"format_version", format_version},
              {"units", "SI and radians; pressures gauge to the free stream's"},
              {"written_by", fmt::format("cowlpost {}", program_version)}};
  object.update(writer.take());
  return object.dump(2) + "\n";
}

SolvedFlow read_solved_flow(const std::filesystem::path& file) {
  Json object;
  try {
    object = Json::parse(read_text(file));
  } catch (const Json::parse_error& error) {
    refuse(file.string(), fmt::format("not valid JSON (byte {})", error.byte));
  }
  const Reader reader(object, file.string() + ": ", remedy);
  std::string format;
  int version = 0;
  reader("format", format);
  reader("format_version", version);
  if (format != format_name || version != format_version) {
    throw InputError(
        fmt::format("{}: format = \"{}\", format_version = {}: must be \"{}\", {}. Give the {} "
                    "that `cowlpost extract` of this version writes.",
                    file.string(),
                    format,
                    version,
                    format_name,
                    format_version,
                    solved_flow_file_name));
  }
  SolvedFlow flow;
  fields(reader, flow);
  check(flow, file.string());
  flow.file = file;
  return flow;
}

}  // namespace cowlwright::base
