// SPDX-License-Identifier: GPL-3.0-or-later
//
// Details of the inlets: opening, place, edge and diffuser of each, or of both where they differ alike.
#include "cases/compare/keys.h"
#include "geometry/shape/parameters.h"

#include <fmt/format.h>

#include <array>
#include <map>
#include <tuple>

namespace cowlwright::compare {
namespace {

constexpr std::array<std::string_view, 3> openings{"round", "oval", "rectangular"};
constexpr std::array<std::string_view, 3> rings{"none", "flush", "proud"};

/// What one inlet has in common with itself: opening, place, edge, diffuser.
std::string inlet_group(std::string_view key) {
  if (key == "height") return "height above the shaft";
  if (key == "lip_radius" || key == "ring_stand" || key == "ring") return "edge";
  if (key.starts_with("diffuser_")) return "diffuser";
  if (key == "opening" || key == "diameter" || key == "opening_width" || key == "opening_height" ||
      key == "corner_radius") {
    return "opening";
  }
  return plain(key);
}

using InletOf = shape::InletSpec& (*)(VariantSpec&);
shape::InletSpec& left_inlet(VariantSpec& s) {
  return s.shape.inlets.left;
}
shape::InletSpec& right_inlet(VariantSpec& s) {
  return s.shape.inlets.right;
}
const shape::InletSpec& read(InletOf of, const VariantSpec& s) {
  return of(const_cast<VariantSpec&>(s));  // only read
}

template <typename Enum>
Key inlet_choice(std::string name,
                 InletOf of,
                 Enum shape::InletSpec::*member,
                 const std::array<std::string_view, 3>& words) {
  return choice_key(
      {.name = std::move(name),
       .word =
           [=](const VariantSpec& s) {
             return std::string(words[static_cast<std::size_t>(read(of, s).*member)]);
           },
       .copy = [=](const VariantSpec& from, VariantSpec& to) { of(to).*member = read(of, from).*member; }});
}

/// Every key of one inlet.
std::vector<Key> inlet_keys(const std::string& section, InletOf of) {
  std::vector<Key> keys;
  keys.push_back(inlet_choice(section + ".opening", of, &shape::InletSpec::opening, openings));
  keys.push_back(inlet_choice(section + ".ring", of, &shape::InletSpec::ring, rings));
  for (const shape::InletParameter& parameter : shape::inlet_parameters()) {
    const auto member = parameter.value;
    const auto applies = parameter.applies;
    keys.push_back(quantity_key(
        fmt::format("{}.{}", section, parameter.key),
        base::Dimension::Length,
        [=](VariantSpec& s) -> double& { return of(s).*member; },
        [=](const VariantSpec& s) { return applies(read(of, s)); }));
  }
  keys.push_back(number_key(
      section + ".diffuser_area_ratio",
      [=](VariantSpec& s) -> double& { return of(s).diffuser_area_ratio; },
      [=](const VariantSpec& s) { return read(of, s).diffuser_length > 0.0; }));
  for (Key& key : keys) key.common_name = "inlets" + key.name.substr(key.name.find('.'));
  return keys;
}

std::string length_text(double value) {
  return quantity_texts(value, base::Dimension::Length).both();
}

std::string opening_words(const shape::InletSpec& in) {
  if (in.opening == shape::OpeningShape::Round) return "round, " + length_text(in.diameter);
  const std::string size = length_text(in.opening_width) + " by " + length_text(in.opening_height);
  if (in.opening == shape::OpeningShape::Oval) return "oval, " + size;
  return fmt::format("rectangular, {}, corners {}", size, length_text(in.corner_radius));
}

std::string edge_words(const shape::InletSpec& in) {
  if (in.ring == shape::RingStyle::None) return "a bare hole";
  const std::string lip = length_text(in.lip_radius) + " lip radius";
  if (in.ring == shape::RingStyle::Flush) return "a flush ring with " + lip;
  return fmt::format("a proud ring with {}, {} ahead of the face", lip, length_text(in.ring_stand));
}

std::string diffuser_words(const shape::InletSpec& in) {
  if (!(in.diffuser_length > 0.0)) return "no diffuser";
  return fmt::format("a diffuser of {} to {:.3g} times the throat's area",
                     length_text(in.diffuser_length),
                     in.diffuser_area_ratio);
}

void word_inlet(Detail& detail, const std::string& group, InletOf of) {
  const auto use = [&](std::string (*words)(const shape::InletSpec&)) {
    detail.words = [=](const VariantSpec& s) { return words(read(of, s)); };
  };
  if (group == "opening") use(opening_words);
  if (group == "edge") use(edge_words);
  if (group == "diffuser") use(diffuser_words);
}

}  // namespace

void add_inlet_details(const VariantSpec& good, const VariantSpec& mine, DetailList& list) {
  const bool is_own = has_own_cowl(good) || has_own_cowl(mine);
  const std::vector<Key> left = inlet_keys("inlet_left", left_inlet);
  const std::vector<Key> right = inlet_keys("inlet_right", right_inlet);
  std::map<std::string, bool> is_alike;  // by group: both sides the same in either installation
  for (std::size_t k = 0; k < left.size(); ++k) {
    const std::string group = inlet_group(std::string_view(left[k].name).substr(left[k].name.find('.') + 1));
    const auto both = [&](const VariantSpec& s) { return left[k].toml(s) == right[k].toml(s); };
    is_alike.try_emplace(group, true).first->second &= both(good) && both(mine);
  }
  for (const auto& [keys, of, side] :
       {std::tuple{&left, &left_inlet, "left inlet"}, std::tuple{&right, &right_inlet, "right inlet"}}) {
    for (const Key& key : *keys) {
      const std::string group = inlet_group(std::string_view(key.name).substr(key.name.find('.') + 1));
      const std::string label = is_own            ? own_cowl_label
                                : is_alike[group] ? "both inlets, " + group
                                                  : fmt::format("{}, {}", side, group);
      list.add(label, key);
      if (!is_own) word_inlet(list.detail(label), group, of);
    }
  }
}

}  // namespace cowlwright::compare
