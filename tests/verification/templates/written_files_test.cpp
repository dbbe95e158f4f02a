// SPDX-License-Identifier: GPL-3.0-or-later
//
// What stands in the files, as independent programs read it: DXF by ezdxf, PDF by poppler, its bars measured
// in the rendered page.
#include "geometry/shape/builder.h"
#include "geometry/templates/drawing.h"
#include "geometry/templates/paper.h"
#include "geometry/templates/write_dxf.h"
#include "geometry/templates/write_pdf.h"
#include "tests/support/scratch_folder.h"
#include "tests/support/validation.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <numbers>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace cowlwright::templates {
namespace {

using ::testing::HasSubstr;
using testing_support::ScratchFolder;
using testing_support::ValidationCheck;

constexpr double pi = std::numbers::pi;

/// Output of a shell command; fails the test when it ends badly.
std::string output_of(const std::string& command) {
  FILE* pipe = popen((command + " 2>&1").c_str(), "r");
  if (pipe == nullptr) throw std::runtime_error(command + ": cannot be started");
  std::string text;
  std::vector<char> buffer(4096);
  while (const std::size_t n = fread(buffer.data(), 1, buffer.size(), pipe)) text.append(buffer.data(), n);
  EXPECT_EQ(pclose(pipe), 0) << command << "\n" << text;
  return text;
}

std::string quoted(const std::filesystem::path& path) {
  return "'" + path.string() + "'";
}

/// A cylinder of 300 mm radius cut across its axis.
Drawing circle_drawing() {
  const std::vector<shape::Ring> rings{{0.0, 0.3}, {1.0, 0.3}};
  const std::vector<shape::Patch> patches{shape::Patch::Cowl};
  return section_drawing(
      cut_section(shape::revolved_surface(0.0, 0.0, rings, patches, 720), Cut::Station, 0.6));
}

TEST(WrittenDxf, IsWhatAnotherProgramReads) {
  ValidationCheck check({.id = "templates.dxf_read_back",
                         .group = "Templates",
                         .title = "Outline of a cylinder in the DXF file, read by an independent program",
                         .source = "exact: circle of 300 mm radius; read by ezdxf 0.18 (Debian)",
                         .condition = "station 600 mm, 720 facets round",
                         .unit = "mm",
                         .reason =
                             "a polygon of the circle's area is 3.2e-6 longer and its corners lie 1.6e-6 of "
                             "2 r further out; coordinates are written to 1e-6 mm"});
  const ScratchFolder folder;
  const std::filesystem::path file = folder.path() / "circle.dxf";
  write_dxf(circle_drawing(), file);
  std::istringstream facts(
      output_of(std::string(COWLWRIGHT_PYTHON_EZDXF) + " " + COWLWRIGHT_READ_DXF + " " + quoted(file)));
  int n_curves = 0;
  std::vector<std::string> seen;
  for (std::string line; std::getline(facts, line);) {
    seen.push_back(line);
    std::istringstream words(line);
    std::string what, layer, state;
    words >> what >> layer;
    if (what != "curve" || layer != "FS_600") continue;
    double n = 0.0, length = 0.0, left = 0.0, low = 0.0, right = 0.0, high = 0.0;
    words >> state >> n >> length >> left >> low >> right >> high;
    EXPECT_EQ(state, "closed");
    check.expect_near("length", length, 2.0 * pi * 300.0, 4e-6 * 2.0 * pi * 300.0);
    check.expect_near("width", right - left, 600.0, 0.01);
    check.expect_near("height", high - low, 600.0, 0.01);
    ++n_curves;
  }
  EXPECT_EQ(n_curves, 1);
  EXPECT_THAT(seen,
              ::testing::IsSupersetOf({"version AC1015",
                                       "units 4",
                                       "errors 0",
                                       "text MARKS BL 0 (centre line)",
                                       "text NOTES Outline 1: length 1885.0 mm, closed."}));
}

/// A grey picture, PGM.
struct Picture {
  int width = 0;
  int height = 0;
  std::string grey;
  bool is_dark(int x, int y) const {
    return static_cast<unsigned char>(grey[static_cast<std::size_t>(y * width + x)]) < 128;
  }
};

Picture rendered(const std::filesystem::path& pdf, int page, int dots_per_inch) {
  const std::string stem = (pdf.parent_path() / ("page" + std::to_string(page))).string();
  output_of("pdftoppm -gray -aa no -aaVector no -singlefile -r " + std::to_string(dots_per_inch) + " -f " +
            std::to_string(page) + " " + quoted(pdf) + " '" + stem + "'");
  std::ifstream in(stem + ".pgm", std::ios::binary);
  Picture picture;
  std::string magic;
  int most = 0;
  in >> magic >> picture.width >> picture.height >> most;
  in.get();
  picture.grey.assign(std::istreambuf_iterator<char>(in), {});
  EXPECT_EQ(picture.grey.size(),
            static_cast<std::size_t>(picture.width) * static_cast<std::size_t>(picture.height));
  return picture;
}

/// The longest dark horizontal run in a band of rows [dots].
int longest_run(const Picture& picture, int from_row, int to_row) {
  int longest = 0;
  for (int y = from_row; y < to_row; ++y) {
    int run = 0;
    for (int x = 0; x < picture.width; ++x) {
      run = picture.is_dark(x, y) ? run + 1 : 0;
      longest = std::max(longest, run);
    }
  }
  return longest;
}

TEST(WrittenPdf, HasTheStatedPaperAndSheetsAndTrueBars) {
  ValidationCheck check({.id = "templates.pdf_bars",
                         .group = "Templates",
                         .title = "Bars of 100 mm and 4 in on a printed sheet",
                         .source = "exact: measured in the page as poppler renders it",
                         .condition = "300 dots per inch, without smoothing, every page",
                         .unit = "mm",
                         .reason =
                             "0.35 mm: one dot at either end (0.085 mm each) and half the end strokes' width "
                             "(0.25 mm) on either side"});
  const ScratchFolder folder;
  const std::filesystem::path file = folder.path() / "circle.pdf";
  const Drawing drawing = circle_drawing();
  const Tiling tiling = tile(drawing, paper_named("a4"));
  write_pdf(drawing, tiling, file);
  const std::string info = output_of("pdfinfo " + quoted(file));
  EXPECT_THAT(info, HasSubstr("Pages:           " + std::to_string(1 + n_printed(tiling))));
  EXPECT_THAT(info, HasSubstr("(A4)"));
  const std::string text = output_of("pdftotext -layout " + quoted(file) + " -");
  for (const char* words :
       {"FS 600 mm", "length 1885.0 mm, closed", "Sheet A1 of", "Print at 100 %", "WL 0", "4 in"}) {
    EXPECT_THAT(text, HasSubstr(words));
  }
  constexpr int dots_per_inch = 300;
  const double mm_per_dot = 25.4 / dots_per_inch;
  for (int page = 1; page <= 1 + n_printed(tiling); ++page) {
    const Picture picture = rendered(file, page, dots_per_inch);
    // The foot is the lowest 32 mm: bars 7.5 and 16 mm below its top.
    const auto row = [&](double mm_from_foot_top) {
      return picture.height - static_cast<int>((32.0 - mm_from_foot_top) / mm_per_dot);
    };
    const std::string name = "page " + std::to_string(page);
    check.expect_near(name + ", 100 mm", longest_run(picture, row(4.5), row(10.5)) * mm_per_dot, 100.0, 0.35);
    check.expect_near(name + ", 4 in", longest_run(picture, row(13.0), row(19.0)) * mm_per_dot, 101.6, 0.35);
  }
}

// The outline itself in the rendered sheets: along the row through the circle's middle the two dark dots are
// 600 mm apart when the sheets are laid together by their windows.
TEST(WrittenPdf, HasTheOutlineFullSizeAcrossSheets) {
  ValidationCheck check(
      {.id = "templates.pdf_outline",
       .group = "Templates",
       .title = "Width of an outline over sheets of paper laid together",
       .source = "exact: circle of 600 mm diameter; measured in the pages as poppler renders them",
       .condition = "letter paper, 300 dots per inch",
       .unit = "mm",
       .reason = "0.35 mm: a dot at either edge, and the line's width of 0.25 mm"});
  const ScratchFolder folder;
  const std::filesystem::path file = folder.path() / "circle.pdf";
  Drawing drawing = circle_drawing();
  std::erase_if(drawing.strokes, [](const Stroke& stroke) { return stroke.line == Line::Mark; });
  drawing.labels.clear();
  const Tiling tiling = tile(drawing, paper_named("letter"));
  write_pdf(drawing, tiling, file);
  EXPECT_THAT(output_of("pdfinfo " + quoted(file)), HasSubstr("(letter)"));
  constexpr int dots_per_inch = 300;
  const double mm_per_dot = 25.4 / dots_per_inch;
  const double level = 0.040;  // off the joints' crosses; half width there sqrt(300^2 - 40^2)
  double left = 0.0;
  double right = 0.0;
  int page = 1;
  for (const Tile& one : tiling.tiles) {
    if (one.is_blank) continue;
    ++page;
    if (!(one.window.low[1] < level - 0.002 && level + 0.002 < one.window.high[1])) continue;
    const Picture picture = rendered(file, page, dots_per_inch);
    const int y = static_cast<int>((10.0 + 1000.0 * (one.window.high[1] - level)) / mm_per_dot);
    for (int x = 0; x < picture.width; ++x) {
      if (!picture.is_dark(x, y)) continue;
      const double u = 1000.0 * one.window.low[0] + (x + 0.5) * mm_per_dot - 10.0;
      if (std::abs(std::abs(u) - 297.3) > 3.0) continue;  // frames, letters and cut lines lie elsewhere
      left = std::min(left, u);
      right = std::max(right, u);
    }
  }
  check.expect_near("width", right - left, 2.0 * std::sqrt(300.0 * 300.0 - 40.0 * 40.0), 0.35);
}

}  // namespace
}  // namespace cowlwright::templates
