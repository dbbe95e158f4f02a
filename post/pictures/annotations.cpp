// SPDX-License-Identifier: GPL-3.0-or-later
//
// Two-dimensional parts of a picture.
#include "post/pictures/annotations.h"

#include <fmt/format.h>
#include <vtkActor2D.h>
#include <vtkCellArray.h>
#include <vtkCellData.h>
#include <vtkNew.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>
#include <vtkPolyDataMapper2D.h>
#include <vtkProperty2D.h>
#include <vtkTextActor.h>
#include <vtkTextProperty.h>
#include <vtkUnsignedCharArray.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace cowlwright::post {

namespace {

constexpr int large_text = 24;
constexpr int small_text = 18;
constexpr double bar_left = 40.0;
constexpr double bar_right = 860.0;
constexpr double bar_low = 36.0;
constexpr double bar_high = 58.0;
constexpr double tip_width = 20.0;

enum class Align { Left, Centre, Right };

struct Text {
  std::string words;
  double x = 0.0;
  double y = 0.0;
  int size = small_text;
  Align align = Align::Left;
  bool is_bold = false;
};

void add_text(vtkRenderer& renderer, const Text& text) {
  vtkNew<vtkTextActor> actor;
  actor->SetInput(text.words.c_str());
  actor->SetPosition(text.x, text.y);
  vtkTextProperty* style = actor->GetTextProperty();
  style->SetFontFamilyToArial();
  style->SetFontSize(text.size);
  style->SetBold(text.is_bold ? 1 : 0);
  style->SetColor(0.1, 0.1, 0.1);
  style->SetVerticalJustificationToCentered();
  if (text.align == Align::Centre) {
    style->SetJustificationToCentered();
  } else if (text.align == Align::Right) {
    style->SetJustificationToRight();
  }
  renderer.AddActor2D(actor);
}

using Point2 = std::array<double, 2>;

/// Filled polygons, each of one colour, and black lines.
class Sketch {
 public:
  void add_polygon(std::initializer_list<Point2> corners, const Colour& colour) {
    polygons_->InsertNextCell(static_cast<int>(corners.size()));
    for (const Point2& corner : corners) {
      polygons_->InsertCellPoint(points_->InsertNextPoint(corner[0], corner[1], 0.0));
    }
    polygon_colours_.push_back(colour);
  }

  void add_line(std::initializer_list<Point2> corners) {
    lines_->InsertNextCell(static_cast<int>(corners.size()));
    for (const Point2& corner : corners) {
      lines_->InsertCellPoint(points_->InsertNextPoint(corner[0], corner[1], 0.0));
    }
    ++n_lines_;
  }

  void draw(vtkRenderer& renderer) const {
    vtkNew<vtkPolyData> data;
    data->SetPoints(points_);
    data->SetLines(lines_);
    data->SetPolys(polygons_);
    vtkNew<vtkUnsignedCharArray> colours;  // lines come before polygons
    colours->SetNumberOfComponents(3);
    for (int i = 0; i < n_lines_; ++i) {
      colours->InsertNextTuple3(40, 40, 40);
    }
    for (const Colour& colour : polygon_colours_) {
      colours->InsertNextTuple3(255.0 * colour[0], 255.0 * colour[1], 255.0 * colour[2]);
    }
    data->GetCellData()->SetScalars(colours);
    vtkNew<vtkPolyDataMapper2D> mapper;
    mapper->SetInputData(data);
    vtkNew<vtkActor2D> actor;
    actor->SetMapper(mapper);
    actor->GetProperty()->SetLineWidth(2.0F);
    renderer.AddActor2D(actor);
  }

 private:
  vtkNew<vtkPoints> points_;
  vtkNew<vtkCellArray> polygons_;
  vtkNew<vtkCellArray> lines_;
  std::vector<Colour> polygon_colours_;
  int n_lines_ = 0;
};

std::string tick_text(double value, double step) {
  const double clean = std::abs(value) < 1e-9 ? 0.0 : value;
  return step < 1.0 - 1e-9 ? fmt::format("{:.1f}", clean) : fmt::format("{:.0f}", clean);
}

/// Distance of the labels: 1, 2 or 5 times a power of ten, at least a tenth of the range.
double tick_step(const FieldScale& scale) {
  const double least = (scale.high - scale.low) / 10.0 * (1.0 - 1e-9);
  const double power = std::pow(10.0, std::floor(std::log10(least)));
  for (const double factor : {1.0, 2.0, 5.0}) {
    if (factor * power >= least) {
      return factor * power;
    }
  }
  return 10.0 * power;
}

base::Vec3 unit(const base::Vec3& vector) {
  return (1.0 / base::norm(vector)) * vector;
}

}  // namespace

std::vector<double> bar_ticks(const FieldScale& scale) {
  const double step = tick_step(scale);
  std::vector<double> ticks;
  for (double i = std::ceil(scale.low / step - 1e-9); i * step <= scale.high + 1e-9 * step; i += 1.0) {
    ticks.push_back(i * step);
  }
  return ticks;
}

void add_head(vtkRenderer& renderer, const std::string& title, const std::string& label) {
  const double y = picture_height - 0.5 * head_height;
  add_text(renderer, {title, bar_left, y, large_text, Align::Left, true});
  add_text(renderer, {label, picture_width - bar_left, y, large_text, Align::Right, false});
}

void add_colour_bar(vtkRenderer& renderer, const FieldScale& scale) {
  const std::vector<Colour> colours = band_colours(scale);
  const double width = (bar_right - bar_left) / static_cast<double>(colours.size());
  const double middle = 0.5 * (bar_low + bar_high);
  Sketch sketch;
  for (std::size_t i = 0; i < colours.size(); ++i) {
    const double left = bar_left + width * static_cast<double>(i);
    sketch.add_polygon({{left, bar_low}, {left + width, bar_low}, {left + width, bar_high}, {left, bar_high}},
                       colours[i]);
  }
  sketch.add_polygon({{bar_left, bar_low}, {bar_left, bar_high}, {bar_left - tip_width, middle}},
                     colours.front());
  sketch.add_polygon({{bar_right, bar_low}, {bar_right + tip_width, middle}, {bar_right, bar_high}},
                     colours.back());
  sketch.add_line({{bar_left - tip_width, middle},
                   {bar_left, bar_high},
                   {bar_right, bar_high},
                   {bar_right + tip_width, middle},
                   {bar_right, bar_low},
                   {bar_left, bar_low},
                   {bar_left - tip_width, middle}});
  const double step = tick_step(scale);
  for (const double tick : bar_ticks(scale)) {
    const double x = std::lerp(bar_left, bar_right, (tick - scale.low) / (scale.high - scale.low));
    sketch.add_line({{x, bar_low}, {x, bar_low - 6.0}});
    add_text(renderer, {tick_text(tick, step), x, bar_low - 18.0, small_text, Align::Centre});
  }
  sketch.draw(renderer);
  const std::string unit_words = scale.unit == "-" ? "" : fmt::format(" [{}]", scale.unit);
  add_text(renderer, {scale.title + unit_words, bar_left, bar_high + 18.0, small_text, Align::Left, true});
  add_text(renderer,
           {fmt::format("steps of {:g}; values beyond the ends take the ends' colour", scale.step),
            bar_right,
            bar_high + 18.0,
            small_text - 2,
            Align::Right});
}

void add_axes(vtkRenderer& renderer, const Camera& camera) {
  const base::Vec3 ahead = unit(camera.focus - camera.position);
  const base::Vec3 to_right = unit(base::cross(ahead, camera.up));
  const base::Vec3 upwards = base::cross(to_right, ahead);
  constexpr double arm = 36.0;
  const std::array<std::pair<base::Vec3, const char*>, 3> axes{
      {{{1.0, 0.0, 0.0}, "aft"}, {{0.0, 1.0, 0.0}, "right"}, {{0.0, 0.0, 1.0}, "up"}}};
  double lowest = 0.0;  // the lowest and highest tip decide where the arms meet
  double highest = 0.0;
  for (const auto& [direction, name] : axes) {
    lowest = std::min(lowest, base::dot(direction, upwards));
    highest = std::max(highest, base::dot(direction, upwards));
  }
  const Point2 origin{1020.0, 0.5 * foot_height - 0.5 * arm * (lowest + highest)};
  Sketch sketch;
  for (const auto& [direction, name] : axes) {
    const Point2 way{base::dot(direction, to_right), base::dot(direction, upwards)};
    const double size = std::hypot(way[0], way[1]);
    if (size < 0.2) {
      continue;
    }
    const Point2 tip{origin[0] + arm * way[0], origin[1] + arm * way[1]};
    const Point2 along{way[0] / size, way[1] / size};
    sketch.add_line({origin, tip});
    sketch.add_polygon({{tip[0] + 8.0 * along[0], tip[1] + 8.0 * along[1]},
                        {tip[0] - 5.0 * along[1], tip[1] + 5.0 * along[0]},
                        {tip[0] + 5.0 * along[1], tip[1] - 5.0 * along[0]}},
                       {0.15, 0.15, 0.15});
    const Align align = along[0] > 0.4 ? Align::Left : along[0] < -0.4 ? Align::Right : Align::Centre;
    add_text(renderer, {name, tip[0] + 14.0 * along[0], tip[1] + 17.0 * along[1], small_text - 2, align});
  }
  sketch.draw(renderer);
}

}  // namespace cowlwright::post
