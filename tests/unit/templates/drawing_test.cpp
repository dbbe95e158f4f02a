// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/templates/drawing.h"

#include "geometry/base/error.h"
#include "geometry/templates/inset.h"
#include "geometry/templates/paper.h"
#include "geometry/templates/write_dxf.h"
#include "geometry/templates/write_svg.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace cowlwright::templates {
namespace {

using ::testing::HasSubstr;
using ::testing::ThrowsMessage;

Curve rectangle(double left, double low, double right, double high) {
  return {{{left, low}, {right, low}, {right, high}, {left, high}}, true};
}

Section section_of(double width, double height) {
  return {Cut::Station, 0.3, {rectangle(-0.5 * width, -0.5 * height, 0.5 * width, 0.5 * height)}, 0};
}

TEST(SectionDrawing, WritesLengthAndViewAndMarks) {
  const Drawing drawing = section_drawing(section_of(0.4, 0.3));
  EXPECT_EQ(drawing.stem, "FS_300");
  EXPECT_EQ(drawing.title, "FS 300 mm");
  EXPECT_THAT(drawing.notes, ::testing::Contains(HasSubstr("length 1400.0 mm, closed")));
  EXPECT_THAT(drawing.notes, ::testing::Contains(HasSubstr("from behind")));
  EXPECT_EQ(layer_names(drawing), (std::vector<std::string>{"FS_300", "MARKS"}));
  std::vector<std::string> words;
  for (const Label& label : drawing.labels) words.push_back(label.text);
  EXPECT_THAT(
      words,
      ::testing::IsSupersetOf({"BL 0 (centre line)", "WL 0", "BL -200", "BL 200", "WL 100", "WL -100"}));
}

TEST(SectionDrawing, TakesTheFirstRoundLineInsideWhereTheDatumIsNot) {
  const Drawing drawing = section_drawing({Cut::ButtLine, 0.0, {rectangle(0.14, -0.4, 1.35, -0.15)}, 0});
  std::vector<std::string> words;
  for (const Label& label : drawing.labels) words.push_back(label.text);
  EXPECT_THAT(words, ::testing::IsSupersetOf({"WL -200", "FS 200", "FS 1300"}));
  EXPECT_THAT(words, ::testing::Not(::testing::Contains(std::string("WL 0"))));
}

TEST(Extents, HoldTheWordsToo) {
  Drawing drawing;
  drawing.strokes.push_back({"A", Line::Cut, rectangle(0.0, 0.0, 0.01, 0.01)});
  drawing.labels.push_back({"A", {0.005, 0.02}, 0.004, "ten letter"});
  const Box2 box = extents(drawing);
  EXPECT_NEAR(box.high[0], 0.005 + 10 * 0.9 * 0.004, 1e-12);
  EXPECT_NEAR(box.high[1], 0.024, 1e-12);
}

TEST(Paper, HasItsStandardSize) {
  EXPECT_DOUBLE_EQ(paper_named("a4").width, 0.210);
  EXPECT_DOUBLE_EQ(paper_named("a3").height, 0.420);
  EXPECT_DOUBLE_EQ(paper_named("letter").width, 0.2159);
  EXPECT_THAT([] { paper_named("a5"); }, ThrowsMessage<base::InputError>(HasSubstr("a4, letter or a3")));
}

TEST(Tiling, CoversTheDrawingAndOverlapsByTheStatedStrip) {
  const Drawing drawing = section_drawing(section_of(0.9, 0.6));
  const Tiling tiling = tile(drawing, paper_named("a4"));
  ASSERT_EQ(tiling.tiles.size(), static_cast<std::size_t>(tiling.n_rows * tiling.n_columns));
  const Box2 box = extents(drawing);
  EXPECT_LE(tiling.tiles.front().window.low[0], box.low[0]);
  EXPECT_GE(tiling.tiles.front().window.high[1], box.high[1]);
  EXPECT_GE(tiling.tiles.back().window.high[0], box.high[0]);
  EXPECT_LE(tiling.tiles.back().window.low[1], box.low[1]);
  const Tile& a1 = tiling.tiles[0];
  const Tile& a2 = tiling.tiles[1];
  EXPECT_EQ(tile_name(a2), "A2");
  EXPECT_NEAR(a1.window.high[0] - a2.window.low[0], tile_overlap, 1e-12);
  // Window and foot and two margins fill the sheet.
  EXPECT_NEAR(a1.window.high[0] - a1.window.low[0], tiling.sheet_width - 2.0 * paper_margin, 1e-12);
  EXPECT_NEAR(
      a1.window.high[1] - a1.window.low[1], tiling.sheet_height - 2.0 * paper_margin - foot_height, 1e-12);
}

TEST(Tiling, LeavesOutSheetsInsideARing) {
  const Tiling tiling = tile(section_drawing(section_of(0.9, 0.9)), paper_named("a4"));
  EXPECT_LT(n_printed(tiling), static_cast<int>(tiling.tiles.size()));
  EXPECT_GE(n_printed(tiling), 2 * (tiling.n_rows + tiling.n_columns) - 4);
}

TEST(Tiling, RefusesAHangarFullOfPaper) {
  EXPECT_THAT([] { tile(section_drawing(section_of(900.0, 600.0)), paper_named("a4")); },
              ThrowsMessage<base::InputError>(::testing::AllOf(HasSubstr("at most 200"), HasSubstr("unit"))));
}

TEST(TileName, GoesOnAfterZ) {
  EXPECT_EQ(tile_name({25, 0, {}, false}), "Z1");
  EXPECT_EQ(tile_name({26, 2, {}, false}), "AA3");
}

TEST(Svg, IsFullSize) {
  const std::string svg = svg_text(section_drawing(section_of(0.4, 0.3)));
  EXPECT_THAT(svg, HasSubstr("<g id=\"FS_300\">"));
  EXPECT_THAT(svg, HasSubstr("FS 300 mm"));
  // The page in mm has as many user units: one is one mm. 300 mm between the rectangle's sides.
  double width = 0.0;
  double units = 0.0;
  ASSERT_EQ(std::sscanf(svg.c_str() + svg.find("width="), "width=\"%lfmm\"", &width), 1);
  ASSERT_EQ(std::sscanf(svg.c_str() + svg.find("viewBox="), "viewBox=\"0 0 %lf", &units), 1);
  EXPECT_DOUBLE_EQ(width, units);
  double x1 = 0.0, y1 = 0.0, x2 = 0.0, y2 = 0.0;
  const std::string path = svg.substr(svg.find("d=\"M"));
  ASSERT_EQ(std::sscanf(path.c_str(), "d=\"M%lf,%lf L%lf,%lf", &x1, &y1, &x2, &y2), 4);
  EXPECT_NEAR(x2 - x1, 400.0, 1e-3);
}

TEST(Dxf, SaysMillimetres) {
  const std::string dxf = dxf_text(section_drawing(section_of(0.4, 0.3)));
  EXPECT_THAT(dxf, HasSubstr("$INSUNITS\n70\n4\n"));
  EXPECT_THAT(dxf, HasSubstr("\n10\n-200.000000\n20\n-150.000000\n"));
  EXPECT_THAT(dxf, ::testing::EndsWith("0\nEOF\n"));
}

TEST(Inset, OfARectangleIsASmallerOne) {
  const std::vector<Curve> inner = inset_curves({rectangle(0.0, 0.0, 0.4, 0.3)}, 0.019);
  ASSERT_EQ(inner.size(), 1U);
  // 2 x (400 - 38 + 300 - 38) mm. The library works on a grid of 1e-7 of the size.
  EXPECT_NEAR(curve_length(inner[0]), 1.248, 1e-6);
}

TEST(Inset, GrowsAHoleIntoTheMaterial) {
  Curve hole{{}, true};
  constexpr int n = 2000;
  for (int i = 0; i < n; ++i) {
    const double t = 2.0 * std::numbers::pi * i / n;
    hole.points.push_back({0.2 + 0.05 * std::cos(t), 0.15 + 0.05 * std::sin(t)});
  }
  const std::vector<Curve> inner = inset_curves({rectangle(0.0, 0.0, 0.4, 0.3), hole}, 0.010);
  ASSERT_EQ(inner.size(), 2U);
  EXPECT_NEAR(curve_length(inner[0]), 1.32, 1e-6);
  // A circle of 60 mm; chords of the polygon and of the rounding at its corners are short by less than 2e-5.
  const double exact = 2.0 * std::numbers::pi * 0.060;
  EXPECT_NEAR(curve_length(inner[1]), exact, 3e-5 * exact);
}

TEST(Inset, RefusesToLeaveNothingAndLeavesOpenOutlinesOut) {
  EXPECT_THAT([] { inset_curves({rectangle(0.0, 0.0, 0.4, 0.3)}, 0.2); },
              ThrowsMessage<base::InputError>(HasSubstr("200 mm: leaves nothing")));
  EXPECT_THAT([] { inset_curves({rectangle(0.0, 0.0, 0.4, 0.3)}, -0.01); },
              ThrowsMessage<base::InputError>(HasSubstr("must be > 0")));
  Curve open = rectangle(0.0, 0.0, 0.4, 0.3);
  open.is_closed = false;
  EXPECT_TRUE(inset_curves({open}, 0.01).empty());
}

}  // namespace
}  // namespace cowlwright::templates
