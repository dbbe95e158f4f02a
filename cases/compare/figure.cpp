// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/compare/figure.h"

#include "cases/compare/wording.h"
#include "geometry/base/markup.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

namespace cowlwright::compare {
namespace {

constexpr std::size_t most_steps = 10;
constexpr double width = 1000.0, row_height = 44.0, top = 74.0, label_width = 430.0, right_margin = 180.0;
constexpr double bar_height = 20.0;

struct Step {
  std::string title;
  std::string words;
  double from = 0.0, to = 0.0;
  double band = 0.0;
  bool stands_out = false;
};

/// Cut at a letter, never inside one of several bytes.
std::string cut(const std::string& text, std::size_t most) {
  if (text.size() <= most) return text;
  std::size_t end = most - 3;
  while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) --end;
  return text.substr(0, end) + "...";
}

std::vector<Step> steps_of(const Comparison& comparison, std::size_t q) {
  std::vector<const Effect*> order;
  for (const Effect& effect : comparison.effects) order.push_back(&effect);
  std::stable_sort(order.begin(), order.end(), [&](const Effect* a, const Effect* b) {
    return std::abs(a->value[q]) > std::abs(b->value[q]);
  });
  std::vector<Step> steps;
  double at = comparison.good[q];
  double rest = 0.0, rest_squares = 0.0;
  for (std::size_t i = 0; i < order.size(); ++i) {
    const Effect& effect = *order[i];
    if (i >= most_steps) {
      rest += effect.value[q];
      rest_squares += effect.band[q] * effect.band[q];
      continue;
    }
    steps.push_back({effect.label,
                     effect.mine + ", was " + effect.good,
                     at,
                     at + effect.value[q],
                     effect.band[q],
                     effect.stands_out(q)});
    at += effect.value[q];
  }
  if (order.size() > most_steps) {
    const double band = std::sqrt(rest_squares);
    steps.push_back({fmt::format("{} others", order.size() - most_steps),
                     "",
                     at,
                     at + rest,
                     band,
                     std::abs(rest) > band});
  }
  return steps;
}

/// 1, 2 or 5 times a power of ten, some six to an axis.
double tick_step(double span) {
  const double rough = span / 6.0;
  const double power = std::pow(10.0, std::floor(std::log10(rough)));
  for (const double factor : {1.0, 2.0, 5.0}) {
    if (rough <= factor * power) return factor * power;
  }
  return 10.0 * power;
}

class Axis {
 public:
  Axis(double low, double high) {
    const double margin = high > low ? 0.06 * (high - low) : std::max(1e-6, 0.05 * std::abs(low));
    low_ = low - margin;
    high_ = high + margin;
  }
  double x(double value) const {
    return label_width + (value - low_) / (high_ - low_) * (width - label_width - right_margin);
  }
  double low() const { return low_; }
  double high() const { return high_; }

 private:
  double low_ = 0.0, high_ = 1.0;
};

std::string text(
    double x, double y, const std::string& anchor, const std::string& style, const std::string& words) {
  return fmt::format("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"{}\" {}>{}</text>\n",
                     x,
                     y,
                     anchor,
                     style,
                     base::xml_escaped(words));
}

std::string axis_svg(const Axis& axis, const Quantity& of, double bottom) {
  std::string svg;
  const double unit = base::in_unit(1.0, of.unit, of.change_dimension);
  const double shift = base::in_unit(0.0, of.unit, of.dimension);  // degC: -273.15
  const double low = axis.low() * unit + shift, high = axis.high() * unit + shift;
  const double step = tick_step(high - low);
  for (double tick = std::ceil(low / step) * step; tick <= high; tick += step) {
    const double x = axis.x((tick - shift) / unit);
    svg += fmt::format(
        "<line x1=\"{0:.1f}\" y1=\"{1:.1f}\" x2=\"{0:.1f}\" y2=\"{2:.1f}\" stroke=\"#d9d9d9\"/>\n",
        x,
        top - 8.0,
        bottom);
    svg += text(x,
                bottom + 18.0,
                "middle",
                "font-size=\"12\" fill=\"#444\"",
                fmt::format("{:.6g}", std::abs(tick) < 1e-9 * step ? 0.0 : tick));
  }
  return svg + text(0.5 * (axis.x(axis.low()) + axis.x(axis.high())),
                    bottom + 38.0,
                    "middle",
                    "font-size=\"13\" fill=\"#222\"",
                    fmt::format("{} [{}]", of.name, of.unit));
}

std::string end_svg(const Axis& axis, double y, const std::string& name, double value, const Quantity& of) {
  const double x = axis.x(value);
  return text(label_width - 14.0,
              y + 5.0,
              "end",
              "font-size=\"14\" font-weight=\"bold\" fill=\"#111\"",
              name) +
         fmt::format("<circle cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"6\" fill=\"#111\"/>\n", x, y) +
         text(width - right_margin + 12.0,
              y + 5.0,
              "start",
              "font-size=\"13\" font-weight=\"bold\" fill=\"#111\"",
              value_text(of, value));
}

std::string step_svg(const Axis& axis, double y, const Step& step, const Quantity& of) {
  const double x1 = axis.x(std::min(step.from, step.to)), x2 = axis.x(std::max(step.from, step.to));
  const bool is_worse = (step.to < step.from) == of.more_is_better;
  const std::string colour = is_worse ? "#b3441e" : "#1f6f8b";
  const std::string fill =
      step.stands_out
          ? fmt::format("fill=\"{}\"", colour)
          : fmt::format("fill=\"{0}\" fill-opacity=\"0.25\" stroke=\"{0}\" stroke-dasharray=\"3 2\"", colour);
  std::string svg =
      text(label_width - 14.0, y - 2.0, "end", "font-size=\"13\" fill=\"#111\"", cut(step.title, 54));
  svg += text(label_width - 14.0, y + 13.0, "end", "font-size=\"11\" fill=\"#555\"", cut(step.words, 66));
  svg += fmt::format("<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" {}/>\n",
                     x1,
                     y - 0.5 * bar_height,
                     std::max(1.5, x2 - x1),
                     bar_height,
                     fill);
  if (std::isfinite(step.band) && step.band > 0.0) {
    const double low = axis.x(step.to - step.band), high = axis.x(step.to + step.band);
    svg += fmt::format(
        "<path d=\"M{0:.1f} {2:.1f}H{1:.1f}M{0:.1f} {3:.1f}V{4:.1f}M{1:.1f} {3:.1f}V{4:.1f}\" "
        "stroke=\"#111\" fill=\"none\"/>\n",
        low,
        high,
        y,
        y - 5.0,
        y + 5.0);
  }
  const double x = axis.x(step.to);
  svg += fmt::format("<line x1=\"{0:.1f}\" y1=\"{1:.1f}\" x2=\"{0:.1f}\" y2=\"{2:.1f}\" stroke=\"#777\"/>\n",
                     x,
                     y + 0.5 * bar_height,
                     y + row_height - 0.5 * bar_height);
  return svg + text(width - right_margin + 12.0,
                    y + 5.0,
                    "start",
                    "font-size=\"13\" fill=\"#111\"",
                    fmt::format("{} ± {}",
                                change_text(of, step.to - step.from)
                                    .substr(0, change_text(of, step.to - step.from).find(" (")),
                                width_text(of, step.band)));
}

Axis axis_of(const Comparison& comparison, const std::vector<Step>& steps, std::size_t q) {
  double low = std::min(comparison.good[q], comparison.mine[q]);
  double high = std::max(comparison.good[q], comparison.mine[q]);
  for (const Step& step : steps) {
    const double band = std::isfinite(step.band) ? step.band : 0.0;
    low = std::min({low, step.from, step.to - band});
    high = std::max({high, step.from, step.to + band});
  }
  return {low, high};
}

}  // namespace

std::string waterfall_svg(const Comparison& comparison, std::size_t quantity) {
  const Quantity& of = comparison.quantities[quantity];
  const std::vector<Step> steps = steps_of(comparison, quantity);
  const Axis axis = axis_of(comparison, steps, quantity);
  const double bottom = top + row_height * static_cast<double>(steps.size() + 2) - 10.0;
  std::string svg = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {0:.0f} {1:.0f}\" width=\"{0:.0f}\" "
      "height=\"{1:.0f}\" "
      "font-family=\"sans-serif\" role=\"img\">\n<title>From the good installation to yours: {2}</title>\n"
      "<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n",
      width,
      bottom + 78.0,
      base::xml_escaped(of.name));
  svg += text(16.0,
              26.0,
              "start",
              "font-size=\"17\" font-weight=\"bold\" fill=\"#111\"",
              "From the good installation to yours: " + of.name);
  svg += text(16.0,
              46.0,
              "start",
              "font-size=\"12\" fill=\"#444\"",
              "Shares of a quick estimate (Shapley values). Whiskers: bands of its coefficients. Pale: less "
              "than its band.");
  svg += axis_svg(axis, of, bottom);
  double y = top + 14.0;
  svg += end_svg(axis, y, "good", comparison.good[quantity], of);
  for (const Step& step : steps) svg += step_svg(axis, y += row_height, step, of);
  svg += end_svg(axis, y + row_height, "yours", comparison.mine[quantity], of);
  svg += text(16.0,
              bottom + 66.0,
              "start",
              "font-size=\"12\" fill=\"#444\"",
              "An estimate, not an approval: instrument and flight-test; licensed people decide.");
  return svg + "</svg>\n";
}

}  // namespace cowlwright::compare
