// SPDX-License-Identifier: GPL-3.0-or-later
//
// A designer's way: a cowl as a surface file, openings named, the study run as any other. The surface is our
// own cowl given out by `cowlwright shape` in inches and with other axes, so what must come out is known: the
// numbers of the parametric study, within what a grid changes.
#include "tests/end_to_end/study_test.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <map>
#include <memory>
#include <sstream>
#include <string>
#include <vector>

namespace {

using namespace cowlwright::testing_support;
using ::testing::HasSubstr;

constexpr const char* no_variation = "\"exit.lip_angle\" = [\"30 deg\"]\n";

/// An ASCII STL in metres, written anew in inches with x to the right, y up and z aft.
void write_in_other_frame(const std::filesystem::path& from, const std::filesystem::path& to) {
  std::ifstream in(from);
  std::ofstream out(to);
  out.precision(12);
  constexpr double inch = 0.0254;
  for (std::string line; std::getline(in, line);) {
    std::istringstream words(line);
    std::string keyword;
    double x = 0.0;
    double y = 0.0;
    double z = 0.0;
    if (words >> keyword >> x >> y >> z && keyword == "vertex") {
      out << "vertex " << y / inch << " " << z / inch << " " << x / inch << "\n";
    } else {
      out << line << "\n";
    }
  }
}

class OwnCowl : public OpenFoamTest {
 protected:
  static void SetUpTestSuite() {
    if (!why_openfoam_does_not_run().empty()) return;
    folder_ = std::make_unique<ScratchFolder>();
    const std::string parametric = draft_study(200, 60, no_variation, 1);
    folder_->write("parametric.toml", parametric);
    shape_ = run({"shape", "parametric.toml"});
    write_in_other_frame(skin_file(), folder_->path() / "mine.stl");
    folder_->write("own.toml", own_cowl_study(parametric, "mine.stl", "in", "z x y"));
    check_ = run({"check", "own.toml"});
    run({"run", "--tables-only", "parametric.toml"});
    own_run_ = run({"run", "--tables-only", "own.toml"});
    parametric_results_ = read_results(folder_->path() / "parametric-study");
    own_results_ = read_results(folder_->path() / "own-study");
  }
  static void TearDownTestSuite() { folder_.reset(); }

  static ProgramRun run(std::vector<std::string> words) {
    words.insert(words.begin(), program("cowlwright"));
    return run_program(words, folder_->path());
  }

  static std::filesystem::path skin_file() {
    for (const auto& entry :
         std::filesystem::recursive_directory_iterator(folder_->path() / "parametric-shape")) {
      if (entry.path().filename() == "cowl_skin.stl") return entry.path();
    }
    return {};
  }

  static double parametric(const std::string& id) {
    return quantity_value(parametric_results_["variants"][0], id);
  }
  static double own(const std::string& id) { return quantity_value(own_results_["variants"][0], id); }

  static double half_band(const nlohmann::json& results, const std::string& id) {
    for (const auto& quantity : results["variants"][0]["quantities"]) {
      if (quantity["id"] == id) return quantity["half_band"].get<double>();
    }
    ADD_FAILURE() << "no quantity " << id;
    return std::nan("");
  }

  static inline std::unique_ptr<ScratchFolder> folder_;
  static inline ProgramRun shape_;
  static inline ProgramRun check_;
  static inline ProgramRun own_run_;
  static inline nlohmann::json parametric_results_;
  static inline nlohmann::json own_results_;
};

TEST_F(OwnCowl, CheckTellsWhatWasMeasuredOnTheSurface) {
  ASSERT_EQ(check_.exit_code, 0) << check_.output;
  EXPECT_THAT(check_.output, HasSubstr("mine.stl"));
  EXPECT_THAT(check_.output, HasSubstr("trailing edge, FS"));
  EXPECT_THAT(check_.output, HasSubstr("1350.0 mm"));
}

// What a grid changes, from the parametric cowl on its draft, coarse and medium grids (lip at 0 deg): deck
// pressure difference 1712.8, 1713.3, 1733.1 Pa, exit flow 0.6668, 0.6764, 0.6856 kg/s, so 1.2 % and 2.8 %;
// an inlet's own flow, which no grid has settled, changed by 5 % between draft and coarse. Both rows' swing
// at 200 iterations comes on top. The deck difference gets 3 %: at rest it was 1906.5 and 1951.1 Pa, 2.3 %
// apart. The own cowl's mesh has 5 % more cells, and a steady wake can have two solutions, 1 % apart
// (DEVELOPERS.md, where a case starts). Chosen, no source.
TEST_F(OwnCowl, GivesTheNumbersOfTheParametricCowlWithinTheGridBand) {
  ASSERT_TRUE(own_results_.contains("variants")) << own_run_.output;
  for (const auto& [id, grid_band] : std::map<std::string, double>{{"deck_pressure_difference", 0.03},
                                                                   {"exit_mass_flow", 0.028},
                                                                   {"inlet_mass_flow_left", 0.05},
                                                                   {"inlet_mass_flow_right", 0.05}}) {
    const double swing = half_band(parametric_results_, id) + half_band(own_results_, id);
    EXPECT_NEAR(own(id), parametric(id), grid_band * parametric(id) + swing) << id;
    EXPECT_LT(swing, 0.03 * parametric(id)) << id;  // or the comparison would say nothing
  }
}

TEST_F(OwnCowl, LosesNoAirAndNoHeat) {
  ASSERT_TRUE(own_results_.contains("variants")) << own_run_.output;
  EXPECT_NEAR(own("continuity_closure"), 0.0, 1.0);
  EXPECT_NEAR(own("energy_closure"), 0.0, 2.0);
}

TEST_F(OwnCowl, AWrongUnitIsSaidAtTheFilesKeyBeforeAnythingIsMeshed) {
  std::ifstream in(folder_->path() / "own.toml");
  std::string text((std::istreambuf_iterator<char>(in)), {});
  text.replace(text.find("unit = \"in\""), 11, "unit = \"mm\"");
  folder_->write("wrong.toml", text);
  const ProgramRun wrong = run({"check", "wrong.toml"});
  EXPECT_EQ(wrong.exit_code, 2);
  EXPECT_THAT(wrong.output, HasSubstr("[own_cowl] file"));
}

}  // namespace
