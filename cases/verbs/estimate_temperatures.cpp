// SPDX-License-Identifier: GPL-3.0-or-later
//
// From temperatures to rows and notes.
#include "cases/verbs/estimate_temperatures.h"

#include "cases/core/spec.h"
#include "geometry/base/units.h"

#include <fmt/format.h>

#include <algorithm>

namespace cowlwright::verbs {
namespace {

class Rows {
 public:
  explicit Rows(post::VariantResult& result) : result_(result) {}

  /// @param value, low, high  in the row's unit.
  void add(const std::string& id, const std::string& part, double value, double low, double high) {
    post::Quantity quantity = post::empty_quantity(id, part);
    quantity.value = value;
    quantity.half_band = std::max(value - low, high - value);
    quantity.basis = post::Basis::Estimate;
    result_.quantities.push_back(std::move(quantity));
  }
  void temperature(const std::string& id, const std::string& part, const envelope::Estimate& t) {
    if (t.value) add(id, part, base::celsius(*t.value), base::celsius(t.low), base::celsius(t.high));
  }
  void margin(const std::string& id, const std::optional<envelope::Margin>& m) {
    if (m && m->value) add(id, "", *m->value, m->low, m->high);
  }
  void note(std::string text) { result_.notes.push_back(std::move(text)); }

 private:
  post::VariantResult& result_;
};

std::string band_text(const envelope::Estimate& t, const std::optional<envelope::Margin>& m) {
  std::string text =
      fmt::format("between {:.0f} and {:.0f} degC", base::celsius(t.low), base::celsius(t.high));
  if (m) text += fmt::format(", margin between {:.0f} and {:.0f} K", m->low, m->high);
  return text + "; no reading, so a band and no number";
}

void add_site(const envelope::SiteTemperatures& site, int n_cylinders, Rows& rows) {
  const std::string key(temperature::site_key(site.site));
  const std::string name(temperature::site_name(site.site));
  if (!site.is_shown()) {
    rows.note(fmt::format("{}: not shown: {}", name, site.missing));
    return;
  }
  const std::vector<std::string> cylinders = core::cylinder_names(n_cylinders);
  const std::size_t hottest = site.hottest();
  const envelope::Estimate& worst = site.cylinders[hottest];
  const std::optional<envelope::Margin> margin = site.smallest_margin();
  if (!worst.value) {
    rows.note(fmt::format("{}: hottest {}: {}", name, cylinders[hottest], band_text(worst, margin)));
    return;
  }
  for (std::size_t i = 0; i < site.cylinders.size(); ++i) {
    rows.temperature(key + "_temperature", cylinders[i], site.cylinders[i]);
  }
  rows.margin(key + "_margin", margin);
  rows.note(fmt::format("{}: hottest is cylinder {}{}",
                        name,
                        cylinders[hottest],
                        margin ? "" : fmt::format("; no margin without [limits] {}", key)));
}

void add_oil(const envelope::OilTemperatures& oil, Rows& rows) {
  if (!oil.hot) {
    rows.note("oil: not shown: " + oil.missing_hot);
    return;
  }
  if (!oil.hot->value) {
    rows.note("oil, before the cooler: " + band_text(*oil.hot, oil.margin()));
    return;
  }
  rows.temperature("oil_temperature", "", *oil.hot);
  rows.margin("oil_margin", oil.margin());
  if (oil.cooled) {
    rows.temperature("oil_cooled_temperature", "", *oil.cooled);
  } else {
    rows.note("oil, behind the cooler: not shown: " + oil.missing_cooled);
  }
}

}  // namespace

bool asks_for_temperatures(const VariantSpec& spec) {
  const temperature::TemperatureSpec& t = spec.temperatures;
  return t.has_limit() || !spec.readings.empty() || t.fuel.fuel_flow || t.fuel.specific_consumption ||
         t.rated_power || t.cooler;
}

void add_temperatures(const envelope::EngineTemperatures& engine,
                      const envelope::DisturbedModel& model,
                      post::VariantResult& result) {
  const VariantSpec& spec = model.model().spec();
  const envelope::Temperatures t =
      engine.at(model.model(), model.solve(network::stated_condition(spec), network::Route::Solved));
  Rows rows(result);
  for (const envelope::SiteTemperatures& site : t.sites) add_site(site, spec.shape.engine.n_cylinders, rows);
  add_oil(t.oil, rows);
  for (const std::string& text : t.extrapolated) rows.note("temperatures are extrapolated: " + text);
  for (const std::string& line : engine.assumptions()) rows.note(line);
  for (const std::string& line : envelope::cautions()) rows.note(line);
  std::stable_sort(result.quantities.begin(), result.quantities.end(), [](const auto& a, const auto& b) {
    return a.order < b.order;
  });
}

}  // namespace cowlwright::verbs
