// SPDX-License-Identifier: GPL-3.0-or-later
//
// One inlet is read twice: from the common section, then from its own. What an own section says of a ring or
// a diffuser stands alone: with ring = "none" there, a radius in [inlets] is no contradiction.
#include "geometry/shape/read_inlets.h"

#include "geometry/shape/parameters.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string>
#include <string_view>

namespace cowlwright::shape {

namespace {

// A feature must be absent or large enough for cells of its own.
constexpr double smallest_lip_radius = 0.002;  // m
constexpr base::Range area_ratio_range{1.0, 4.0, true, false, "1 is a straight duct, 4 twice as wide"};
constexpr std::array<std::string_view, 3> openings{"round", "oval", "rectangular"};
constexpr std::array<std::string_view, 3> rings{"none", "flush", "proud"};

std::string millimetres(double length) {
  return fmt::format("{:.4g} mm", 1000.0 * length);
}

void read_inlet(base::SectionReader& both, base::SectionReader& own, InletSpec& in) {
  for (base::SectionReader* reader : {&both, &own}) {
    in.opening = static_cast<OpeningShape>(
        reader->choice_or("opening", openings, static_cast<std::size_t>(in.opening)));
    in.ring = static_cast<RingStyle>(reader->choice_or("ring", rings, static_cast<std::size_t>(in.ring)));
    in.diffuser_area_ratio =
        reader->number_or("diffuser_area_ratio", area_ratio_range, in.diffuser_area_ratio);
  }
  for (const InletParameter& parameter : inlet_parameters()) {
    double& value = in.*parameter.value;
    const bool is_missing = parameter.is_required && parameter.applies(in) && !own.has(parameter.key);
    value = is_missing ? both.quantity(parameter.key, base::Dimension::Length, parameter.range)
                       : both.quantity_or(parameter.key, base::Dimension::Length, parameter.range, value);
    value = own.quantity_or(parameter.key, base::Dimension::Length, parameter.range, value);
  }
}

/// The section that decides about a ring or a diffuser, and what it leaves open.
bool is_own(const base::SectionReader& own, std::string_view switch_key, std::string_view key) {
  return own.has(switch_key) && !own.has(key);
}

/// The ring's style, radius and stand must tell one story.
void check_ring(base::SectionReader& both, base::SectionReader& own, InletSpec& in) {
  base::SectionReader& radius_reader = own.has("lip_radius") ? own : both;
  base::SectionReader& stand_reader = own.has("ring_stand") ? own : both;
  if (in.ring == RingStyle::None) {
    if (!radius_reader.has("lip_radius") || is_own(own, "ring", "lip_radius")) {
      in.lip_radius = 0.0;
    } else if (in.lip_radius > 0.0) {
      radius_reader.complain(
          "lip_radius",
          fmt::format("= {}: must be 0 mm with ring = \"none\", a bare hole. Take it out, or choose ring "
                      "= \"flush\" or \"proud\"; to compare both, vary the two keys with mode = \"paired\".",
                      millimetres(in.lip_radius)));
    }
  } else if (!(in.lip_radius >= smallest_lip_radius)) {
    radius_reader.complain(
        "lip_radius",
        fmt::format("= {}: must be at least {} with a ring. Raise it, or choose ring = \"none\" for a bare "
                    "hole.",
                    millimetres(in.lip_radius),
                    millimetres(smallest_lip_radius)));
  }
  if (in.ring == RingStyle::Proud && !(in.ring_stand > 0.0)) {
    stand_reader.complain(
        "ring_stand",
        "must be above 0 mm with ring = \"proud\". Say how far the ring stands ahead of the nose face, or "
        "choose ring = \"flush\".");
  }
  if (in.ring != RingStyle::Proud && in.ring_stand > 0.0) {
    if (is_own(own, "ring", "ring_stand")) {
      in.ring_stand = 0.0;
      return;
    }
    stand_reader.complain(
        "ring_stand",
        fmt::format("= {}: must be 0 mm unless ring = \"proud\". Take it out or choose ring = \"proud\".",
                    millimetres(in.ring_stand)));
  }
}

void check_diffuser(base::SectionReader& both, base::SectionReader& own, const InletSpec& in) {
  const bool has_ratio = own.has("diffuser_area_ratio") || both.has("diffuser_area_ratio");
  const bool has_length = own.has("diffuser_length") || both.has("diffuser_length");
  if (in.diffuser_length > 0.0 && !has_ratio) {
    (own.has("diffuser_length") ? own : both)
        .complain("diffuser_length",
                  fmt::format("= {}: needs diffuser_area_ratio beside it, above 1. Say how much the duct "
                              "widens, or take the length out.",
                              millimetres(in.diffuser_length)));
  }
  if (has_ratio && !has_length) {
    (own.has("diffuser_area_ratio") ? own : both)
        .complain("diffuser_area_ratio",
                  fmt::format("= {:.4g}: has no effect without diffuser_length. Say over what length the "
                              "duct widens, or take the ratio out.",
                              in.diffuser_area_ratio));
  }
}

bool varies_opening(const base::Variant& variant) {
  return std::any_of(variant.settings.begin(), variant.settings.end(), [](const base::Setting& setting) {
    return setting.key == "inlets.opening" || setting.key == "inlet_left.opening" ||
           setting.key == "inlet_right.opening";
  });
}

/// A dimension that no opening has is most likely meant for another opening.
void refuse_idle_keys(base::SectionReader& reader, std::initializer_list<InletSpec> inlets) {
  for (const InletParameter& parameter : inlet_parameters()) {
    const bool is_idle = std::none_of(
        inlets.begin(), inlets.end(), [&](const InletSpec& in) { return parameter.applies(in); });
    if (!is_idle || !reader.has(parameter.key)) continue;
    reader.complain(parameter.key,
                    fmt::format("has no effect with opening = \"{}\". Take it out or change the opening.",
                                openings[static_cast<std::size_t>(inlets.begin()->opening)]));
  }
}

}  // namespace

void read_inlets(base::SectionReader& both,
                 base::SectionReader& left,
                 base::SectionReader& right,
                 const base::Variant& variant,
                 InletPair& inlets) {
  read_inlet(both, left, inlets.left);
  read_inlet(both, right, inlets.right);
  if (both.n_complaints() + left.n_complaints() + right.n_complaints() > 0) return;
  check_ring(both, left, inlets.left);
  check_ring(both, right, inlets.right);
  check_diffuser(both, left, inlets.left);
  check_diffuser(both, right, inlets.right);
  if (varies_opening(variant)) return;
  refuse_idle_keys(both, {inlets.left, inlets.right});
  refuse_idle_keys(left, {inlets.left});
  refuse_idle_keys(right, {inlets.right});
}

}  // namespace cowlwright::shape
