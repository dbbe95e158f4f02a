// SPDX-License-Identifier: GPL-3.0-or-later
//
// How keys of the study become keys of a comparison. Internal to cases/compare.
#pragma once

#include "cases/compare/details.h"
#include "geometry/base/units.h"

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace cowlwright::compare {

/// "20.0 mm" and "0.787 in" of a value; the second empty where there is no other unit.
struct Texts {
  std::string si;
  std::string practical;
  std::string both() const { return practical.empty() ? si : si + " (" + practical + ")"; }
};
Texts quantity_texts(double value, base::Dimension dimension);

/// A key whose value can be had as a reference into a spec.
using Reference = std::function<double&(VariantSpec&)>;
using Applies = std::function<bool(const VariantSpec&)>;
inline bool always(const VariantSpec&) {
  return true;
}
double value_of(const Reference& reference, const VariantSpec& spec);

/// "lip_radius" -> "lip radius".
std::string plain(std::string_view text);

/// The label of all that a user's own cowl decides, when one of the two has one.
inline constexpr const char* own_cowl_label = "outer skin and inlets (own cowl)";
inline bool has_own_cowl(const VariantSpec& spec) {
  return spec.shape.own != nullptr;
}

Key quantity_key(std::string name, base::Dimension dimension, Reference reference, Applies applies = always);
Key number_key(std::string name, Reference reference, Applies applies = always);

/// A choice or count: `word` is what the study file has, without quotation marks where `is_plain`.
struct Choice {
  std::string name;
  std::function<std::string(const VariantSpec&)> word;
  std::function<void(const VariantSpec&, VariantSpec&)> copy;
  Applies applies = always;
  bool is_plain = false;
};
Key choice_key(Choice choice);

/// Keys under names of details, in order of arrival; keys of one name are one detail.
class DetailList {
 public:
  /// The detail of that name, made when there is none.
  Detail& detail(const std::string& label, Topic topic = Topic::Installation);
  void add(const std::string& label, Key key, Topic topic = Topic::Installation) {
    detail(label, topic).keys.push_back(std::move(key));
  }
  std::vector<Detail> take() &&;

 private:
  std::vector<Detail> details_;
};

/// Dimensions, choices and own cowl of the shape.
void add_shape_details(const VariantSpec& good, const VariantSpec& mine, DetailList& list);
/// One inlet each, or both in one where they differ alike.
void add_inlet_details(const VariantSpec& good, const VariantSpec& mine, DetailList& list);
/// Laws and heat of cylinders and cooler.
void add_core_details(const VariantSpec& good, const VariantSpec& mine, DetailList& list);
void add_propeller_details(const VariantSpec& good, const VariantSpec& mine, DetailList& list);
void add_condition_details(DetailList& list);
void add_estimate_details(DetailList& list);

}  // namespace cowlwright::compare
