// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/templates/drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace cowlwright::templates {

namespace {

constexpr double pitch = 0.100;         // of ticks on datum lines [m]
constexpr double half_tick = 0.004;     // [m]
constexpr double overhang = 0.010;      // of datum lines past the outline [m]
constexpr double mark_height = 0.0035;  // of the words beside a tick [m]
constexpr double letter_width = 0.9;    // of a letter over the height of capitals, at most on average
const std::string mark_layer = "MARKS";

void add_line(Drawing& drawing, const Point2& from, const Point2& to) {
  drawing.strokes.push_back({mark_layer, Line::Mark, {{from, to}, false}});
}

/// Multiples of the pitch inside a range; the datum is 0 where it is inside, else the first of them.
std::vector<double> tick_values(double low, double high) {
  std::vector<double> values;
  for (double k = std::ceil(low / pitch); k * pitch <= high; k += 1.0) values.push_back(k * pitch);
  return values;
}

double datum_of(const std::vector<double>& values) {
  return *std::min_element(
      values.begin(), values.end(), [](double a, double b) { return std::abs(a) < std::abs(b); });
}

std::string in_mm(double value) {
  return fmt::format("{:g}", std::round(1e4 * value) / 10.0 + 0.0);
}

std::string view_note(Cut cut) {
  switch (cut) {
    case Cut::Station:
      return "Seen from behind, looking forward: the pilot's right is on the right.";
    case Cut::ButtLine:
      return "Seen from the left: the nose is on the left.";
    case Cut::WaterLine:
      return "Seen from above: the nose is on the left, the pilot's right is up.";
  }
  return {};
}

std::array<std::string, 2> axis_letters(Cut cut) {
  if (cut == Cut::Station) return {"BL", "WL"};
  if (cut == Cut::ButtLine) return {"FS", "WL"};
  return {"FS", "BL"};
}

}  // namespace

Box2 extents(const Drawing& drawing) {
  constexpr double none = std::numeric_limits<double>::infinity();
  Box2 box{{none, none}, {-none, -none}};
  const auto take = [&](const Point2& p) {
    for (std::size_t i = 0; i < 2; ++i) {
      box.low[i] = std::min(box.low[i], p[i]);
      box.high[i] = std::max(box.high[i], p[i]);
    }
  };
  for (const Stroke& stroke : drawing.strokes) {
    for (const Point2& p : stroke.curve.points) take(p);
  }
  for (const Label& label : drawing.labels) {
    take(label.at);
    take({label.at[0] + letter_width * label.height * static_cast<double>(label.text.size()),
          label.at[1] + label.height});
  }
  return box;
}

std::vector<std::string> layer_names(const Drawing& drawing) {
  std::vector<std::string> names;
  const auto take = [&](const std::string& name) {
    if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
  };
  for (const Stroke& stroke : drawing.strokes) take(stroke.layer);
  for (const Label& label : drawing.labels) take(label.layer);
  return names;
}

void add_datum_marks(Drawing& drawing, const Box2& region, const std::array<std::string, 2>& letters) {
  const std::array<std::vector<double>, 2> ticks{tick_values(region.low[0], region.high[0]),
                                                 tick_values(region.low[1], region.high[1])};
  for (const std::size_t along : {std::size_t{0}, std::size_t{1}}) {
    const std::size_t across = 1 - along;
    if (ticks[across].empty()) continue;  // less than 100 mm and no round line inside
    const double datum = datum_of(ticks[across]);
    const auto at = [&](double run, double rise) {
      return along == 0 ? Point2{run, rise} : Point2{rise, run};
    };
    const Point2 end = at(region.high[along] + overhang, datum);
    add_line(drawing, at(region.low[along] - overhang, datum), end);
    const std::string centre = letters[across] == "BL" && datum == 0.0 ? " (centre line)" : "";
    drawing.labels.push_back({mark_layer,
                              {end[0] + 0.002, end[1] + 0.002},
                              mark_height,
                              letters[across] + " " + in_mm(datum) + centre});
    for (const double value : ticks[along]) {
      if (value == datum_of(ticks[along])) continue;  // the other datum line
      add_line(drawing, at(value, datum - half_tick), at(value, datum + half_tick));
      const Point2 foot = at(value, datum);
      drawing.labels.push_back({mark_layer,
                                {foot[0] + 0.001, foot[1] + 0.0055},
                                mark_height,
                                letters[along] + " " + in_mm(value)});
    }
  }
}

Drawing section_drawing(const Section& section) {
  Drawing drawing;
  const std::string letters = cut_letters(section.cut);
  drawing.stem = letters + "_" + in_mm(section.value);
  drawing.title = letters + " " + in_mm(section.value) + " mm";
  drawing.notes.push_back(view_note(section.cut));
  for (std::size_t i = 0; i < section.curves.size(); ++i) {
    const Curve& curve = section.curves[i];
    drawing.strokes.push_back({drawing.stem, Line::Cut, curve});
    drawing.notes.push_back(fmt::format("Outline {}: length {:.1f} mm, {}.",
                                        i + 1,
                                        1000.0 * curve_length(curve),
                                        curve.is_closed ? "closed" : "open"));
  }
  double bulge = 0.0;
  for (const Curve& curve : section.curves) bulge = std::max(bulge, facet_bulge(curve));
  if (bulge > 0.00005) {  // half of what the lengths are written to
    drawing.notes.push_back(fmt::format(
        "Lines are the surface's flat facets: the smooth curve bulges up to about {:.1f} mm from them.",
        1000.0 * bulge));
  }
  if (section.n_branch_points > 0) {
    drawing.notes.push_back(
        fmt::format("The outline is parted at {} places where the surface has an edge with more than two "
                    "triangles: repair the surface.",
                    section.n_branch_points));
  }
  add_datum_marks(drawing, extents(drawing), axis_letters(section.cut));
  return drawing;
}

void add_inset(Drawing& drawing, const std::vector<Curve>& curves, double distance) {
  if (curves.empty()) drawing.notes.emplace_back("No inset: an open outline has no inside.");
  for (std::size_t i = 0; i < curves.size(); ++i) {
    drawing.strokes.push_back({drawing.stem + "_INSET", Line::Cut, curves[i]});
    drawing.notes.push_back(fmt::format("Inset {} by {:g} mm: length {:.1f} mm, closed.",
                                        i + 1,
                                        1000.0 * distance,
                                        1000.0 * curve_length(curves[i])));
  }
}

}  // namespace cowlwright::templates
