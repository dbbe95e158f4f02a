// SPDX-License-Identifier: GPL-3.0-or-later
//
// The program cowlpost on synthetic cases: exit codes, files, what it says.
#include "geometry/base/case_state.h"
#include "geometry/base/sweep.h"
#include "tests/support/scratch_folder.h"
#include "tests/unit/post/program_outcome.h"
#include "tests/unit/post/synthetic_case.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

namespace cowlwright::post {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;
using testing_support::ScratchFolder;
using testing_support::text_of;
using namespace cowlwright::post::synthetic;

Outcome cowlpost(const ScratchFolder& folder,
                 const std::string& arguments,
                 const std::string& environment = "") {
  return run_in(folder, "cowlpost " + arguments, environment);
}

/// Inlet at x = 0.5, core at 1, exit at 1.5, 3 kg/s through the first two and `exit_flow` through the last.
void write_case(const std::filesystem::path& dir, const std::string& variant, double exit_flow = 3.0) {
  Duct duct;
  duct.encoding = Encoding::Binary;
  duct.face_zones = {
      {"inlet_left", faces_at_x(0.5)}, {"core_l1", faces_at_x(1.0)}, {"exit", faces_at_x(1.5)}};
  duct.cell_zones = {{"upper_deck_left", cells_between(0.5, 1.0)}, {"lower_deck", cells_between(1.0, 1.5)}};
  duct.flux = [exit_flow](const DuctFace& face) {
    const double flow = face.centre.x > 1.2 ? exit_flow : 3.0;
    return face.area.x == 0.0 ? 0.0 : std::copysign(flow / 4.0, face.area.x);
  };
  duct.pressure = [](const base::Vec3& c) { return c.x < 1.0 ? 91000.0 : 90000.0; };
  duct.temperature = [](const base::Vec3&) { return 300.0; };
  duct.density = [](const base::Vec3&) { return 1.2; };
  duct.velocity = [](const base::Vec3&) { return base::Vec3{2.5, 0.0, 0.0}; };
  write_duct(duct, dir, "400");
  base::Manifest manifest;
  manifest.study = "Duct";
  manifest.study_hash = "abc";
  manifest.variant = variant;
  manifest.is_baseline = variant == "base";
  manifest.variant_index = manifest.is_baseline ? 0 : 1;
  manifest.grid_level = "coarse";
  manifest.last_iteration = 400;
  manifest.window = 100;
  manifest.closure_tolerance = 0.01;
  manifest.energy_tolerance = 0.02;
  manifest.settled_tolerance = 0.01;
  manifest.flight = {.true_airspeed = 50.0,
                     .pressure = 90000.0,
                     .temperature = 300.0,
                     .density = 1.2,
                     .dynamic_pressure = 1500.0};
  const base::Vec3 normal{1.0, 0.0, 0.0};
  manifest.planes = {
      {"inlet_left", base::PlaneRole::Inlet, base::Side::Left, {0.5, 0.5, 0.5}, normal, 1.0, 1.0},
      {"core_l1", base::PlaneRole::Core, base::Side::Left, {1.0, 0.5, 0.5}, normal, 1.0, 1.0},
      {"exit", base::PlaneRole::Exit, base::Side::Centre, {1.5, 0.5, 0.5}, normal, 1.0, 1.0}};
  manifest.zones = {{"upper_deck_left", base::ZoneRole::UpperDeck, base::Side::Left, 0.5},
                    {"lower_deck", base::ZoneRole::LowerDeck, base::Side::Centre, 0.5}};
  base::write_manifest(manifest, dir);
}

TEST(Cowlpost, WritesTablesBesideTheFirstCaseByDefault) {
  const ScratchFolder folder;
  write_case(folder.path() / "study" / "base", "base");
  const Outcome outcome = cowlpost(folder, "extract study/base");
  EXPECT_EQ(outcome.exit_code, 0) << outcome.err;
  EXPECT_THAT(outcome.out, AllOf(HasSubstr("deck pressure difference [Pa]"), HasSubstr("1000.0*")));
  EXPECT_THAT(text_of(folder.path() / "study" / "summary.csv"), HasSubstr("deck pressure difference [Pa]"));
  EXPECT_TRUE(std::filesystem::exists(folder.path() / "study" / "summary.md"));
  EXPECT_TRUE(std::filesystem::exists(folder.path() / "study" / "results.json"));
}

TEST(Cowlpost, WritesTablesWhereToldAndComparesWithTheBaseline) {
  const ScratchFolder folder;
  write_case(folder.path() / "lip", "lip", 3.003);
  write_case(folder.path() / "base", "base");
  const Outcome outcome = cowlpost(folder, "extract lip base -o tables");
  EXPECT_EQ(outcome.exit_code, 0) << outcome.err;
  EXPECT_THAT(outcome.out, AllOf(HasSubstr("(baseline)"), HasSubstr("+0.1 %")));  // 3.003 against 3 kg/s
  EXPECT_TRUE(std::filesystem::exists(folder.path() / "tables" / "results.json"));
}

TEST(Cowlpost, NamesCasesThatTheStudyStillLacks) {
  const ScratchFolder folder;
  const std::filesystem::path study = folder.path() / "study";
  write_case(study / "base", "base");
  base::Sweep sweep;
  for (const char* name : {"base", "lip", "ring"}) sweep.tasks.push_back({.case_folder = name});
  base::write_sweep(sweep, study);
  base::CaseState state;
  state.phase = base::CasePhase::Finished;
  base::write_case_state(state, study / "base");
  std::filesystem::create_directory(study / "lip");
  state.phase = base::CasePhase::Running;
  base::write_case_state(state, study / "lip");
  const std::string note = "1 of 3 cases of the study have ended; not yet: lip, ring";
  EXPECT_EQ(cowlpost(folder, "extract study/base").exit_code, 0);
  EXPECT_THAT(text_of(study / "summary.md"), HasSubstr(note));
  EXPECT_THAT(text_of(study / "results.json"), HasSubstr(note));

  state.phase = base::CasePhase::Failed;  // it has ended
  base::write_case_state(state, study / "lip");
  EXPECT_EQ(cowlpost(folder, "extract study/base").exit_code, 0);
  EXPECT_THAT(text_of(study / "summary.md"),
              HasSubstr("2 of 3 cases of the study have ended; not yet: ring"));
}

TEST(Cowlpost, FieldsOfARunThatFailedOnItsWayAreNoRow) {
  const ScratchFolder folder;
  write_case(folder.path() / "base", "base");
  write_case(folder.path() / "lip", "lip");
  base::CaseState state;
  state.phase = base::CasePhase::Failed;
  state.message = "rhoSimpleFoam was killed\nmore";
  base::write_case_state(state, folder.path() / "lip");
  EXPECT_EQ(cowlpost(folder, "extract base lip").exit_code, 4);
  EXPECT_THAT(text_of(folder.path() / "results.json"),
              HasSubstr("the run failed: rhoSimpleFoam was killed\""));
}

TEST(Cowlpost, SaysWhoseResultACaseStartedFrom) {
  const ScratchFolder folder;
  write_case(folder.path() / "base", "base");
  EXPECT_EQ(cowlpost(folder, "extract base").exit_code, 0);
  EXPECT_THAT(text_of(folder.path() / "summary.md"), Not(HasSubstr("started from")));
  base::CaseState state;
  state.start_from = "lip_30";
  state.phase = base::CasePhase::Finished;
  base::write_case_state(state, folder.path() / "base");
  EXPECT_EQ(cowlpost(folder, "extract base").exit_code, 0);
  EXPECT_THAT(text_of(folder.path() / "results.json"), HasSubstr("started from the result of lip_30"));
}

// Without monitors no grid counts, and the one row says so.
TEST(Cowlpost, PutsTheGridsOfAVariantIntoOneRow) {
  const ScratchFolder folder;
  double cell_size = 0.01;
  for (const char* level : {"medium", "coarse", "draft"}) {
    const std::filesystem::path dir = folder.path() / (std::string("base-") + level);
    write_case(dir, "base");
    base::Manifest manifest = base::read_manifest(dir);
    manifest.grid_level = level;
    manifest.cell_size = cell_size;
    manifest.n_grids = 3;
    base::write_manifest(manifest, dir);
    cell_size *= 1.5;
  }
  const Outcome outcome = cowlpost(folder, "extract base-draft base-coarse base-medium");
  EXPECT_EQ(outcome.exit_code, 0) << outcome.err;
  EXPECT_THAT(outcome.out, AllOf(HasSubstr("Grids of base"), HasSubstr("0 of 3 grids usable")));
  const std::string csv = text_of(folder.path() / "summary.csv");
  EXPECT_EQ(std::count(csv.begin(), csv.end(), '\n'), 2);  // head and one row
  EXPECT_THAT(csv, HasSubstr("no grid is usable for a comparison; values are of the medium grid"));
}

// 3 in, 2.7 out: 10 %.
TEST(Cowlpost, FlagsARowThatDoesNotCloseInEveryFile) {
  const ScratchFolder folder;
  write_case(folder.path() / "base", "base", 2.7);
  const Outcome outcome = cowlpost(folder, "extract base -o tables");
  EXPECT_EQ(outcome.exit_code, 0) << outcome.err;
  const std::string flag = "continuity closure +10.00 %: limit 1.00 %";
  EXPECT_THAT(outcome.out, HasSubstr(flag));
  for (const char* name : {"summary.csv", "summary.md", "results.json"}) {
    EXPECT_THAT(text_of(folder.path() / "tables" / name), HasSubstr(flag)) << name;
  }
}

TEST(Cowlpost, TakesAStudysFolderForItsCasesInTheStudysOrder) {
  const ScratchFolder folder;
  write_case(folder.path() / "study" / "a_lip", "lip", 3.003);
  write_case(folder.path() / "study" / "base", "base");
  const Outcome outcome = cowlpost(folder, "extract study -o tables");
  EXPECT_EQ(outcome.exit_code, 0) << outcome.err;
  const std::string json = text_of(folder.path() / "tables" / "results.json");
  EXPECT_LT(json.find("\"case\": \"base\""), json.find("\"case\": \"a_lip\""));
}

TEST(Cowlpost, RefusesAFolderWithoutCases) {
  const ScratchFolder folder;
  std::filesystem::create_directories(folder.path() / "empty");
  const Outcome outcome = cowlpost(folder, "report empty");
  EXPECT_EQ(outcome.exit_code, 2);
  EXPECT_THAT(outcome.err, HasSubstr("empty: no manifest.json in it"));
}

TEST(Cowlpost, ReportWritesAPageBesideTheTables) {
  const ScratchFolder folder;
  write_case(folder.path() / "study" / "base", "base");
  const Outcome outcome = cowlpost(folder, "report study -o out --no-pictures --no-pdf");
  EXPECT_EQ(outcome.exit_code, 0) << outcome.err;
  EXPECT_THAT(outcome.out, HasSubstr("No pictures of base: pictures were not asked for."));
  EXPECT_THAT(text_of(folder.path() / "out" / "report.html"), HasSubstr("deck_pressure_difference"));
  EXPECT_FALSE(text_of(folder.path() / "out" / "results.json").empty());
}

TEST(Cowlpost, ReportSaysWhyThereAreNoPicturesAndNoPdfAndEndsWell) {
  const ScratchFolder folder;
  write_case(folder.path() / "study" / "base", "base");
  const Outcome outcome = cowlpost(folder, "report study", "DISPLAY= PATH=/nowhere");
  EXPECT_EQ(outcome.exit_code, 0) << outcome.err;
  EXPECT_THAT(outcome.out, HasSubstr("No pictures of base: the program xvfb-run is not there."));
  EXPECT_THAT(outcome.out, HasSubstr("No report.pdf: the browser chromium is not there"));
  EXPECT_THAT(text_of(folder.path() / "study" / "report.html"),
              HasSubstr("the program xvfb-run is not there"));
}

TEST(Cowlpost, ReportOfAStudyWithoutResultsIsAPageThatSaysSoAndExitCode4) {
  const ScratchFolder folder;
  write_case(folder.path() / "study" / "base", "base");
  std::filesystem::remove_all(folder.path() / "study" / "base" / "400");
  const Outcome outcome = cowlpost(folder, "report study --no-pdf");
  EXPECT_EQ(outcome.exit_code, 4);
  EXPECT_THAT(outcome.err, HasSubstr("The page says so"));
  EXPECT_THAT(text_of(folder.path() / "study" / "report.html"),
              HasSubstr("The variant cannot be used as it stands"));
}

TEST(Cowlpost, PrintsTheSchema) {
  const ScratchFolder folder;
  const Outcome outcome = cowlpost(folder, "schema");
  EXPECT_EQ(outcome.exit_code, 0);
  EXPECT_EQ(outcome.out, text_of(COWLWRIGHT_RESULTS_SCHEMA));
  EXPECT_EQ(cowlpost(folder, "schema solved_flow").out, text_of(COWLWRIGHT_SOLVED_FLOW_SCHEMA));
  const Outcome other = cowlpost(folder, "schema lips");
  EXPECT_EQ(other.exit_code, 2);
  EXPECT_THAT(other.err, HasSubstr("lips: must be results or solved_flow"));
}

TEST(Cowlpost, ACaseWithoutResultsGivesExitCode4AndNoFiles) {
  const ScratchFolder folder;
  write_case(folder.path() / "study" / "base", "base");
  std::filesystem::remove_all(folder.path() / "study" / "base" / "400");
  const Outcome outcome = cowlpost(folder, "extract study/base");
  EXPECT_EQ(outcome.exit_code, 4);
  EXPECT_THAT(outcome.err, AllOf(HasSubstr("study/base: no results yet"), HasSubstr("Nothing was written")));
  EXPECT_FALSE(std::filesystem::exists(folder.path() / "study" / "summary.csv"));
}

TEST(Cowlpost, AFailedCaseAmongOthersGivesItsRowAndExitCode4) {
  const ScratchFolder folder;
  write_case(folder.path() / "base", "base");
  write_case(folder.path() / "lip", "lip");
  std::filesystem::resize_file(folder.path() / "lip" / "400" / "phi", 300);
  const Outcome outcome = cowlpost(folder, "extract base lip");
  EXPECT_EQ(outcome.exit_code, 4);
  EXPECT_THAT(outcome.err,
              AllOf(HasSubstr("lip/400/phi"), HasSubstr("cut short"), HasSubstr("The other rows")));
  EXPECT_THAT(text_of(folder.path() / "summary.md"), HasSubstr("failed"));
}

TEST(Cowlpost, ARunThatCrashedIsFailedWithTheLogsLine) {
  const ScratchFolder folder;
  write_case(folder.path() / "base", "base");
  put_text(folder.path() / "base" / "log.solve",
           "trapFpe: Floating point exception trapping enabled (FOAM_SIGFPE).\nTime = 401\n"
           "--> FOAM FATAL ERROR: Maximum number of iterations exceeded\n");
  const Outcome outcome = cowlpost(folder, "extract base");
  EXPECT_EQ(outcome.exit_code, 4);
  EXPECT_THAT(outcome.err, HasSubstr("log.solve:3: --> FOAM FATAL ERROR: Maximum number"));
}

TEST(Cowlpost, ASoundLogIsNoFailure) {
  const ScratchFolder folder;
  write_case(folder.path() / "base", "base");
  put_text(folder.path() / "base" / "log.solve",
           "trapFpe: Floating point exception trapping enabled (FOAM_SIGFPE).\nTime = 400\nEnd\n");
  EXPECT_EQ(cowlpost(folder, "extract base").exit_code, 0);
}

TEST(Cowlpost, AFolderWithoutManifestGivesExitCode2) {
  const ScratchFolder folder;
  std::filesystem::create_directories(folder.path() / "empty");
  const Outcome outcome = cowlpost(folder, "extract empty");
  EXPECT_EQ(outcome.exit_code, 2);
  EXPECT_THAT(outcome.err, HasSubstr("manifest.json"));
}

TEST(Cowlpost, WrongUseGivesExitCode2AndSaysWhatIsRight) {
  const ScratchFolder folder;
  EXPECT_EQ(cowlpost(folder, "").exit_code, 2);
  EXPECT_EQ(cowlpost(folder, "extract").exit_code, 2);
  EXPECT_THAT(cowlpost(folder, "extract no/such/case").err, HasSubstr("no/such/case: no such case folder"));
  EXPECT_THAT(cowlpost(folder, "extract . --colour").err, HasSubstr("--colour"));
  EXPECT_THAT(cowlpost(folder, "extrakt").err, AllOf(HasSubstr("extrakt"), HasSubstr("must be extract")));
  EXPECT_THAT(cowlpost(folder, "extract a ./a").err, HasSubstr("given twice"));
}

TEST(Cowlpost, TablesThatCannotBeWrittenGiveExitCode3) {
  const ScratchFolder folder;
  write_case(folder.path() / "base", "base");
  folder.write("file", "in the way");
  const Outcome outcome = cowlpost(folder, "extract base -o file/tables");
  EXPECT_EQ(outcome.exit_code, 3);
  EXPECT_THAT(outcome.err, HasSubstr("file/tables"));
}

TEST(Cowlpost, HelpShowsExamplesAndExitCodes) {
  const ScratchFolder folder;
  const Outcome outcome = cowlpost(folder, "extract --help");
  EXPECT_EQ(outcome.exit_code, 0);
  EXPECT_THAT(outcome.out, AllOf(HasSubstr("Examples"), HasSubstr("--output"), HasSubstr("Exit codes")));
}

}  // namespace
}  // namespace cowlwright::post
