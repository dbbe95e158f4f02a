// SPDX-License-Identifier: GPL-3.0-or-later
//
// A designer's scan on its way into a study: every triangle apart from its neighbours, some turned, some
// missing, some double, a crumb. Looked at, mended, taken in; no solver. The scan is our own cowl spoiled, so
// what must come out is known.
#include "tests/end_to_end/program_run.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>
#include <string>
#include <vector>

namespace {

using namespace cowlwright::testing_support;
using ::testing::AllOf;
using ::testing::HasSubstr;

using Corner = std::array<double, 3>;
using Triangle = std::array<Corner, 3>;

std::vector<Triangle> read_triangles(const std::filesystem::path& stl) {
  std::ifstream in(stl);
  std::vector<Triangle> triangles;
  std::size_t n = 0;
  for (std::string line; std::getline(in, line);) {
    std::istringstream words(line);
    std::string keyword;
    Corner corner{};
    if (!(words >> keyword >> corner[0] >> corner[1] >> corner[2]) || keyword != "vertex") continue;
    if (n % 3 == 0) triangles.emplace_back();
    triangles.back()[n++ % 3] = corner;
  }
  return triangles;
}

double longest_side(const Triangle& t) {
  double longest = 0.0;
  for (std::size_t k = 0; k < 3; ++k) {
    const Corner& a = t[k];
    const Corner& b = t[(k + 1) % 3];
    longest = std::max(longest, std::hypot(b[0] - a[0], b[1] - a[1], b[2] - a[2]));
  }
  return longest;
}

/// Some turned, missing, double; a crumb; and in millimetres, each corner moved by up to 0.02 mm along every
/// axis.
void write_scan(const std::vector<Triangle>& clean, const std::filesystem::path& stl) {
  std::vector<Triangle> scan;
  for (std::size_t i = 0; i < clean.size(); ++i) {
    const bool is_missing = i % 5000 == 777 && longest_side(clean[i]) < 0.06;
    if (!is_missing) scan.push_back(clean[i]);
    if (i % 75 == 0) std::swap(scan.back()[0], scan.back()[1]);
    if (i % 700 == 0) scan.push_back(clean[i]);
  }
  scan.push_back({{{0.500, 0.1, 0.1}, {0.502, 0.1, 0.1}, {0.500, 0.102, 0.1}}});
  std::mt19937 bits(3);
  const auto moved = [&](double metres) {
    constexpr double most = 0.02;  // [mm]
    return 1000.0 * metres +
           most * (2.0 * static_cast<double>(bits()) / static_cast<double>(std::mt19937::max()) - 1.0);
  };
  std::ofstream out(stl);
  out.precision(9);
  out << "solid scan\n";
  for (const Triangle& t : scan) {
    out << "facet normal 0 0 0\nouter loop\n";
    for (const Corner& c : t)
      out << "vertex " << moved(c[0]) << " " << moved(c[1]) << " " << moved(c[2]) << "\n";
    out << "endloop\nendfacet\n";
  }
  out << "endsolid scan\n";
}

/// First number behind a word.
double number_after(const std::string& text, const std::string& word) {
  const std::size_t at = text.find(word);
  return at == std::string::npos ? std::nan("") : std::stod(text.substr(at + word.size()));
}

/// Writes own.toml, a study with the surface of a file.
const ScratchFolder& with_own_cowl(const ScratchFolder& folder,
                                   const std::string& file,
                                   const std::string& unit) {
  folder.write(
      "own.toml",
      own_cowl_study(draft_study(200, 60, "\"exit.lip_angle\" = [\"30 deg\"]\n"), file, unit, "x y z"));
  return folder;
}

class ScanToStudy : public testing::Test {
 protected:
  static ProgramRun run(std::vector<std::string> words, const ScratchFolder& folder) {
    words.insert(words.begin(), program("cowlwright"));
    return run_program(words, folder.path());
  }
};

// Welding at ten times what corners were moved by joins them; no triangle of the cowl is that small.
TEST_F(ScanToStudy, ASpoiledCowlIsMendedAndHoldsTheInstallationOfTheCleanOne) {
  const ScratchFolder folder;
  folder.write("clean.toml", draft_study(200, 60, "\"exit.lip_angle\" = [\"30 deg\"]\n"));
  ASSERT_EQ(run({"shape", "clean.toml", "-o", "clean"}, folder).exit_code, 0);
  write_scan(read_triangles(folder.path() / "clean" / "lip_angle_30_deg" / "cowl_skin.stl"),
             folder.path() / "scan.stl");

  const ProgramRun unplaced = run({"inspect", "scan.stl"}, folder);
  EXPECT_EQ(unplaced.exit_code, 2);
  EXPECT_THAT(unplaced.output, AllOf(HasSubstr("Proposed: --unit mm"), HasSubstr("--axes=\"x y z\"")));

  const ProgramRun inspected = run({"inspect", "scan.stl", "--unit", "mm", "--axes=x y z"}, folder);
  EXPECT_EQ(inspected.exit_code, 0) << inspected.output;
  EXPECT_THAT(inspected.output, HasSubstr("what cowlwright repair does"));

  const ProgramRun raw = run({"check", "own.toml"}, with_own_cowl(folder, "scan.stl", "mm"));
  EXPECT_EQ(raw.exit_code, 2);
  EXPECT_THAT(raw.output, HasSubstr("cowlwright repair"));

  const ProgramRun repaired = run({"repair",
                                   "scan.stl",
                                   "--unit",
                                   "mm",
                                   "--axes=x y z",
                                   "--weld",
                                   "0.2 mm",
                                   "--fill-holes",
                                   "100 mm",
                                   "--tolerance",
                                   "1 mm",
                                   "-o",
                                   "mended.stl"},
                                  folder);
  ASSERT_EQ(repaired.exit_code, 0) << repaired.output;
  EXPECT_THAT(repaired.output, HasSubstr("3 openings stay"));

  const ProgramRun checked = run({"check", "own.toml"}, with_own_cowl(folder, "mended.stl", "m"));
  ASSERT_EQ(checked.exit_code, 0) << checked.output;
  EXPECT_THAT(checked.output, HasSubstr("closed, no self-intersection"));
  // The clean cowl's gap; 0.5 mm for facets, 0.02 mm for the corners moved.
  EXPECT_NEAR(number_after(checked.output, "exit gap"), 75.0, 0.5);
}

}  // namespace
