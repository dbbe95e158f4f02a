// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/compare/keys.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>

namespace cowlwright::compare {
namespace {

/// Units a comparison is read in; the first also in study files.
struct Units {
  std::string_view si;
  std::string_view practical;
};

Units units_of(base::Dimension dimension) {
  switch (dimension) {
    case base::Dimension::Length:
      return {"mm", "in"};
    case base::Dimension::Area:
      return {"cm2", "in2"};
    case base::Dimension::Angle:
      return {"deg", ""};
    case base::Dimension::Speed:
      return {"m/s", "kt"};
    case base::Dimension::RotationalSpeed:
      return {"rpm", ""};
    case base::Dimension::Temperature:
      return {"degC", "degF"};
    case base::Dimension::Pressure:
      return {"Pa", "inH2O"};
    case base::Dimension::Power:
      return {"kW", "hp"};
    case base::Dimension::MassFlow:
      return {"kg/s", "lb/h"};
    case base::Dimension::Share:
      return {"%", ""};
    default:
      return {base::unit_symbols(dimension).front(), ""};
  }
}

std::string in(double value, std::string_view unit, base::Dimension dimension) {
  return fmt::format("{:.4g} {}", base::in_unit(value, unit, dimension), unit);
}

}  // namespace

bool is_same(double a, double b) {
  return std::abs(a - b) <= 1e-9 * std::max(std::abs(a), std::abs(b));
}

Texts quantity_texts(double value, base::Dimension dimension) {
  const Units units = units_of(dimension);
  return {in(value, units.si, dimension),
          units.practical.empty() ? "" : in(value, units.practical, dimension)};
}

double value_of(const Reference& reference, const VariantSpec& spec) {
  // The table of dimensions hands out references that can be written; here one is only read.
  return reference(const_cast<VariantSpec&>(spec));
}

std::string plain(std::string_view text) {
  std::string words(text);
  std::replace(words.begin(), words.end(), '_', ' ');
  return words;
}

Key quantity_key(std::string name, base::Dimension dimension, Reference reference, Applies applies) {
  const std::string_view unit = units_of(dimension).si;
  const auto value = [reference](const VariantSpec& s) { return value_of(reference, s); };
  return {.name = std::move(name),
          .common_name = {},
          .applies = std::move(applies),
          .differs = [value](const auto& a, const auto& b) { return !is_same(value(a), value(b)); },
          .si = [=](const VariantSpec& s) { return quantity_texts(value(s), dimension).si; },
          .practical = [=](const VariantSpec& s) { return quantity_texts(value(s), dimension).practical; },
          .toml =
              [=](const VariantSpec& s) {
                return fmt::format("\"{:.12g} {}\"", base::in_unit(value(s), unit, dimension), unit);
              },
          .copy = [=](const VariantSpec& from, VariantSpec& to) { reference(to) = value(from); }};
}

Key number_key(std::string name, Reference reference, Applies applies) {
  const auto value = [reference](const VariantSpec& s) { return value_of(reference, s); };
  return {.name = std::move(name),
          .common_name = {},
          .applies = std::move(applies),
          .differs = [value](const auto& a, const auto& b) { return !is_same(value(a), value(b)); },
          .si = [=](const VariantSpec& s) { return fmt::format("{:.4g}", value(s)); },
          .practical = [](const VariantSpec&) { return std::string{}; },
          .toml = [=](const VariantSpec& s) { return fmt::format("{:.12g}", value(s)); },
          .copy = [=](const VariantSpec& from, VariantSpec& to) { reference(to) = value(from); }};
}

Key choice_key(Choice choice) {
  const auto word = choice.word;
  const bool is_plain = choice.is_plain;
  return {.name = std::move(choice.name),
          .common_name = {},
          .applies = std::move(choice.applies),
          .differs = [word](const auto& a, const auto& b) { return word(a) != word(b); },
          .si = word,
          .practical = [](const VariantSpec&) { return std::string{}; },
          .toml = [=](const VariantSpec& s) { return is_plain ? word(s) : fmt::format("\"{}\"", word(s)); },
          .copy = std::move(choice.copy)};
}

Detail& DetailList::detail(const std::string& label, Topic topic) {
  const auto found =
      std::find_if(details_.begin(), details_.end(), [&](const Detail& d) { return d.label == label; });
  if (found != details_.end()) return *found;
  details_.push_back({.label = label, .topic = topic, .keys = {}, .words = {}, .obstacle = {}});
  return details_.back();
}

namespace {

/// "75 mm (2.953 in)"; with several keys "gap 75 mm (2.953 in), width ...", of those that apply.
std::string default_words(const std::vector<Key>& keys, bool is_pair, const VariantSpec& spec) {
  std::string text;
  for (const Key& key : keys) {
    if (!key.applies(spec)) continue;
    const std::string value = Texts{key.si(spec), key.practical(spec)}.both();
    if (is_pair) return value + " each";
    const std::string name = keys.size() > 1 ? plain(key.name.substr(key.name.find('.') + 1)) + " " : "";
    text += (text.empty() ? "" : ", ") + name + value;
  }
  return text.empty() ? "none" : text;
}

}  // namespace

std::vector<Detail> DetailList::take() && {
  for (Detail& detail : details_) {
    if (detail.words) continue;
    const auto keys = std::make_shared<const std::vector<Key>>(detail.keys);
    const bool is_pair = detail.label.starts_with("both ") || detail.label.ends_with(", both sides");
    detail.words = [=](const VariantSpec& spec) { return default_words(*keys, is_pair, spec); };
  }
  return std::move(details_);
}

void Detail::copy(const VariantSpec& from, VariantSpec& to) const {
  for (const Key& key : keys) key.copy(from, to);
}

bool Detail::differs(const VariantSpec& a, const VariantSpec& b) const {
  return std::any_of(keys.begin(), keys.end(), [&](const Key& key) {
    return (key.applies(a) || key.applies(b)) && key.differs(a, b);
  });
}

Wordings wordings(const Detail& detail, const VariantSpec& good, const VariantSpec& mine) {
  Wordings words{detail.words(good), detail.words(mine)};
  if (words.good != words.mine) return words;
  for (const Key& key : detail.keys) {
    if (!key.differs(good, mine)) continue;
    const std::string name = plain(key.name.substr(key.name.find('.') + 1));
    words.good += fmt::format(", {} {}", name, Texts{key.si(good), key.practical(good)}.both());
    words.mine += fmt::format(", {} {}", name, Texts{key.si(mine), key.practical(mine)}.both());
  }
  return words;
}

std::vector<Detail> all_details(const VariantSpec& good, const VariantSpec& mine) {
  DetailList list;
  add_condition_details(list);
  add_propeller_details(good, mine, list);
  add_inlet_details(good, mine, list);
  add_shape_details(good, mine, list);
  add_core_details(good, mine, list);
  add_estimate_details(list);
  return std::move(list).take();
}

std::vector<Detail> differing_details(const VariantSpec& good, const VariantSpec& mine) {
  std::vector<Detail> details = all_details(good, mine);
  std::erase_if(details, [&](const Detail& d) { return !d.differs(good, mine); });
  return details;
}

VariantSpec hybrid(const VariantSpec& good,
                   const VariantSpec& mine,
                   const std::vector<Detail>& details,
                   const std::vector<bool>& is_mine) {
  VariantSpec spec = good;
  for (std::size_t i = 0; i < details.size(); ++i) {
    if (is_mine[i]) details[i].copy(mine, spec);
  }
  return spec;
}

}  // namespace cowlwright::compare
