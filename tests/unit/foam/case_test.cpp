// SPDX-License-Identifier: GPL-3.0-or-later
//
// A whole case as text, built from the starter study: what must agree between its files, and the golden texts
// of those that do not depend on the shape. After a deliberate change, set COWLWRIGHT_WRITE_GOLDEN=1 and look
// at the difference.
#include "cases/foam/case.h"

#include "cases/starter.h"
#include "geometry/base/text_file.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <set>

namespace cowlwright::foam {
namespace {

using testing::HasSubstr;
using testing::Not;

const Case& starter_case() {
  static const Study study = parse_study(starter_study_text(), "starter.toml");
  static const Case built = build_cases(study, 0).front();
  return built;
}

class GoldenCaseFile : public testing::TestWithParam<const char*> {};

TEST_P(GoldenCaseFile, KeepsItsText) {
  std::string name = GetParam();
  const std::string text = starter_case().files.at(name);
  std::replace(name.begin(), name.end(), '/', '_');
  const std::filesystem::path golden = std::filesystem::path(COWLWRIGHT_TEST_GOLDEN) / "case" / name;
  if (std::getenv("COWLWRIGHT_WRITE_GOLDEN") != nullptr) {
    std::filesystem::create_directories(golden.parent_path());
    base::write_text(golden, text);
  }
  EXPECT_EQ(text, base::read_text(golden));
}

INSTANTIATE_TEST_SUITE_P(Files,
                         GoldenCaseFile,
                         testing::Values("Allrun",
                                         "system/blockMeshDict",
                                         "system/snappyHexMeshDict",
                                         "system/topoSetDict",
                                         "system/decomposeParDict",
                                         "system/controlDict",
                                         "system/fvSchemes",
                                         "system/fvSolution",
                                         "system/setFieldsDict",
                                         "constant/thermophysicalProperties",
                                         "constant/turbulenceProperties",
                                         "0.orig/U",
                                         "0.orig/omega"));

TEST(FoamCase, EveryWallPatchHasAConditionInEveryField) {
  for (const char* field :
       {"0.orig/U", "0.orig/p", "0.orig/T", "0.orig/k", "0.orig/omega", "0.orig/nut", "0.orig/alphat"}) {
    for (const base::PatchRecord& patch : starter_case().manifest.patches) {
      EXPECT_THAT(starter_case().files.at(field), HasSubstr("    " + patch.name + "\n")) << field;
    }
  }
}

TEST(FoamCase, EveryZoneAndPlaneIsSelectedFromASurfaceOfTheCase) {
  const Case& built = starter_case();
  const std::string& selection = built.files.at("system/topoSetDict");
  for (const base::ZoneRecord& zone : built.manifest.zones) {
    EXPECT_TRUE(built.files.contains("constant/triSurface/" + zone.name + ".stl")) << zone.name;
    EXPECT_THAT(selection, HasSubstr("name " + zone.name + ";"));
  }
  for (const base::PlaneRecord& plane : built.manifest.planes) {
    EXPECT_TRUE(built.files.contains("constant/triSurface/" + plane.name + "_before.stl")) << plane.name;
    EXPECT_THAT(selection, HasSubstr("name " + plane.name + ";"));
  }
}

TEST(FoamCase, EveryMonitorIsAFunctionObjectOnAKnownPlaneOrZone) {
  const Case& built = starter_case();
  std::set<std::string> subjects;
  for (const auto& plane : built.manifest.planes) {
    subjects.insert(plane.name);
  }
  for (const auto& zone : built.manifest.zones) {
    subjects.insert(zone.name);
  }
  subjects.insert("walls");
  ASSERT_FALSE(built.manifest.monitors.empty());
  for (const base::MonitorRecord& monitor : built.manifest.monitors) {
    EXPECT_TRUE(subjects.contains(monitor.subject)) << monitor.subject;
    EXPECT_THAT(built.files.at("system/controlDict"), HasSubstr("    " + monitor.function_object + "\n"));
  }
}

TEST(FoamCase, HeatOfAllCoresIsTheStatedShareOfPower) {
  double heat = 0.0;
  for (const base::PassageRecord& core : starter_case().manifest.passages) {
    heat += core.heat;
  }
  // The starter states 75 kW and 50 %.
  EXPECT_NEAR(heat, 37500.0, 1e-6);
}

// The source turns positive rpm into rotation that is clockwise for the pilot, who looks forward.
TEST(FoamCase, AnticlockwiseRotationTurnsTheSignOfTheSpeed) {
  std::string text = starter_study_text();
  const std::size_t at = text.find("\"clockwise\"");
  ASSERT_NE(at, std::string::npos);
  text.replace(at, 11, "\"anticlockwise\"");
  const Case turned = build_cases(parse_study(text, "starter.toml"), 0).front();
  EXPECT_THAT(starter_case().files.at("constant/fvOptions"), Not(HasSubstr("rpm -")));
  EXPECT_THAT(turned.files.at("constant/fvOptions"), HasSubstr("rpm -"));
  EXPECT_NE(turned.manifest.input_hash, starter_case().manifest.input_hash);
}

TEST(FoamCase, InputHashIsTheSameForTheSameStudy) {
  const Case again = build_cases(parse_study(starter_study_text(), "starter.toml"), 0).front();
  EXPECT_EQ(again.manifest.input_hash, starter_case().manifest.input_hash);
}

TEST(FoamCase, StagesLeaveOutSplitAndJoinOnOneRank) {
  for (const Stage& stage : case_stages(1)) {
    EXPECT_NE(stage.name, "split");
    EXPECT_NE(stage.name, "join");
  }
  const std::vector<Stage> two = case_stages(2);
  EXPECT_EQ(two.back().name, "join");
}

/// The starter study with [grid] level and compare replaced.
Study compared_study(const std::string& grid) {
  std::string text = starter_study_text();
  const std::size_t begin = text.find("level = \"coarse\"");
  const std::size_t end = text.find('\n', text.find("compare = 1", begin));
  text.replace(begin, end - begin, grid);
  return parse_study(text, "starter.toml");
}

TEST(FoamCase, FinerGridsOfAComparisonStartFromTheNextCoarserOne) {
  const Study study = compared_study("level = \"medium\"\ncompare = 3");
  const VariantSpec& spec = study.variants[0];
  const std::vector<Case> cases = build_cases(study, 0);
  ASSERT_EQ(cases.size(), 3U);
  const Case& draft = cases[0];
  const Case& coarse = cases[1];
  EXPECT_EQ(draft.manifest.start_from, "");
  EXPECT_EQ(case_folder(spec, meshing::GridLevel::Coarse), spec.variant.name + "-coarse");
  EXPECT_EQ(coarse.manifest.start_from, spec.variant.name + "-draft");
  EXPECT_THAT(coarse.files.at("Allrun"), HasSubstr("mapFieldsPar ../" + spec.variant.name + "-draft "));
  EXPECT_EQ(coarse.manifest.grid_level, "coarse");
  EXPECT_EQ(coarse.manifest.n_grids, 3);
  EXPECT_NEAR(draft.manifest.cell_size / coarse.manifest.cell_size, 1.5, 0.08);  // whole layers in the cores
}

// The answer is the same within its band from whichever start.
TEST(FoamCase, KeysAreTheSameForCasesThatDifferInTheirStartOnly) {
  const Case alone = build_cases(compared_study("level = \"coarse\""), 0)[0];
  const Case finer = build_cases(compared_study("level = \"medium\"\ncompare = 3"), 0)[1];
  EXPECT_EQ(alone.keys.mesh, finer.keys.mesh);
  EXPECT_EQ(alone.keys.solve, finer.keys.solve);
  EXPECT_NE(alone.keys.source, finer.keys.source);
}

/// The starter study's first case with a text of it replaced.
Case changed_case(const std::string& old_text, const std::string& new_text) {
  std::string text = starter_study_text();
  const std::size_t at = text.find(old_text);
  if (at == std::string::npos) ADD_FAILURE() << "not in the starter study: " << old_text;
  return build_cases(parse_study(text.replace(at, old_text.size(), new_text), "starter.toml"), 0).front();
}

TEST(FoamCase, ALongerRunChangesNeitherMeshNorSolveKey) {
  const Case longer = changed_case("level = \"coarse\"", "level = \"coarse\"\niterations = 900");
  EXPECT_EQ(longer.keys.mesh, starter_case().keys.mesh);
  EXPECT_EQ(longer.keys.solve, starter_case().keys.solve);
  EXPECT_NE(longer.keys.source, starter_case().keys.source);
}

TEST(FoamCase, ACommentChangesNoKey) {
  EXPECT_EQ(changed_case("[flight]", "# as flown\n[flight]").keys, starter_case().keys);
}

TEST(FoamCase, FlightChangesTheSolveKeyAndNotTheMeshs) {
  const Case gusty = changed_case("turbulence_intensity = \"1 %\"", "turbulence_intensity = \"5 %\"");
  EXPECT_EQ(gusty.keys.mesh, starter_case().keys.mesh);
  EXPECT_NE(gusty.keys.solve, starter_case().keys.solve);
}

TEST(FoamCase, ShapeChangesTheMeshKey) {
  const Case finer = changed_case("level = \"coarse\"", "level = \"draft\"");
  EXPECT_NE(finer.keys.mesh, starter_case().keys.mesh);
  EXPECT_NE(finer.keys.solve, starter_case().keys.solve);
}

/// From one word of a text to the next other one.
std::string between(const std::string& text, const std::string& from, const std::string& to) {
  const std::size_t begin = text.find(from);
  return begin == std::string::npos ? "" : text.substr(begin, text.find(to, begin) - begin);
}

TEST(FoamCase, CoolingDragAddsAClosedReferenceToEachGrid) {
  const Study study = compared_study("level = \"medium\"\ncompare = 3\ncooling_drag = true");
  const std::vector<CasePlan> plans = case_plans(study.variants[0]);
  const std::string name = study.variants[0].variant.name;
  ASSERT_EQ(plans.size(), 6U);
  EXPECT_EQ(plans[2].folder, name + "-medium");
  EXPECT_EQ(plans[3].folder, name + "-draft-closed");
  EXPECT_EQ(plans[3].start_from, "");
  EXPECT_EQ(plans[5].folder, name + "-medium-closed");
  EXPECT_EQ(plans[5].start_from, name + "-coarse-closed");
  EXPECT_TRUE(plans[5].is_reference);
}

TEST(FoamCase, ClosedReferenceIsTheSameAircraftWithoutAirInside) {
  const std::vector<Case> cases = build_cases(compared_study("level = \"draft\"\ncooling_drag = true"), 0);
  ASSERT_EQ(cases.size(), 2U);
  const base::Manifest& open = cases[0].manifest;
  const base::Manifest& closed = cases[1].manifest;
  EXPECT_FALSE(open.is_reference);
  EXPECT_EQ(open.reference, open.variant + "-closed");
  EXPECT_TRUE(closed.is_reference);
  EXPECT_EQ(closed.reference, "");
  EXPECT_TRUE(closed.planes.empty());
  EXPECT_TRUE(closed.passages.empty());
  EXPECT_EQ(closed.zones.size(), 1U);  // the propeller's disk
  EXPECT_EQ(closed.propeller->collective, open.propeller->collective);
  EXPECT_EQ(closed.cell_size, open.cell_size);
  EXPECT_THAT(cases[1].files.at("constant/fvOptions"), Not(HasSubstr("resistance_")));
  EXPECT_EQ(cases[1].files.at("system/blockMeshDict"), cases[0].files.at("system/blockMeshDict"));
}

TEST(FoamCase, ForcesAreTakenApartIntoOutsideAndInside) {
  const std::vector<Case> cases = build_cases(compared_study("level = \"draft\"\ncooling_drag = true"), 0);
  const std::string& control = cases[0].files.at("system/controlDict");
  const std::string outside = between(control, "force_outside\n", "coordinateSystem");
  const std::string inside = between(control, "force_inside\n", "coordinateSystem");
  EXPECT_THAT(outside, HasSubstr("patches (spinner cowl fuselage ring_left ring_right exit_lip);"));
  EXPECT_THAT(outside, HasSubstr("porosity no;"));
  EXPECT_THAT(inside, HasSubstr("core_wall"));
  EXPECT_THAT(inside, HasSubstr("porosity yes;"));
  EXPECT_THAT(inside, Not(HasSubstr("spinner")));
  const std::string& closed = cases[1].files.at("system/controlDict");
  EXPECT_THAT(closed, HasSubstr("patches (spinner cowl fuselage);"));
  EXPECT_THAT(closed, Not(HasSubstr("force_inside")));
}

TEST(FoamCase, MonitorsNoForcesUnlessCoolingDragIsAskedFor) {
  EXPECT_THAT(starter_case().files.at("system/controlDict"), Not(HasSubstr("libforces")));
}

TEST(FoamCase, WritingReplacesAnOlderFolderWhole) {
  const std::filesystem::path dir = std::filesystem::path(testing::TempDir()) / "foam_case";
  std::filesystem::create_directories(dir / "100");
  base::write_text(dir / "100/p", "stale");
  write_case(starter_case(), dir);
  EXPECT_FALSE(std::filesystem::exists(dir / "100"));
  EXPECT_EQ(base::read_manifest(dir).input_hash, starter_case().manifest.input_hash);
  const auto permissions = std::filesystem::status(dir / "Allrun").permissions();
  EXPECT_NE(permissions & std::filesystem::perms::owner_exec, std::filesystem::perms::none);
  std::filesystem::remove_all(dir);
}

}  // namespace
}  // namespace cowlwright::foam
