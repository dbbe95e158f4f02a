// SPDX-License-Identifier: GPL-3.0-or-later
//
// What stands on each sheet. Colours tell apart for all kinds of colour vision: blue, yellow, vermilion and
// black differ in lightness too (Okabe and Ito, Color Universal Design, 2008).
#include "geometry/mold/view.h"

#include "geometry/base/parallel.h"
#include "geometry/mold/findings.h"
#include "geometry/mold/page.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <exception>
#include <utility>

namespace cowlwright::mold {
namespace {

constexpr Colour black{0, 0, 0}, grey{110, 110, 110}, pale{214, 224, 232}, dark{45, 45, 45};
constexpr Colour blue{86, 180, 233}, deep_blue{0, 114, 178}, yellow{240, 228, 66}, orange{230, 159, 0};
constexpr Colour vermilion{213, 94, 0}, green{0, 158, 115}, purple{204, 121, 167};

constexpr int page_width = 1640, page_height = 1080;
constexpr int panel_width = 620, panel_height = 470;
constexpr int finer = 2;  // raster pixels per page pixel
constexpr double legend_x = 1270;

struct Line {
  std::vector<Vec3> points;
  Colour colour;
  double width;
};

struct LegendEntry {
  Colour colour;
  std::string text;
  bool is_line;
};

struct SheetOfViews {
  std::string name;  ///< of the file
  std::string title;
  std::vector<Colour> colours;  ///< (n_faces)
  std::vector<LegendEntry> legend;
  std::vector<Line> lines;
  std::vector<Place> places;
};

std::string seen_from(const Vec3& towards) {
  const std::array<std::pair<Vec3, const char*>, 6> names{{{{-1, 0, 0}, "from ahead"},
                                                           {{1, 0, 0}, "from behind"},
                                                           {{0, 1, 0}, "from the right"},
                                                           {{0, -1, 0}, "from the left"},
                                                           {{0, 0, 1}, "from above"},
                                                           {{0, 0, -1}, "from below"}}};
  for (const auto& [direction, name] : names) {
    if (dot(direction, towards) > 0.999) return name;
  }
  return "from " + direction_text(towards);
}

/// Along the pulls, then across them.
std::vector<Vec3> view_directions(const std::vector<Vec3>& pulls) {
  const Vec3 first = pulls.front();
  std::vector<Vec3> views{first, pulls.size() > 1 ? pulls[1] : -1.0 * first};
  for (const Vec3& axis : {Vec3{-1, 0, 0}, Vec3{0, 0, 1}, Vec3{0, 1, 0}}) {
    if (views.size() == 4 || std::abs(dot(axis, first)) > 0.7) continue;
    views.push_back(unit(axis - dot(axis, first) * first));
  }
  return views;
}

void draw_lines(
    Page& page, const Raster& raster, const std::vector<Line>& lines, double x, double y, double tolerance) {
  const auto on_page = [&](const Vec3& p) {
    const auto [i, j] = raster.pixel(p);
    return std::array{x + i / finer, y + j / finer};
  };
  for (const Line& line : lines) {
    for (std::size_t i = 1; i < line.points.size(); ++i) {
      const Vec3& a = line.points[i - 1];
      const Vec3& b = line.points[i];
      if (!raster.is_seen(0.5 * (a + b), tolerance)) continue;
      const auto [x0, y0] = on_page(a);
      const auto [x1, y1] = on_page(b);
      page.line(x0, y0, x1, y1, line.width, line.colour);
    }
  }
}

/// A length of 1, 2 or 5 times a power of ten that takes about a quarter of the panel.
void draw_scale_bar(Page& page, const Raster& raster, double x, double y) {
  const double per_metre = raster.pixels_per_metre() / finer;
  const double wanted = 0.25 * panel_width / per_metre;
  const double power = std::pow(10.0, std::floor(std::log10(wanted)));
  const double digit = wanted / power >= 5.0 ? 5.0 : wanted / power >= 2.0 ? 2.0 : 1.0;
  const double length = digit * power * per_metre;
  page.line(x, y, x + length, y, 2.5, black);
  page.line(x, y - 4, x, y + 4, 1.5, black);
  page.line(x + length, y - 4, x + length, y + 4, 1.5, black);
  page.text(x + length + 8, y + 4, 12, fmt::format("{:.4g} mm", in_mm(digit * power)));
}

/// Which way aft, right and up go in the picture.
void draw_axes(Page& page, const Camera& camera, double x, double y) {
  const std::array<std::pair<Vec3, const char*>, 3> axes{
      {{{1, 0, 0}, "FS"}, {{0, 1, 0}, "BL"}, {{0, 0, 1}, "WL"}}};
  constexpr double length = 28;
  for (const auto& [axis, name] : axes) {
    const double i = dot(axis, camera.right), j = -dot(axis, camera.up);
    if (std::hypot(i, j) < 0.2) continue;
    page.line(x, y, x + length * i, y + length * j, 1.5, grey);
    page.text(x + (length + 11) * i - 8, y + (length + 11) * j + 4, 11, name, grey);
  }
}

void draw_marks(Page& page,
                const Raster& raster,
                const std::vector<Place>& places,
                std::vector<bool>& is_shown,
                bool is_last,
                double x,
                double y,
                double tolerance) {
  for (std::size_t i = 0; i < places.size(); ++i) {
    const bool is_seen = raster.is_seen(places[i].point, tolerance);
    if (!is_seen && (!is_last || is_shown[i])) continue;
    is_shown[i] = true;
    const auto [px, py] = raster.pixel(places[i].point);
    page.mark(x + px / finer, y + py / finer, places[i].number, is_seen);
  }
}

void draw_legend(Page& page, const SheetOfViews& sheet, double y) {
  page.text(legend_x, y, 14, "Colours", black, true);
  y += 12;
  for (const LegendEntry& entry : sheet.legend) {
    if (entry.is_line) page.line(legend_x + 2, y + 9, legend_x + 24, y + 9, 3.0, entry.colour);
    if (!entry.is_line) page.rectangle(legend_x, y, 26, 17, entry.colour);
    page.text(legend_x + 36, y + 13, 12, entry.text);
    y += 24;
  }
  y += 16;
  page.text(legend_x, y, 14, "Places, numbered as in the list", black, true);
  page.text(legend_x, y + 18, 11, "black: seen here; white: hidden in every view", grey);
  y += 42;
  if (sheet.places.empty()) page.text(legend_x, y, 12, "none");
  for (const Place& place : sheet.places) {
    if (y > page_height - 60) break;
    page.mark(legend_x + 11, y - 4, place.number, true);
    page.text(legend_x + 32, y - 6, 12, place_text(place.point));
    std::string words = place.text;
    while (!words.empty() && page.text_width(10.5, words) > page_width - legend_x - 44) words.pop_back();
    page.text(legend_x + 32, y + 8, 10.5, words.size() < place.text.size() ? words + "..." : words, grey);
    y += 36;
  }
}

void draw(Page& page,
          const SheetOfViews& views,
          const std::vector<Raster>& rasters,
          const std::vector<Vec3>& directions,
          const std::string& head,
          double tolerance) {
  page.text(20, 34, 21, views.title, black, true);
  page.text(20, 58, 13, head, grey);
  std::vector<bool> is_shown(views.places.size(), false);
  for (std::size_t i = 0; i < rasters.size(); ++i) {
    const double x = 20 + static_cast<double>(i % 2) * (panel_width + 4);
    const double y = 76 + static_cast<double>(i / 2) * (panel_height + 4);
    page.image(rasters[i], x, y, panel_width);
    draw_lines(page, rasters[i], views.lines, x, y, tolerance);
    draw_marks(page, rasters[i], views.places, is_shown, i + 1 == rasters.size(), x, y, tolerance);
    page.frame(x, y, panel_width, panel_height, {200, 200, 200});
    const bool is_along = i < 2;
    page.text(
        x + 10, y + 20, 13, seen_from(directions[i]) + (is_along ? ", along the pull" : ", across the pull"));
    draw_scale_bar(page, rasters[i], x + 14, y + panel_height - 16);
    draw_axes(page, camera_from(directions[i]), x + panel_width - 60, y + 56);
  }
  draw_legend(page, views, 92);
  page.text(20,
            page_height - 16,
            11,
            "Estimates from facets, not an approval. Limits are common practice, no source; the mold maker "
            "decides.",
            grey);
}

std::vector<Place> places_of(const MoldReport& report, std::initializer_list<const char*> keys) {
  std::vector<Place> places;
  for (const Finding& finding : report.findings) {
    for (const char* key : keys) {
      if (finding.key.starts_with(key))
        places.insert(places.end(), finding.places.begin(), finding.places.end());
    }
  }
  return places;
}

SheetOfViews draft_sheet(const MoldReport& report, const Limits& limits) {
  SheetOfViews sheet{"draft", "Draft and undercuts", {}, {}, {}, places_of(report, {"undercut", "draft"})};
  for (std::size_t f = 0; f < report.draft.size(); ++f) {
    sheet.colours.push_back(report.undercut[f] > 0.5                 ? dark
                            : report.draft[f] < limits.draft_error   ? vermilion
                            : report.draft[f] < limits.draft_warning ? yellow
                                                                     : blue);
  }
  const double warning = in_degrees(limits.draft_warning), error = in_degrees(limits.draft_error);
  sheet.legend = {{blue, fmt::format("draft {:.3g} deg and more", warning), false},
                  {yellow, fmt::format("draft {:.3g} to {:.3g} deg", error, warning), false},
                  {vermilion, fmt::format("draft below {:.3g} deg", error), false},
                  {dark, "undercut: not seen along the pull", false},
                  {{176, 176, 176}, "the side away from the mold", false}};
  return sheet;
}

SheetOfViews halves_sheet(const MoldReport& report) {
  constexpr std::array<Colour, 5> half_colours{blue, orange, green, purple, yellow};
  SheetOfViews sheet{"halves",
                     "Halves of the mold, parting line and trim edges",
                     {},
                     {},
                     {},
                     places_of(report, {"parting", "trim", "clearance", "thickness"})};
  for (const std::uint8_t half : report.halves)
    sheet.colours.push_back(half_colours[half % half_colours.size()]);
  for (std::size_t k = 0; k < report.pulls.size(); ++k) {
    sheet.legend.push_back(
        {half_colours[k % half_colours.size()], "drawn " + direction_text(report.pulls[k]), false});
  }
  sheet.legend.push_back(
      {black, report.is_parting_given ? "parting line, given" : "parting line, proposed", true});
  sheet.legend.push_back({vermilion, "trim edge", true});
  const LegendEntry away{{176, 176, 176}, "the side away from the mold", false};
  sheet.legend.push_back(away);
  for (const TrimEdge& edge : report.edges) sheet.lines.push_back({edge.line, vermilion, 2.0});
  for (const auto& piece : report.parting.pieces) sheet.lines.push_back({piece, black, 2.5});
  return sheet;
}

SheetOfViews radii_sheet(const MoldReport& report, const Limits& limits) {
  SheetOfViews sheet{"radii",
                     "Radii of the mold's face",
                     {},
                     {},
                     {},
                     places_of(report, {"inside_radius", "outside_radius"})};
  const Curvatures& c = report.curvatures;
  for (std::size_t f = 0; f < c.hollow.size(); ++f) {
    sheet.colours.push_back(c.hollow[f] * limits.inside_radius > 1.0         ? vermilion
                            : c.edge[f] * limits.outside_radius > 1.0        ? purple
                            : c.hollow[f] * 4.0 * limits.inside_radius > 1.0 ? yellow
                            : c.edge[f] * 4.0 * limits.outside_radius > 1.0  ? green
                                                                             : pale);
  }
  const double in = in_mm(limits.inside_radius), out = in_mm(limits.outside_radius);
  sheet.legend = {{vermilion, fmt::format("hollow of the mold below {:.3g} mm", in), false},
                  {yellow, fmt::format("hollow of the mold {:.3g} to {:.3g} mm", in, 4.0 * in), false},
                  {purple, fmt::format("edge of the mold below {:.3g} mm", out), false},
                  {green, fmt::format("edge of the mold {:.3g} to {:.3g} mm", out, 4.0 * out), false},
                  {pale, "larger radii", false},
                  {black, "sharp in the facets", true},
                  {{176, 176, 176}, "the side away from the mold", false}};
  for (const auto& [a, b] : report.sharp_edges) sheet.lines.push_back({{a, b}, black, 1.5});
  return sheet;
}

}  // namespace

std::vector<std::filesystem::path> write_views(const Sheet& sheet,
                                               const MoldReport& report,
                                               const Options& options,
                                               const std::string& title,
                                               const std::filesystem::path& folder) {
  const std::vector<SheetOfViews> sheets{
      draft_sheet(report, options.limits), halves_sheet(report), radii_sheet(report, options.limits)};
  const std::vector<Vec3> directions = view_directions(report.pulls);
  const std::string head =
      fmt::format("{}: {}, {} triangles", title, verdict_name(report.worst()), sheet.n_faces());
  const double tolerance = 0.004 * sheet.size();
  std::vector<std::filesystem::path> files;
  for (const SheetOfViews& views : sheets) {
    std::vector<Raster> rasters;
    for (const Vec3& direction : directions) {
      rasters.emplace_back(
          camera_from(direction), sheet.low, sheet.high, finer * panel_width, finer * panel_height);
    }
    std::vector<std::jthread> painters;
    for (Raster& raster : rasters) painters.emplace_back([&] { raster.draw(sheet, views.colours); });
    painters.clear();  // waits for them
    for (const auto& [kind, ending] :
         {std::pair{Page::Kind::Png, ".png"}, std::pair{Page::Kind::Svg, ".svg"}}) {
      files.push_back(folder / (views.name + ending));
      Page page(kind, files.back(), page_width, page_height);
      draw(page, views, rasters, directions, head, tolerance);
      page.finish();
    }
  }
  return files;
}

}  // namespace cowlwright::mold
