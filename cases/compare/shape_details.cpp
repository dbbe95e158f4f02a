// SPDX-License-Identifier: GPL-3.0-or-later
//
// Details of the shape. The dimensions come from the shape's own table, so that a new one is compared without
// a line here; what is listed here is what belongs together and what has no effect without something else.
#include "cases/compare/keys.h"
#include "geometry/shape/own_cowl.h"
#include "geometry/shape/parameters.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>

namespace cowlwright::compare {
namespace {

using shape::ShapeSpec;

bool has_alternator(const VariantSpec& spec) {
  return spec.shape.alternator.side.has_value();
}
bool is_split(const VariantSpec& spec) {
  return spec.shape.plenum.kind == shape::PlenumKind::Split;
}
bool has_lid(const VariantSpec& spec) {
  return spec.shape.plenum.roof == shape::PlenumRoof::Lid;
}
bool has_cooler(const VariantSpec& spec) {
  return spec.shape.oil_cooler.place != shape::CoolerPlace::None;
}
bool has_lip(const VariantSpec& spec) {
  return spec.shape.exit.lip_length > 0.0;
}
bool has_exhaust(const VariantSpec& spec) {
  return spec.shape.exit.exhaust_diameter > 0.0;
}

/// Dimensions that mean nothing without something else.
Applies applies_to(const std::string& name) {
  static const std::map<std::string, bool (*)(const VariantSpec&)> conditions{
      {"plenum.wall_thickness", is_split},
      {"plenum.wall_height", is_split},
      {"leaks.centre_wall", is_split},
      {"plenum.lid_height", has_lid},
      {"exit.lip_angle", has_lip},
      {"exit.lip_thickness", has_lip},
      {"exit.exhaust_spacing", has_exhaust}};
  if (name.starts_with("alternator.")) return has_alternator;
  if (name.starts_with("oil_cooler.")) return has_cooler;
  const auto found = conditions.find(name);
  return found == conditions.end() ? Applies(always) : Applies(found->second);
}

/// What a pair of installations ties together.
class Labels {
 public:
  Labels(const VariantSpec& good, const VariantSpec& mine)
      : own_(has_own_cowl(good) || has_own_cowl(mine)),
        one_lacks_cooler_(!has_cooler(good) || !has_cooler(mine)),
        one_lacks_lip_(!has_lip(good) || !has_lip(mine)),
        one_lacks_wall_(!is_split(good) || !is_split(mine)),
        good_(good.shape),
        mine_(mine.shape) {}

  std::string operator()(const shape::Parameter& parameter) const {
    if (own_ && shape::is_decided_by_own_cowl(parameter)) return own_cowl_label;
    const std::string name = fmt::format("{}.{}", parameter.section, parameter.key);
    if (parameter.section == "leaks") return leak(parameter);
    return of_key(name);
  }

  std::string of_key(const std::string& name) const {
    if (name.starts_with("alternator.")) return "alternator";
    if (name.starts_with("oil_cooler.")) return cooler(name);
    if (name == "plenum.kind" || name == "plenum.wall_thickness" || name == "plenum.wall_height") {
      return "centre wall of the upper deck";
    }
    if (name == "plenum.roof" || name == "plenum.lid_height") return "roof of the upper deck";
    if (name == "exit.exhaust_diameter" || name == "exit.exhaust_spacing") return "exhaust pipes in the exit";
    const bool is_lip = name.starts_with("exit.lip_") || name == "exit.side_plates";
    if (is_lip && one_lacks_lip_) return "exit lip";
    if (name == "engine.head_width") return "head and barrel of the cylinders";
    if (own_ && name == "cowl.corner_exponent") return own_cowl_label;
    if (name.starts_with("propeller.")) return plain(name.substr(10));
    return plain(name.substr(0, name.find('.')) + " " + name.substr(name.find('.') + 1));
  }

 private:
  std::string cooler(const std::string& name) const {
    if (one_lacks_cooler_) return "oil cooler";
    return name == "oil_cooler.place" || name == "oil_cooler.side" ? "oil cooler, place" : "oil cooler, size";
  }

  /// Both sides' leak in one where it differs alike.
  std::string leak(const shape::Parameter& parameter) const {
    const std::string key(parameter.key);
    if (key == "centre_wall" && one_lacks_wall_) return "centre wall of the upper deck";
    for (const std::string_view side : {"_left", "_right"}) {
      if (!key.ends_with(side)) continue;
      const std::string stem = key.substr(0, key.size() - side.size());
      const bool is_alike = is_same(leak_of(good_, stem + "_left"), leak_of(good_, stem + "_right")) &&
                            is_same(leak_of(mine_, stem + "_left"), leak_of(mine_, stem + "_right"));
      return is_alike ? fmt::format("leak {}, both sides", plain(stem))
                      : fmt::format("leak {},{}", plain(stem), plain(side));
    }
    return "leak " + plain(key);
  }

  static double leak_of(ShapeSpec spec, const std::string& key) {
    for (const shape::Parameter& parameter : shape::shape_parameters()) {
      if (parameter.section == "leaks" && parameter.key == key) return parameter.value(spec);
    }
    return 0.0;
  }

  bool own_, one_lacks_cooler_, one_lacks_lip_, one_lacks_wall_;
  ShapeSpec good_, mine_;
};

constexpr std::array<std::string_view, 4> places{"none", "rear", "front", "below"};

std::string side_word(base::Side side) {
  return side == base::Side::Left ? "left" : "right";
}

template <typename Member>
Key shape_choice(std::string name,
                 std::function<std::string(const ShapeSpec&)> word,
                 Member member,
                 Applies applies = always,
                 bool is_plain = false) {
  return choice_key({.name = std::move(name),
                     .word = [=](const VariantSpec& s) { return word(s.shape); },
                     .copy =
                         [=](const VariantSpec& from, VariantSpec& to) {
                           VariantSpec source = from;
                           member(to.shape) = member(source.shape);
                         },
                     .applies = std::move(applies),
                     .is_plain = is_plain});
}

void add_choices(const Labels& label, DetailList& list) {
  const auto add = [&](Key key) {
    const std::string of = label.of_key(key.name);
    list.add(of, std::move(key));
  };
  add(shape_choice(
      "plenum.kind",
      [](const ShapeSpec& s) { return s.plenum.kind == shape::PlenumKind::Split ? "split" : "shared"; },
      [](ShapeSpec & s) -> auto& { return s.plenum.kind; }));
  add(shape_choice(
      "plenum.roof",
      [](const ShapeSpec& s) { return s.plenum.roof == shape::PlenumRoof::Lid ? "lid" : "cowl"; },
      [](ShapeSpec & s) -> auto& { return s.plenum.roof; }));
  add(shape_choice(
      "alternator.side",
      [](const ShapeSpec& s) { return s.alternator.side ? side_word(*s.alternator.side) : "none"; },
      [](ShapeSpec & s) -> auto& { return s.alternator.side; }));
  add(shape_choice(
      "oil_cooler.side",
      [](const ShapeSpec& s) { return side_word(s.oil_cooler.side); },
      [](ShapeSpec & s) -> auto& { return s.oil_cooler.side; },
      has_cooler));
  add(shape_choice(
      "exit.side_plates",
      [](const ShapeSpec& s) { return s.exit.side_plates ? "true" : "false"; },
      [](ShapeSpec & s) -> auto& { return s.exit.side_plates; },
      always,
      true));
  add(number_key("cowl.corner_exponent",
                 [](VariantSpec& s) -> double& { return s.shape.cowl.corner_exponent; }));
  // Law and heat of a cooler that only one of them has come with its place.
  Key place = shape_choice(
      "oil_cooler.place",
      [](const ShapeSpec& s) { return std::string(places[static_cast<std::size_t>(s.oil_cooler.place)]); },
      [](ShapeSpec & s) -> auto& { return s.oil_cooler.place; });
  place.copy = [](const VariantSpec& from, VariantSpec& to) {
    to.shape.oil_cooler.place = from.shape.oil_cooler.place;
    if (from.oil_cooler.has_value() != to.oil_cooler.has_value()) to.oil_cooler = from.oil_cooler;
  };
  add(std::move(place));
}

bool is_same_surface(const VariantSpec& a, const VariantSpec& b) {
  if (a.shape.own == b.shape.own) return true;
  if (!a.shape.own || !b.shape.own) return false;
  const auto is_near = [](const base::Vec3& p, const base::Vec3& q) {
    return is_same(p.x, q.x) && is_same(p.y, q.y) && is_same(p.z, q.z);
  };
  return a.shape.own->skin.triangles == b.shape.own->skin.triangles &&
         std::ranges::equal(a.shape.own->skin.points, b.shape.own->skin.points, is_near);
}

/// The surface with all it decides, in one piece.
void add_own_cowl(const VariantSpec& good, const VariantSpec& mine, DetailList& list) {
  if (!has_own_cowl(good) && !has_own_cowl(mine)) return;
  const auto name = [](const VariantSpec& s) {
    return s.shape.own ? s.shape.own->name : std::string("none: the study's own dimensions");
  };
  list.add(own_cowl_label,
           {.name = "own_cowl.file",
            .common_name = {},
            .applies = always,
            .differs = [](const auto& a, const auto& b) { return !is_same_surface(a, b); },
            .si = name,
            .practical = [](const VariantSpec&) { return std::string{}; },
            .toml = [](const VariantSpec&) { return std::string{}; },
            .copy =
                [](const VariantSpec& from, VariantSpec& to) {
                  to.shape.own = from.shape.own;
                  to.shape.inlets = from.shape.inlets;
                }});
  Detail& detail = list.detail(own_cowl_label);
  detail.words = name;
  detail.obstacle = "a surface of one's own cannot be put back by a key; run the good study itself";
}

/// Exact words for what is more than its numbers.
void word_shape(DetailList& list, const VariantSpec& good, const VariantSpec& mine) {
  list.detail("centre wall of the upper deck").words = [](const VariantSpec& s) -> std::string {
    if (!is_split(s)) return "no wall, one deck for both sides";
    const std::string leak =
        quantity_texts(s.shape.leaks.effective_area[static_cast<std::size_t>(shape::LeakPlace::CentreWall)],
                       base::Dimension::Area)
            .both();
    return fmt::format(
        "a wall over {:.3g} % of the height, leak {}", 100.0 * s.shape.plenum.wall_height, leak);
  };
  list.detail("roof of the upper deck").words = [](const VariantSpec& s) -> std::string {
    if (!has_lid(s)) return "seals against the cowl";
    return "a lid " + quantity_texts(s.shape.plenum.lid_height, base::Dimension::Length).both() +
           " above the deck's floor";
  };
  list.detail("alternator").words = [](const VariantSpec& s) -> std::string {
    if (!has_alternator(s)) return "none";
    const shape::AlternatorSpec& a = s.shape.alternator;
    return fmt::format("behind the {} inlet, {} wide, front face at station {}",
                       side_word(*a.side),
                       quantity_texts(a.diameter, base::Dimension::Length).both(),
                       quantity_texts(a.station, base::Dimension::Length).both());
  };
  if (has_lip(good) != has_lip(mine)) {
    list.detail("exit lip").words = [](const VariantSpec& s) -> std::string {
      const shape::ExitSpec& exit = s.shape.exit;
      const std::string plates = exit.side_plates ? ", with side plates" : "";
      if (!has_lip(s)) return "no lip" + plates;
      return fmt::format("a lip of {} at {}{}",
                         quantity_texts(exit.lip_length, base::Dimension::Length).both(),
                         quantity_texts(exit.lip_angle, base::Dimension::Angle).si,
                         plates);
    };
  }
  if (has_cooler(good) != has_cooler(mine)) {
    list.detail("oil cooler").words = [](const VariantSpec& s) -> std::string {
      static constexpr std::array<std::string_view, 4> words{"none",
                                                             "on the rear baffle",
                                                             "in the floor ahead of the first cylinder",
                                                             "in the floor behind the last cylinder"};
      const std::string place(words[static_cast<std::size_t>(s.shape.oil_cooler.place)]);
      return has_cooler(s) ? fmt::format("{}, {}", place, side_word(s.shape.oil_cooler.side)) : place;
    };
  }
}

}  // namespace

void add_shape_details(const VariantSpec& good, const VariantSpec& mine, DetailList& list) {
  const Labels label(good, mine);
  for (const shape::Parameter& parameter : shape::shape_parameters()) {
    const std::string name = fmt::format("{}.{}", parameter.section, parameter.key);
    const auto value = parameter.value;
    list.add(label(parameter),
             quantity_key(
                 name,
                 parameter.dimension,
                 [value](VariantSpec& s) -> double& { return value(s.shape); },
                 applies_to(name)));
  }
  add_choices(label, list);
  add_own_cowl(good, mine, list);
  word_shape(list, good, mine);
}

}  // namespace cowlwright::compare
