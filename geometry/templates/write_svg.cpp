// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/templates/write_svg.h"

#include "geometry/base/markup.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

namespace cowlwright::templates {

namespace {

constexpr double mm = 1000.0;           // per m
constexpr double border = 15.0;         // round the drawing [mm]
constexpr double line_height = 5.5;     // of the notes [mm]
constexpr double note_size = 3.5;       // font size of the notes [mm]
constexpr double note_width = 0.55;     // of a letter over the font size, about
constexpr double cap_over_font = 0.72;  // height of capitals over font size, about

/// Page coordinates in mm, downward, of drawing coordinates in m, upward.
struct Page {
  double left = 0.0;
  double top = 0.0;
  double x(double u) const { return mm * u - left; }
  double y(double v) const { return top - mm * v; }
};

const char* line_class(Line line) {
  return line == Line::Cut ? "cut" : line == Line::Bend ? "bend" : "mark";
}

void append_layer(std::string& out, const Drawing& drawing, const std::string& layer, const Page& page) {
  out += fmt::format("<g id=\"{}\">\n", base::xml_escaped(layer));
  for (const Stroke& stroke : drawing.strokes) {
    if (stroke.layer != layer) continue;
    out += fmt::format("<path class=\"{}\" d=\"", line_class(stroke.line));
    bool is_first = true;
    for (const Point2& p : stroke.curve.points) {
      out += fmt::format("{}{:.4f},{:.4f}", is_first ? "M" : " L", page.x(p[0]), page.y(p[1]));
      is_first = false;
    }
    out += stroke.curve.is_closed ? " Z\"/>\n" : "\"/>\n";
  }
  for (const Label& label : drawing.labels) {
    if (label.layer != layer) continue;
    out += fmt::format("<text x=\"{:.3f}\" y=\"{:.3f}\" font-size=\"{:.3f}\">{}</text>\n",
                       page.x(label.at[0]),
                       page.y(label.at[1]),
                       mm * label.height / cap_over_font,
                       base::xml_escaped(label.text));
  }
  out += "</g>\n";
}

/// A bar with ticks at its ends and its length beside it.
void append_bar(std::string& out, double x, double y, double length, const std::string& text) {
  out += fmt::format(
      "<path class=\"cut\" d=\"M{0:.3f},{1:.3f} V{2:.3f} M{0:.3f},{3:.3f} H{4:.3f} M{4:.3f},"
      "{1:.3f} V{2:.3f}\"/>\n<text x=\"{5:.3f}\" y=\"{6:.3f}\" font-size=\"{7}\">{8}</text>\n",
      x,
      y - 2.0,
      y + 2.0,
      y,
      x + length,
      x + length + 3.0,
      y + 1.2,
      note_size,
      text);
}

}  // namespace

std::string svg_text(const Drawing& drawing) {
  const Box2 box = extents(drawing);
  double words = 130.0;  // the longer bar and its words [mm]
  for (const std::string& note : drawing.notes) {
    words = std::max(words, note_width * note_size * static_cast<double>(note.size()));
  }
  const double drawn = mm * (box.high[1] - box.low[1]);
  const double width = 2.0 * border + std::max(mm * (box.high[0] - box.low[0]), words);
  const double foot = 4.0 + line_height * static_cast<double>(drawing.notes.size() + 4);
  const double height = 2.0 * border + drawn + foot;
  const Page page{mm * box.low[0] - border, mm * box.high[1] + border};

  std::string out = fmt::format(
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" "
      "width=\"{0:.3f}mm\" height=\"{1:.3f}mm\" viewBox=\"0 0 {0:.3f} {1:.3f}\">\n<title>{2}</title>\n<style>"
      "path{{fill:none;stroke:#000;stroke-width:0.25}} .mark{{stroke:#777;stroke-width:0.15;"
      "stroke-dasharray:12 3 2 3}} .bend{{stroke:#c00;stroke-dasharray:6 3}} "
      "text{{font-family:sans-serif;fill:#000}}</style>\n",
      width,
      height,
      base::xml_escaped(drawing.title));
  for (const std::string& layer : layer_names(drawing)) append_layer(out, drawing, layer, page);
  out += "<g id=\"NOTES\">\n";
  double y = border + drawn + 4.0 + line_height;
  out += fmt::format(
      "<text x=\"{}\" y=\"{:.3f}\" font-size=\"5\">{}</text>\n", border, y, base::xml_escaped(drawing.title));
  for (const std::string& note : drawing.notes) {
    y += line_height;
    out += fmt::format("<text x=\"{}\" y=\"{:.3f}\" font-size=\"{}\">{}</text>\n",
                       border,
                       y,
                       note_size,
                       base::xml_escaped(note));
  }
  append_bar(out, border, y + 1.3 * line_height, 100.0, "100 mm");
  append_bar(out, border, y + 2.3 * line_height, 101.6, "4 in: measure both bars after printing");
  return out + "</g>\n</svg>\n";
}

void write_svg(const Drawing& drawing, const std::filesystem::path& path) {
  base::write_text(path, svg_text(drawing));
}

}  // namespace cowlwright::templates
