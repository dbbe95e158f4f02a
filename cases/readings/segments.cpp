// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/readings/segments.h"

#include "cases/readings/screening.h"
#include "cases/readings/segment_reading.h"
#include "geometry/base/units.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>

namespace cowlwright::readings {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double least_share = 0.8;  // of a window's samples that a sensor must have
constexpr std::size_t fewest_samples = 10;

/// What a quantity that must be held has done so far.
struct Swing {
  double low = infinity;
  double high = -infinity;

  void add(double value) {
    if (std::isnan(value)) return;
    low = std::min(low, value);
    high = std::max(high, value);
  }
  double half() const { return 0.5 * (high - low); }
  double middle() const { return 0.5 * (high + low); }
};

struct Held {
  const Channel* channel;
  double bound;  ///< half swing, SI or a share of the middle
  std::string_view name;
  bool is_share = false;

  /// The bound itself is let pass.
  double excess(const Swing& swing) const {
    const double scale = is_share ? std::abs(swing.middle()) : 1.0;
    return swing.half() == 0.0 ? 0.0 : swing.half() / (bound * scale * (1.0 + 1e-9));
  }
};

std::vector<Held> held_quantities(const SteadySpec& steady, const FlightLog& log) {
  std::vector<Held> held;
  const auto add = [&](Kind kind, double bound, std::string_view name, bool is_share = false) {
    if (const Channel* channel = log.find(kind)) held.push_back({channel, bound, name, is_share});
  };
  for (const Kind kind : {Kind::TrueAirspeed, Kind::CalibratedAirspeed, Kind::IndicatedAirspeed}) {
    add(kind, steady.airspeed, "airspeed");
  }
  add(Kind::RotationalSpeed, steady.rotational_speed, "rotational speed");
  add(Kind::PressureAltitude, steady.altitude, "altitude");
  add(Kind::IndicatedAltitude, steady.altitude, "altitude");
  add(Kind::OutsideTemperature, steady.outside_temperature, "outside temperature");
  add(Kind::FuelFlow, steady.fuel_flow, "fuel flow", true);
  add(Kind::FuelVolumeFlow, steady.fuel_flow, "fuel flow", true);
  return held;
}

/// One look at a stretch of rows.
struct Look {
  bool is_steady = false;
  double excess = infinity;  ///< largest of what was found over its bound; below 1: steady
  std::string reason;        ///< what exceeded it
};

class Search {
 public:
  Search(const LogMap& map, const FlightLog& log)
      : map_(map), log_(log), held_(held_quantities(map.steady, log)) {}

  Segments run() {
    const std::vector<std::size_t> breaks = gaps(log_);
    std::size_t first = 0;
    for (std::size_t i = 0; i <= breaks.size(); ++i) {
      const std::size_t last = i < breaks.size() ? breaks[i] + 1 : log_.time.size();
      search_between(first, last);
      first = last;
    }
    note_outcome();
    return std::move(result_);
  }

 private:
  double duration(std::size_t first, std::size_t last) const {
    return log_.time[last - 1] - log_.time[first];
  }

  /// End of the shortest stretch from `first` that has the stated length; 0 when there is none.
  std::size_t window_end(std::size_t first, std::size_t limit) const {
    const auto at = std::lower_bound(log_.time.begin() + static_cast<std::ptrdiff_t>(first),
                                     log_.time.begin() + static_cast<std::ptrdiff_t>(limit),
                                     log_.time[first] + map_.steady.length);
    const auto row = static_cast<std::size_t>(at - log_.time.begin());
    return row < limit ? row + 1 : 0;
  }

  /// The next window's start: a twentieth of its length on.
  std::size_t hop(std::size_t first, std::size_t limit) const {
    std::size_t next = first + 1;
    while (next < limit && log_.time[next] - log_.time[first] < map_.steady.length / 20.0) ++next;
    return next;
  }

  void search_between(std::size_t begin, std::size_t limit) {
    for (std::size_t first = begin; first < limit;) {
      const std::size_t last = window_end(first, limit);
      if (last == 0) return;
      const Look seen = look(first, last);
      ++n_windows_;
      if (!seen.is_steady) {
        if (seen.excess < nearest_.excess) {
          nearest_ = seen;
          nearest_row_ = first;
        }
        first = hop(first, limit);
        continue;
      }
      first = grow(first, last, limit);
    }
  }

  /// Goes on while further windows are steady and the whole stays within the bounds. Returns where to search
  /// on.
  std::size_t grow(std::size_t first, std::size_t last, std::size_t limit) {
    std::vector<Swing> swings(held_.size());
    const auto take = [&](std::size_t from, std::size_t to, std::vector<Swing> so_far) {
      for (std::size_t h = 0; h < held_.size(); ++h) {
        for (std::size_t i = from; i < to; ++i) so_far[h].add(held_[h].channel->value[i]);
      }
      return so_far;
    };
    swings = take(first, last, swings);
    std::size_t start = first;
    while (true) {
      start = hop(start, limit);
      const std::size_t next = start < limit ? window_end(start, limit) : 0;
      if (next == 0 || duration(first, next) > map_.steady.longest || !look(start, next).is_steady) break;
      const std::vector<Swing> wider = take(last, next, swings);
      bool holds = true;
      for (std::size_t h = 0; h < held_.size(); ++h) holds = holds && held_[h].excess(wider[h]) < 1.0;
      if (!holds) break;
      swings = wider;
      last = next;
    }
    keep(look(first, last).is_steady ? first : settled_start(first, last), last);
    return last;
  }

  /// Start of the last window of a stretch.
  std::size_t settled_start(std::size_t first, std::size_t last) const {
    std::size_t start = last - 1;
    while (start > first && duration(start, last) < map_.steady.length) --start;
    return start;
  }

  void keep(std::size_t first, std::size_t last) {
    Segment segment = segment_of(map_, log_, first, last);
    const SegmentVerdict verdict = judge(segment);
    if (verdict == SegmentVerdict::Flight) {
      result_.found.push_back(std::move(segment));
    } else {
      ++n_left_out_.at(static_cast<std::size_t>(verdict));
    }
  }

  std::span<const double> part(const std::vector<double>& values, std::size_t first, std::size_t last) const {
    return std::span(values).subspan(first, last - first);
  }

  Look look(std::size_t first, std::size_t last) {
    const std::size_t n = last - first;
    if (n < fewest_samples) return {false, infinity, fmt::format("{} samples, too few", n)};
    Look worst{true, 0.0, {}};
    const auto judge_one = [&](double excess, auto&& reason) {
      if (excess > worst.excess || std::isnan(excess)) worst = {worst.is_steady, excess, reason()};
      worst.is_steady = worst.is_steady && excess < 1.0;
    };
    for (const Held& held : held_) {
      Swing swing;
      std::size_t n_values = 0;
      for (std::size_t i = first; i < last; ++i) {
        swing.add(held.channel->value[i]);
        n_values += std::isnan(held.channel->value[i]) ? 0 : 1;
      }
      if (static_cast<double>(n_values) < least_share * static_cast<double>(n)) {
        return {false, infinity, fmt::format("{} is missing", held.channel->spec.column)};
      }
      judge_one(held.excess(swing), [&] { return swing_text(held, swing); });
    }
    for (const Channel& channel : log_.channels) {
      if (!is_temperature_of_engine(channel.spec.kind)) continue;
      const Trend found = trend(part(log_.time, first, last), part(channel.value, first, last));
      if (static_cast<double>(found.n) < least_share * static_cast<double>(n)) continue;
      const double rate = map_.steady.temperature_rate;
      judge_one(std::max(std::abs(found.slope), 2.0 * found.slope_error) / rate,
                [&] { return slope_text(channel, found); });
    }
    return worst;
  }

  static std::string swing_text(const Held& held, const Swing& swing) {
    const KindFacts& known = facts(held.channel->spec.kind);
    if (held.is_share) {
      return fmt::format("{} swings by +-{:.3g} % (limit {:.3g})",
                         held.name,
                         100.0 * swing.half() / std::abs(swing.middle()),
                         100.0 * held.bound);
    }
    // A swing of temperatures is a difference.
    const bool is_temperature = known.dimension == base::Dimension::Temperature;
    const base::Dimension dimension =
        is_temperature ? base::Dimension::TemperatureDifference : known.dimension;
    return fmt::format("{} swings by +-{:.3g} {} (limit {:.3g})",
                       held.name,
                       base::in_unit(swing.half(), known.practical, dimension),
                       known.practical,
                       base::in_unit(held.bound, known.practical, dimension));
  }

  std::string slope_text(const Channel& channel, const Trend& found) const {
    const auto per_minute = [](double rate) {
      return base::in_unit(60.0 * rate, "degF", base::Dimension::TemperatureDifference);
    };
    return fmt::format("{} changes by {:.2f} +- {:.2f} degF a minute (limit {:.2f})",
                       channel.spec.column,
                       per_minute(found.slope),
                       per_minute(2.0 * found.slope_error),
                       per_minute(map_.steady.temperature_rate));
  }

  void note_outcome() {
    constexpr std::array<std::string_view, 4> reasons{"",
                                                      "on the ground (below 20 m/s, 39 kt)",
                                                      "with the engine at rest or its power not plausible",
                                                      "without a usable measurement"};
    for (std::size_t i = 1; i < reasons.size(); ++i) {
      if (n_left_out_[i] > 0) {
        result_.findings.push_back(fmt::format("{} steady {} {}: left out.",
                                               n_left_out_[i],
                                               n_left_out_[i] == 1 ? "stretch" : "stretches",
                                               reasons[i]));
      }
    }
    if (!result_.found.empty()) return;
    if (n_windows_ == 0) {
      result_.findings.push_back(
          fmt::format("no stretch without a gap is as long as {:.0f} s.", map_.steady.length));
    } else if (nearest_.excess < infinity) {
      result_.findings.push_back(
          fmt::format("nothing steady in flight; nearest to it came {:.0f} s from line {}: {}.",
                      map_.steady.length,
                      log_.line[nearest_row_],
                      nearest_.reason));
    }
  }

  const LogMap& map_;
  const FlightLog& log_;
  std::vector<Held> held_;
  Segments result_;
  Look nearest_;
  std::size_t nearest_row_ = 0;
  std::size_t n_windows_ = 0;
  std::array<std::size_t, 4> n_left_out_{};
};

double range_of(const std::vector<std::array<double, 3>>& points, std::size_t axis) {
  const auto [low, high] = std::minmax_element(
      points.begin(), points.end(), [axis](const auto& a, const auto& b) { return a[axis] < b[axis]; });
  return (*high)[axis] - (*low)[axis];
}

}  // namespace

Trend trend(std::span<const double> time, std::span<const double> value) {
  Trend result;
  double sum_t = 0.0;
  double sum = 0.0;
  for (std::size_t i = 0; i < value.size(); ++i) {
    if (std::isnan(value[i])) continue;
    ++result.n;
    sum_t += time[i] - time[0];
    sum += value[i];
  }
  result.slope_error = infinity;
  if (result.n == 0) return result;
  const auto n = static_cast<double>(result.n);
  const double middle = time[0] + sum_t / n;
  result.mean = sum / n;
  double tt = 0.0;
  double ty = 0.0;
  double yy = 0.0;
  for (std::size_t i = 0; i < value.size(); ++i) {
    if (std::isnan(value[i])) continue;
    const double t = time[i] - middle;
    const double y = value[i] - result.mean;
    tt += t * t;
    ty += t * y;
    yy += y * y;
  }
  if (result.n > 1) result.scatter = std::sqrt(yy / (n - 1.0));
  if (result.n < 3 || !(tt > 0.0)) return result;
  result.slope = ty / tt;
  result.slope_error = std::sqrt(std::max(0.0, yy - ty * ty / tt) / (n - 2.0) / tt);
  return result;
}

Segments steady_segments(const LogMap& map, const FlightLog& log) {
  return Search(map, log).run();
}

std::size_t choose_readings(Segments& segments) {
  constexpr std::size_t most = 9;
  std::vector<Segment>& found = segments.found;
  const std::size_t n = found.size();
  std::vector<std::array<double, 3>> points;
  for (const Segment& segment : found) {
    points.push_back({segment.reading.true_airspeed, segment.reading.shaft_power, segment.density_altitude});
  }
  std::vector<std::size_t> chosen;
  std::vector<double> distance(n, infinity);
  const auto longer = [](const Segment& a, const Segment& b) { return a.end - a.begin < b.end - b.begin; };
  std::size_t next =
      static_cast<std::size_t>(std::max_element(found.begin(), found.end(), longer) - found.begin());
  while (chosen.size() < std::min(most, n)) {
    chosen.push_back(next);
    for (std::size_t i = 0; i < n; ++i) {
      double squared = 0.0;
      for (std::size_t axis = 0; axis < 3; ++axis) {
        const double range = range_of(points, axis);
        if (range > 0.0) squared += std::pow((points[i][axis] - points[next][axis]) / range, 2);
      }
      distance[i] = std::min(distance[i], squared);
    }
    for (const std::size_t taken : chosen) distance[taken] = -1.0;
    next = static_cast<std::size_t>(std::max_element(distance.begin(), distance.end()) - distance.begin());
  }
  std::sort(chosen.begin(), chosen.end());
  for (std::size_t i = 0; i < chosen.size(); ++i)
    found[chosen[i]].reading.name = fmt::format("reading_{}", i + 1);
  return n;
}

}  // namespace cowlwright::readings
