// SPDX-License-Identifier: GPL-3.0-or-later
//
// Details of the propeller.
#include "cases/compare/keys.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace cowlwright::compare {
namespace {

using base::Dimension;
using propeller::PropellerSpec;

bool is_present(const VariantSpec& spec) {
  return spec.propeller.present;
}

std::string kind(const PropellerSpec& p) {
  if (!p.present) return "none";
  return p.is_uniform ? "uniform_disk" : "blades";
}

bool is_same_blade(const PropellerSpec& a, const PropellerSpec& b) {
  return std::ranges::equal(a.blade, b.blade, [](const auto& p, const auto& q) {
    return is_same(p.radius_ratio, q.radius_ratio) && is_same(p.chord_ratio, q.chord_ratio) &&
           is_same(p.pitch_ratio, q.pitch_ratio);
  });
}

bool is_same_polar(const PropellerSpec& a, const PropellerSpec& b) {
  return std::ranges::equal(a.polar, b.polar, [](const auto& p, const auto& q) {
    return is_same(p.angle_of_attack, q.angle_of_attack) && is_same(p.lift, q.lift) &&
           is_same(p.drag, q.drag);
  });
}

/// "4 stations, chord 6 % and pitch 0.75 of the diameter at r/R 0.75".
std::string blade_words(const PropellerSpec& p) {
  if (p.blade.empty()) return "none";
  const auto near = std::min_element(p.blade.begin(), p.blade.end(), [](const auto& a, const auto& b) {
    return std::abs(a.radius_ratio - 0.75) < std::abs(b.radius_ratio - 0.75);
  });
  return fmt::format("{} stations, chord {:.3g} and pitch {:.3g} diameters at r/R {:.2f}",
                     p.blade.size(),
                     near->chord_ratio,
                     near->pitch_ratio,
                     near->radius_ratio);
}

std::string list_toml(const PropellerSpec& p, double propeller::BladeStation::*member) {
  std::vector<std::string> values;
  for (const propeller::BladeStation& station : p.blade)
    values.push_back(fmt::format("{:.12g}", station.*member));
  return fmt::format("[{}]", fmt::join(values, ", "));
}

Key blade_key(const std::string& name, double propeller::BladeStation::*member, bool is_judged) {
  return {
      .name = name,
      .common_name = {},
      .applies = is_present,
      .differs = [=](const auto& a,
                     const auto& b) { return is_judged && !is_same_blade(a.propeller, b.propeller); },
      .si = [](const VariantSpec& s) { return blade_words(s.propeller); },
      .practical = [](const VariantSpec&) { return std::string{}; },
      .toml = [=](const VariantSpec& s) { return list_toml(s.propeller, member); },
      .copy = [](const VariantSpec& from, VariantSpec& to) { to.propeller.blade = from.propeller.blade; }};
}

Key polar_key() {
  return {
      .name = "propeller.polar_lift",
      .common_name = {},
      .applies = is_present,
      .differs = [](const auto& a, const auto& b) { return !is_same_polar(a.propeller, b.propeller); },
      .si =
          [](const VariantSpec& s) {
            return s.propeller.polar.empty() ? std::string("the default section")
                                             : fmt::format("{} angles", s.propeller.polar.size());
          },
      .practical = [](const VariantSpec&) { return std::string{}; },
      .toml = [](const VariantSpec&) { return std::string{}; },
      .copy = [](const VariantSpec& from, VariantSpec& to) { to.propeller.polar = from.propeller.polar; }};
}

Key word_key(std::string name,
             std::function<std::string(const PropellerSpec&)> word,
             std::function<void(const PropellerSpec&, PropellerSpec&)> copy,
             bool is_plain = false) {
  const bool is_kind = name == "propeller.kind";
  return choice_key(
      {.name = std::move(name),
       .word = [=](const VariantSpec& s) { return word(s.propeller); },
       .copy = [=](const VariantSpec& from, VariantSpec& to) { copy(from.propeller, to.propeller); },
       .applies = is_kind ? Applies(always) : Applies(is_present),
       .is_plain = is_plain});
}

/// All in one where one of them has no propeller.
class Labels {
 public:
  Labels(const VariantSpec& good, const VariantSpec& mine)
      : is_one_(good.propeller.present != mine.propeller.present) {}
  std::string operator()(const std::string& label) const { return is_one_ ? "propeller" : label; }

 private:
  bool is_one_;
};

}  // namespace

void add_propeller_details(const VariantSpec& good, const VariantSpec& mine, DetailList& list) {
  const Labels label(good, mine);
  list.add(label("propeller model"),
           word_key("propeller.kind", kind, [](const PropellerSpec& from, PropellerSpec& to) {
             to.present = from.present;
             to.is_uniform = from.is_uniform;
           }));
  list.add(label("propeller diameter"),
           quantity_key(
               "propeller.diameter",
               Dimension::Length,
               [](VariantSpec& s) -> double& { return s.propeller.diameter; },
               is_present));
  list.add(label("number of blades"),
           word_key(
               "propeller.blades",
               [](const PropellerSpec& p) { return fmt::format("{}", p.n_blades); },
               [](const PropellerSpec& from, PropellerSpec& to) { to.n_blades = from.n_blades; },
               true));
  list.add(label("propeller rotation"),
           word_key(
               "propeller.rotation",
               [](const PropellerSpec& p) {
                 return p.rotation == propeller::Rotation::Clockwise ? "clockwise" : "anticlockwise";
               },
               [](const PropellerSpec& from, PropellerSpec& to) { to.rotation = from.rotation; }));
  // The blades begin outside the spinner, by default in step with it or with the diameter.
  const bool is_with_diameter = !is_same(good.propeller.diameter, mine.propeller.diameter);
  const bool is_with_spinner = !is_same(good.shape.spinner.diameter, mine.shape.spinner.diameter);
  const std::string hub = is_with_diameter  ? label("propeller diameter")
                          : is_with_spinner ? std::string("spinner diameter")
                                            : label("propeller hub diameter");
  list.add(hub,
           quantity_key(
               "propeller.hub_diameter",
               Dimension::Length,
               [](VariantSpec& s) -> double& { return s.propeller.hub_diameter; },
               is_present));
  const std::string blade = label("shape of the blades");
  list.add(blade, blade_key("propeller.blade_radius", &propeller::BladeStation::radius_ratio, false));
  list.add(blade, blade_key("propeller.blade_chord", &propeller::BladeStation::chord_ratio, false));
  list.add(blade, blade_key("propeller.blade_pitch", &propeller::BladeStation::pitch_ratio, true));
  list.detail(blade).words = [](const VariantSpec& s) {
    return s.propeller.present ? blade_words(s.propeller) : std::string("none");
  };
  list.add(label("section of the blades"), polar_key());
  list.add(label("pitch"),
           word_key(
               "propeller.pitch_mode",
               [](const PropellerSpec& p) {
                 return p.pitch_mode == propeller::PitchMode::Fixed ? "fixed" : "to_power";
               },
               [](const PropellerSpec& from, PropellerSpec& to) { to.pitch_mode = from.pitch_mode; }));
}

}  // namespace cowlwright::compare
