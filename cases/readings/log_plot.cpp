// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/readings/log_plot.h"

#include "cases/readings/log_report.h"
#include "cases/readings/screening.h"
#include "geometry/base/markup.h"
#include "geometry/base/units.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace cowlwright::readings {

namespace {

constexpr double left = 70.0;
constexpr double right = 170.0;  // for the legend
constexpr double width = 900.0;  // of a panel
constexpr double height = 130.0;
constexpr double panel_gap = 22.0;
constexpr double top = 64.0;
constexpr int n_columns = 900;  // of pixels: what is between is drawn as its lowest and highest value

// Okabe and Ito's colours, told apart also by eyes without green cones; black last.
constexpr std::array<std::string_view, 8> colours{
    "#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00", "#56B4E9", "#8C6D00", "#000000"};

struct Group {
  std::string_view title;
  std::vector<Kind> kinds;
};

std::vector<Group> groups() {
  return {
      {"heads", {Kind::HeadBottom, Kind::UnderPlug}},
      {"barrels", {Kind::Barrel}},
      {"oil", {Kind::OilHot, Kind::OilCooled}},
      {"outside air", {Kind::OutsideTemperature}},
      {"airspeed", {Kind::TrueAirspeed, Kind::CalibratedAirspeed, Kind::IndicatedAirspeed}},
      {"altitude", {Kind::PressureAltitude, Kind::IndicatedAltitude}},
      {"rotational speed", {Kind::RotationalSpeed}},
      {"fuel flow", {Kind::FuelFlow}},
      {"fuel flow", {Kind::FuelVolumeFlow}},
      {"manifold pressure", {Kind::ManifoldPressure}},
      {"deck pressures", {Kind::UpperDeckPressure, Kind::LowerDeckPressure, Kind::DeckPressureDifference}},
      {"deck difference as airspeed", {Kind::DeckDifferenceAsAirspeed}}};
}

/// A round step that parts a range into about n.
double round_step(double range, int n) {
  const double rough = range / n;
  const double power = std::pow(10.0, std::floor(std::log10(rough)));
  for (const double factor : {1.0, 2.0, 5.0}) {
    if (factor * power >= rough) return factor * power;
  }
  return 10.0 * power;
}

/// The same for seconds: whole seconds, minutes, hours.
double round_time_step(double range, int n) {
  for (const double step :
       {1.0, 2.0, 5.0, 10.0, 20.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1200.0, 1800.0, 3600.0, 7200.0}) {
    if (range / step <= n) return step;
  }
  return 3600.0 * round_step(range / 3600.0, n);
}

class Panel {
 public:
  Panel(const LogMap& map, const FlightLog& log, std::vector<const Channel*> channels, double y)
      : map_(map),
        log_(log),
        breaks_(gaps(log)),
        channels_(std::move(channels)),
        y_(y),
        unit_(channels_.front()->spec.unit) {
    low_ = std::numeric_limits<double>::infinity();
    high_ = -low_;
    for (const Channel* channel : channels_) {
      for (const double value : channel->value) {
        if (std::isnan(value)) continue;
        low_ = std::min(low_, shown(*channel, value));
        high_ = std::max(high_, shown(*channel, value));
      }
    }
    if (!(high_ >= low_)) {
      low_ = 0.0;
      high_ = 1.0;
    }
    const double room = std::max(0.05 * (high_ - low_), 1e-3 * std::max(1.0, std::abs(high_)));
    low_ -= room;
    high_ += room;
  }

  double x(double time) const {
    return left + width * (time - log_.time.front()) / (log_.time.back() - log_.time.front());
  }

  std::string draw(std::string_view title) const {
    std::string text = fmt::format(
        "<rect x='{}' y='{:.1f}' width='{}' height='{}' fill='none' stroke='#888'/>\n<text x='{}' y='{:.1f}' "
        "font-weight='bold'>{} [{}]</text>\n",
        left,
        y_,
        width,
        height,
        left,
        y_ - 5.0,
        title,
        base::xml_escaped(unit_));
    const double step = round_step(high_ - low_, 4);
    for (double tick = std::ceil(low_ / step) * step; tick <= high_; tick += step) {
      const double at = y(tick);
      text += fmt::format(
          "<path d='M{} {:.1f}H{}' stroke='#ddd'/><text x='{}' y='{:.1f}' text-anchor='end'>{:g}</text>\n",
          left,
          at,
          left + width,
          left - 6.0,
          at + 4.0,
          std::abs(tick) < 1e-9 * step ? 0.0 : tick);
    }
    for (std::size_t i = 0; i < channels_.size(); ++i) text += line(*channels_[i], i);
    return text;
  }

 private:
  double shown(const Channel& channel, double value) const {
    return base::in_unit(value, unit_, facts(channel.spec.kind).dimension);
  }
  std::string name_of(const ColumnSpec& spec) const {
    const std::string cylinder = cylinder_text(map_, spec.cylinder);
    return cylinder.empty() ? spec.column : fmt::format("{} ({})", spec.column, cylinder);
  }
  double y(double value) const { return y_ + height * (1.0 - (value - low_) / (high_ - low_)); }

  std::string line(const Channel& channel, std::size_t number) const {
    const std::string_view colour = colours[number % colours.size()];
    std::string path;
    bool pen_is_down = false;
    const std::size_t n = log_.time.size();
    for (std::size_t i = 0; i < n;) {
      const auto column = static_cast<int>(x(log_.time[i]) * n_columns / width);
      double low = std::numeric_limits<double>::infinity();
      double high = -low;
      const std::size_t first = i;
      const bool is_behind_a_gap = std::binary_search(breaks_.begin(), breaks_.end(), first - 1);
      if (first > 0 && is_behind_a_gap) pen_is_down = false;
      for (; i < n && (i == first || static_cast<int>(x(log_.time[i]) * n_columns / width) == column); ++i) {
        if (std::isnan(channel.value[i])) continue;
        low = std::min(low, shown(channel, channel.value[i]));
        high = std::max(high, shown(channel, channel.value[i]));
      }
      if (high < low) {
        pen_is_down = false;
        continue;
      }
      path += fmt::format("{}{:.1f} {:.1f}", pen_is_down ? 'L' : 'M', x(log_.time[first]), y(low));
      if (y(low) - y(high) > 0.3) path += fmt::format("V{:.1f}", y(high));
      pen_is_down = true;
    }
    std::string text =
        fmt::format("<path d='{}' fill='none' stroke='{}' stroke-width='1.3'/>\n", path, colour);
    const double at = y_ + 12.0 + 15.0 * static_cast<double>(number);
    text += fmt::format(
        "<path d='M{0} {1:.1f}h16' stroke='{2}' stroke-width='2.5'/><text x='{3}' y='{4:.1f}'>{5}</text>\n",
        left + width + 12.0,
        at - 4.0,
        colour,
        left + width + 33.0,
        at,
        base::xml_escaped(name_of(channel.spec)));
    return text;
  }

  const LogMap& map_;
  const FlightLog& log_;
  std::vector<std::size_t> breaks_;  ///< rows before a gap, rising
  std::vector<const Channel*> channels_;
  double y_;
  std::string unit_;
  double low_ = 0.0;
  double high_ = 1.0;
};

double x_of(const FlightLog& log, double time) {
  return left + width * (time - log.time.front()) / (log.time.back() - log.time.front());
}

std::string shades(const FlightLog& log, const Segments& segments, double bottom) {
  std::string text;
  int number = 0;
  for (const Segment& segment : segments.found) {
    const double from = x_of(log, segment.begin);
    const double to = x_of(log, segment.end);
    const bool is_kept = !segment.reading.name.empty();
    text += fmt::format(
        "<rect x='{:.1f}' y='{}' width='{:.1f}' height='{:.1f}' fill='{}'/><text x='{:.1f}' y='{}' "
        "text-anchor='middle' font-weight='bold'>{}</text>\n",
        from,
        top - 22.0,
        std::max(to - from, 1.0),
        bottom - top + 22.0,
        is_kept ? "#cfe8cf" : "#e8e8e8",
        0.5 * (from + to),
        top - 27.0,
        ++number);
  }
  return text;
}

std::string time_axis(const FlightLog& log, double bottom) {
  std::string text;
  const double begin = log.time.front();
  const double end = log.time.back();
  const double step = round_time_step(end - begin, 8);
  for (double tick = std::ceil(begin / step) * step; tick <= end; tick += step) {
    text += fmt::format(
        "<path d='M{0:.1f} {1:.1f}v5' stroke='#888'/><text x='{0:.1f}' y='{2:.1f}' "
        "text-anchor='middle'>{3}</text>\n",
        x_of(log, tick),
        bottom,
        bottom + 18.0,
        time_text(log, tick));
  }
  return text;
}

}  // namespace

std::string log_svg(const LogMap& map, const FlightLog& log, const Segments& segments) {
  std::vector<std::pair<std::string_view, std::vector<const Channel*>>> panels;
  for (const Group& group : groups()) {
    std::vector<const Channel*> channels;
    for (const Channel& channel : log.channels) {
      if (std::find(group.kinds.begin(), group.kinds.end(), channel.spec.kind) != group.kinds.end()) {
        channels.push_back(&channel);
      }
    }
    if (!channels.empty()) panels.emplace_back(group.title, channels);
  }
  const double bottom = top + static_cast<double>(panels.size()) * (height + panel_gap) - panel_gap;
  std::string text = fmt::format(
      "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 {0} {1:.0f}' width='{0}' height='{1:.0f}' "
      "font-family='sans-serif' font-size='12'>\n<rect width='100%' height='100%' fill='white'/>\n<text "
      "x='{2}' y='18' "
      "font-size='14'>{3}</text>\n",
      left + width + right,
      bottom + 30.0,
      left,
      base::xml_escaped(map.name));
  text += shades(log, segments, bottom);
  double y = top;
  for (const auto& [title, channels] : panels) {
    text += Panel(map, log, channels, y).draw(title);
    y += height + panel_gap;
  }
  return text + time_axis(log, bottom) + "</svg>\n";
}

}  // namespace cowlwright::readings
