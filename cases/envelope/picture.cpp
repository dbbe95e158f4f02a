// SPDX-License-Identifier: GPL-3.0-or-later
//
// The envelope as a drawing: a panel for each day and power, the margin in steps over speed and altitude.
#include "cases/envelope/contour.h"
#include "cases/envelope/grid.h"
#include "geometry/base/markup.h"
#include "geometry/base/units.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::envelope {

namespace {

using base::Dimension;

// Lengths of the drawing [px].
constexpr double panel_width = 380.0;
constexpr double panel_height = 270.0;
constexpr double left = 70.0;
constexpr double right = 66.0;
constexpr double top = 62.0;
constexpr double bottom = 62.0;
constexpr double head = 78.0;
constexpr double foot = 190.0;
constexpr std::size_t most_labelled = 9;  // more points a side and their numbers would touch

// Red below nothing, blue above, darker farther away; told apart by an eye without green cones too.
constexpr std::array<std::string_view, 4> beyond{"#fcbba1", "#fb6a4a", "#cb181d", "#67000d"};
constexpr std::array<std::string_view, 4> within{"#deebf7", "#9ecae1", "#4292c6", "#084594"};

struct Steps {
  double size = 20.0;  // K
};

Steps steps_for(const Envelope& e) {
  double largest = 0.0;
  for (const Point& p : e.points) {
    if (const ShownTemperature* s = p.tightest()) largest = std::max(largest, std::abs(drawn(*s->margin)));
  }
  for (const double size : {5.0, 10.0, 20.0, 25.0}) {
    if (size * 4.0 >= largest) return {size};
  }
  return {40.0};
}

std::string label(double x,
                  double y,
                  const std::string& text,
                  std::string_view anchor,
                  double size,
                  std::string_view more = "") {
  return fmt::format(
      "<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"{}\" font-size=\"{:.0f}\"{}{}>{}</text>\n",
      x,
      y,
      anchor,
      size,
      more.empty() ? "" : " ",
      more,
      base::xml_escaped(text));
}

std::string polygon(const std::vector<Node>& corners, std::string_view style) {
  std::string points;
  for (const Node& n : corners) points += fmt::format("{:.2f},{:.2f} ", n.x, n.y);
  return fmt::format("<polygon points=\"{}\" {}/>\n", points, style);
}

/// One panel with its axes.
class Panel {
 public:
  Panel(const Envelope& e, std::size_t day, std::size_t power, double x, double y, Steps steps)
      : e_(e), day_(day), power_(power), x_(x), y_(y), steps_(steps) {}

  std::string text() const { return frame() + cells() + lines() + numbers() + axes(); }

 private:
  double to_x(double speed) const {
    const auto& s = e_.spec.airspeeds;
    return x_ + panel_width * (speed - s.front()) / (s.back() - s.front());
  }
  double to_y(double altitude) const {
    const auto& a = e_.spec.altitudes;
    return y_ + panel_height * (1.0 - (altitude - a.front()) / (a.back() - a.front()));
  }
  const Point& at(std::size_t speed, std::size_t altitude) const {
    return e_.at(speed, altitude, day_, power_);
  }

  struct Cell {
    std::array<const Point*, 4> points;
    std::array<Node, 4> corners;
    bool has(bool (*test)(const Point&)) const {
      return std::any_of(points.begin(), points.end(), [test](const Point* p) { return test(*p); });
    }
  };

  std::vector<Cell> all_cells() const {
    std::vector<Cell> found;
    for (std::size_t a = 0; a + 1 < e_.spec.altitudes.size(); ++a) {
      for (std::size_t s = 0; s + 1 < e_.spec.airspeeds.size(); ++s) {
        Cell cell;
        cell.points = {&at(s, a), &at(s + 1, a), &at(s + 1, a + 1), &at(s, a + 1)};
        for (std::size_t i = 0; i < 4; ++i) {
          const Point& p = *cell.points[i];
          const ShownTemperature* shown = p.tightest();
          cell.corners[i] = {to_x(e_.spec.airspeeds[p.speed]),
                             to_y(e_.spec.altitudes[p.altitude]),
                             shown != nullptr ? drawn(*shown->margin) : 0.0};
        }
        found.push_back(cell);
      }
    }
    return found;
  }

  static bool has_no_margin(const Point& p) { return p.tightest() == nullptr; }
  static bool is_extrapolated(const Point& p) { return !p.extrapolated.empty(); }
  static bool is_stalled(const Point& p) { return p.is_below_stall; }

  std::string frame() const {
    const temperature::PowerSetting& power = e_.spec.powers[power_];
    return label(x_,
                 y_ - 40.0,
                 fmt::format("{}: {:.4g} kW ({:.0f} hp), {:.0f} rpm — {}",
                             power.name,
                             base::in_unit(power.shaft_power, "kW", Dimension::Power),
                             base::in_unit(power.shaft_power, "hp", Dimension::Power),
                             base::in_unit(power.rotational_speed, "rpm", Dimension::RotationalSpeed),
                             e_.spec.days[day_].name),
                 "start",
                 14.0,
                 "font-weight=\"bold\"") +
           fmt::format(
               "<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" fill=\"#e8e8e8\"/>\n",
               x_,
               y_,
               panel_width,
               panel_height);
  }

  std::string cells() const {
    std::string text;
    for (const Cell& cell : all_cells()) {
      if (cell.has(has_no_margin)) continue;
      for (const Triangle& triangle : triangles(cell.corners)) {
        for (int step = -4; step < 4; ++step) {
          const double low = step == -4 ? -1e9 : step * steps_.size;
          const double high = step == 3 ? 1e9 : (step + 1) * steps_.size;
          const std::vector<Node> part = part_between(triangle, low, high);
          if (part.empty()) continue;
          const std::string_view colour =
              step < 0 ? beyond[static_cast<std::size_t>(-step - 1)] : within[static_cast<std::size_t>(step)];
          text += polygon(part, fmt::format("fill=\"{0}\" stroke=\"{0}\" stroke-width=\"0.6\"", colour));
        }
      }
    }
    for (const Cell& cell : all_cells()) {
      const std::vector<Node> whole(cell.corners.begin(), cell.corners.end());
      if (cell.has(is_stalled)) {
        text += polygon(whole, "fill=\"#ffffff\" fill-opacity=\"0.75\"");
      } else if (!cell.has(has_no_margin) && cell.has(is_extrapolated)) {
        text += polygon(whole, "fill=\"url(#hatch)\"");
      }
    }
    return text;
  }

  std::string lines() const {
    std::string text;
    for (const Cell& cell : all_cells()) {
      if (cell.has(has_no_margin)) continue;
      std::array<Node, 4> low = cell.corners;
      for (std::size_t i = 0; i < 4; ++i) low[i].value = cell.points[i]->tightest()->margin->low;
      text += line(cell.corners, "stroke=\"#000000\" stroke-width=\"3\" stroke-linecap=\"round\"");
      if (e_.has_values)
        text += line(low, "stroke=\"#000000\" stroke-width=\"1.6\" stroke-dasharray=\"5 4\"");
    }
    return text;
  }

  static std::string line(const std::array<Node, 4>& corners, std::string_view style) {
    std::string text;
    for (const Triangle& triangle : triangles(corners)) {
      const std::vector<Node> ends = line_at(triangle, 0.0);
      if (ends.size() != 2) continue;
      text += fmt::format("<line x1=\"{:.2f}\" y1=\"{:.2f}\" x2=\"{:.2f}\" y2=\"{:.2f}\" {}/>\n",
                          ends[0].x,
                          ends[0].y,
                          ends[1].x,
                          ends[1].y,
                          style);
    }
    return text;
  }

  std::string numbers() const {
    const std::size_t n_speeds = e_.spec.airspeeds.size();
    const std::size_t n_altitudes = e_.spec.altitudes.size();
    std::string text;
    if (std::max(n_speeds, n_altitudes) > most_labelled) return text;
    for (std::size_t a = 0; a < n_altitudes; ++a) {
      for (std::size_t s = 0; s < n_speeds; ++s) {
        const Point& p = at(s, a);
        const ShownTemperature* shown = p.tightest();
        const std::string word = p.is_below_stall     ? "stall"
                                 : !p.trouble.empty() ? "no answer"
                                 : shown == nullptr   ? "no margin"
                                                      : fmt::format("{:.0f}", drawn(*shown->margin));
        const std::string_view anchor = s == 0 ? "start" : s + 1 == n_speeds ? "end" : "middle";
        const double x = to_x(e_.spec.airspeeds[s]) + (s == 0 ? 4.0 : s + 1 == n_speeds ? -4.0 : 0.0);
        const double y = to_y(e_.spec.altitudes[a]) + (a + 1 == n_altitudes ? 14.0 : a == 0 ? -5.0 : 4.0);
        text +=
            label(x, y, word, anchor, 12.0, "paint-order=\"stroke\" stroke=\"#ffffff\" stroke-width=\"3\"");
      }
    }
    return text;
  }

  std::string axes() const {
    std::string text = fmt::format(
        "<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" fill=\"none\" "
        "stroke=\"#333333\"/>\n",
        x_,
        y_,
        panel_width,
        panel_height);
    const auto& speeds = e_.spec.airspeeds;
    const std::size_t skip = 1 + (speeds.size() - 1) / 8;
    for (std::size_t s = 0; s < speeds.size(); s += skip) {
      const double x = to_x(speeds[s]);
      text += label(x,
                    y_ + panel_height + 16.0,
                    fmt::format("{:.0f}", base::in_unit(speeds[s], "kt", Dimension::Speed)),
                    "middle",
                    12.0);
      text += label(x,
                    y_ - 6.0,
                    fmt::format("{:.0f}", base::in_unit(speeds[s], "mph", Dimension::Speed)),
                    "middle",
                    11.0,
                    "fill=\"#555555\"");
    }
    const auto& altitudes = e_.spec.altitudes;
    const std::size_t leap = 1 + (altitudes.size() - 1) / 10;
    for (std::size_t a = 0; a < altitudes.size(); a += leap) {
      const double y = to_y(altitudes[a]) + 4.0;
      text += label(x_ - 6.0,
                    y,
                    fmt::format("{:.0f}", base::in_unit(altitudes[a], "ft", Dimension::Length)),
                    "end",
                    12.0);
      text += label(
          x_ + panel_width + 6.0, y, fmt::format("{:.0f}", altitudes[a]), "start", 11.0, "fill=\"#555555\"");
    }
    const std::string kind = e_.spec.speeds_are_calibrated ? "calibrated" : "true";
    text += label(x_ + 0.5 * panel_width, y_ + panel_height + 34.0, kind + " airspeed [kt]", "middle", 12.0);
    text += label(x_ + 0.5 * panel_width, y_ - 21.0, "[mph]", "middle", 11.0, "fill=\"#555555\"");
    const auto upright = [&](double x, const std::string& words, double size, std::string_view more) {
      const double y = y_ + 0.5 * panel_height;
      return label(
          x, y, words, "middle", size, fmt::format("transform=\"rotate(-90 {:.1f} {:.1f})\"{}", x, y, more));
    };
    return text + upright(x_ - 52.0, "pressure altitude [ft]", 12.0, "") +
           upright(x_ + panel_width + 52.0, "[m]", 11.0, " fill=\"#555555\"");
  }

  const Envelope& e_;
  std::size_t day_, power_;
  double x_, y_;
  Steps steps_;
};

/// Words broken into lines of at most this many letters.
std::vector<std::string> wrapped(const std::string& text, std::size_t width) {
  std::vector<std::string> lines(1);
  std::size_t begin = 0;
  while (begin < text.size()) {
    const std::size_t end = std::min(text.find(' ', begin), text.size());
    const std::string word = text.substr(begin, end - begin);
    if (!lines.back().empty() && lines.back().size() + 1 + word.size() > width) lines.emplace_back();
    lines.back() += (lines.back().empty() ? "" : " ") + word;
    begin = end + 1;
  }
  return lines;
}

std::string legend(const Envelope& e, Steps steps, double x, double y) {
  std::string text =
      label(x,
            y,
            e.has_values
                ? "Smallest margin to a limit [K]  (degF difference below)"
                : "Margin at the hot end of the band [K]  (degF difference below): no reading, so no number",
            "start",
            12.0,
            "font-weight=\"bold\"");
  constexpr double box = 46.0;
  for (int step = -4; step < 4; ++step) {
    const double at = x + box * (step + 4);
    const std::string_view colour =
        step < 0 ? beyond[static_cast<std::size_t>(-step - 1)] : within[static_cast<std::size_t>(step)];
    text += fmt::format(
        "<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"14\" fill=\"{}\" stroke=\"#333333\" "
        "stroke-width=\"0.5\"/>\n",
        at,
        y + 8.0,
        box,
        colour);
    if (step == -4) continue;
    text += label(at, y + 36.0, fmt::format("{:.0f}", step * steps.size), "middle", 11.0);
    text += label(
        at, y + 49.0, fmt::format("{:.0f}", 1.8 * step * steps.size), "middle", 10.0, "fill=\"#555555\"");
  }
  const double key = x + 8.0 * box + 30.0;
  const auto sample = [&](double row, const std::string& mark, const std::string& words) {
    text += mark + label(key + 34.0, y + row + 4.0, words, "start", 12.0);
  };
  sample(2.0,
         fmt::format("<line x1=\"{0:.1f}\" y1=\"{2:.1f}\" x2=\"{1:.1f}\" y2=\"{2:.1f}\" stroke=\"#000\" "
                     "stroke-width=\"3\"/>",
                     key,
                     key + 26.0,
                     y + 2.0),
         "no margin left");
  if (e.has_values) {
    sample(20.0,
           fmt::format("<line x1=\"{0:.1f}\" y1=\"{2:.1f}\" x2=\"{1:.1f}\" y2=\"{2:.1f}\" stroke=\"#000\" "
                       "stroke-width=\"1.6\" stroke-dasharray=\"5 4\"/>",
                       key,
                       key + 26.0,
                       y + 20.0),
           "none left at the hot end of the band");
  }
  sample(
      38.0,
      fmt::format(
          "<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"26\" height=\"13\" fill=\"url(#hatch)\" stroke=\"#333\" "
          "stroke-width=\"0.5\"/>",
          key,
          y + 31.0),
      e.n_readings > 0 ? "extrapolated beyond the readings" : "extrapolated (there is no reading)");
  return text;
}

}  // namespace

std::string envelope_svg(const Envelope& e) {
  const bool has_margin =
      std::any_of(e.points.begin(), e.points.end(), [](const Point& p) { return p.tightest() != nullptr; });
  if (!has_margin || e.spec.airspeeds.size() < 2 || e.spec.altitudes.size() < 2) return {};
  const double column = left + panel_width + right;
  const double row = top + panel_height + bottom;
  const double width = std::max(column * static_cast<double>(e.spec.days.size()), 2.0 * column);
  const double below = head + row * static_cast<double>(e.spec.powers.size());
  const std::size_t letters = static_cast<std::size_t>((width - 2.0 * 24.0) / 6.4);
  std::vector<std::string> words;
  for (const std::string& line : wrapped(e.worst_in_words(), letters)) words.push_back(line);
  for (const std::string& caution : cautions()) {
    for (const std::string& line : wrapped(caution, letters)) words.push_back(line);
  }
  const double height = below + foot - 70.0 + 17.0 * static_cast<double>(words.size());
  const Steps steps = steps_for(e);
  std::string text = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0:.0f}\" height=\"{1:.0f}\" viewBox=\"0 0 {0:.0f} "
      "{1:.0f}\" "
      "font-family=\"sans-serif\">\n<defs><pattern id=\"hatch\" width=\"7\" height=\"7\" "
      "patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><line x1=\"0\" y1=\"0\" x2=\"0\" "
      "y2=\"7\" "
      "stroke=\"#333333\" stroke-opacity=\"0.6\" stroke-width=\"1\"/><line x1=\"1.2\" y1=\"0\" x2=\"1.2\" "
      "y2=\"7\" stroke=\"#ffffff\" stroke-opacity=\"0.6\" stroke-width=\"1\"/></pattern></defs>\n"
      "<rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n",
      width,
      height);
  text += label(24.0,
                34.0,
                fmt::format("Margin over speed and altitude: {}", e.study),
                "start",
                20.0,
                "font-weight=\"bold\"");
  text += label(24.0,
                56.0,
                fmt::format("Variant {}. An estimate, not an approval. Numbers at the points: K.{}",
                            e.variant,
                            e.has_values ? "" : " No reading: low end of a band that rests on assumptions."),
                "start",
                13.0);
  for (std::size_t power = 0; power < e.spec.powers.size(); ++power) {
    for (std::size_t day = 0; day < e.spec.days.size(); ++day) {
      text += Panel(e,
                    day,
                    power,
                    left + column * static_cast<double>(day),
                    head + top + row * static_cast<double>(power),
                    steps)
                  .text();
    }
  }
  text += legend(e, steps, 24.0, below + 24.0);
  double y = below + 104.0;
  for (std::size_t i = 0; i < words.size(); ++i, y += 17.0) text += label(24.0, y, words[i], "start", 12.0);
  return text + "</svg>\n";
}

}  // namespace cowlwright::envelope
