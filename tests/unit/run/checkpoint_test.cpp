// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a run may go on from when files are half-written, damaged or missing.
#include "cases/run/checkpoint.h"

#include "geometry/base/case_state.h"
#include "geometry/base/manifest.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace {

using namespace cowlwright::run;
using cowlwright::testing_support::ScratchFolder;
using cowlwright::testing_support::text_of;
using testing::HasSubstr;
namespace fs = std::filesystem;

const std::string divider =
    "\n// ************************************************************************* //\n";

/// A case folder written as the solver writes it.
class FakeCase {
 public:
  explicit FakeCase(int ranks) : ranks_(ranks) {
    for (const std::string& rank : folders()) {
      write(rank + "constant/polyMesh/points", "points" + divider);
      for (const char* field : {"U", "p"}) write(rank + "0/" + field, "{ uniform }\n");
    }
    cowlwright::base::Manifest manifest;
    for (const char* plane : {"exit", "inlet"})
      manifest.monitors.push_back(
          {"mass_flow", plane, std::string("flow_") + plane, "surfaceFieldValue.dat"});
    manifest.monitors.push_back({"y_plus", "walls", "y_plus", "yPlus.dat"});
    cowlwright::base::write_manifest(manifest, path());
  }

  std::vector<std::string> folders() const {
    if (ranks_ == 1) return {""};
    std::vector<std::string> result;
    for (int i = 0; i < ranks_; ++i) result.push_back("processor" + std::to_string(i) + "/");
    return result;
  }
  void write(const std::string& name, const std::string& text) const { folder_.write(name, text); }

  void write_fields(int iteration) const {
    for (const std::string& rank : folders()) {
      const std::string time = rank + std::to_string(iteration) + "/";
      for (const char* field : {"U", "p", "phi"})
        write(time + field, field + std::to_string(iteration) + std::string(100, 'x') + divider);
      write(time + "uniform/time", "index" + divider);
    }
  }
  /// Rows of the monitors from a start, as one table each.
  void write_rows(int start, int last) const {
    std::string rows = "# Time \tsum(phi)\n";
    for (int i = start + 1; i <= last; ++i) rows += std::to_string(i) + " \t" + std::to_string(i) + ".5\n";
    for (const char* monitor : {"flow_exit", "flow_inlet"})
      write("postProcessing/" + std::string(monitor) + "/" + std::to_string(start) + "/surfaceFieldValue.dat",
            rows);
  }
  /// The solver ran from `start` and its log's last line is "Time = <last + 1>".
  void solve(int start, int last, const std::vector<int>& written) const {
    write_rows(start, last);
    for (const int iteration : written) {
      write_fields(iteration);
      EXPECT_EQ(seal_checkpoints(path(), ranks_, std::min(iteration + 1, last + 1)), "");
    }
  }
  std::optional<Restored> restore() const { return restore_checkpoint(path(), ranks_); }
  std::string seal(int iteration) const { return seal_checkpoints(path(), ranks_, iteration); }

  const fs::path& path() const { return folder_.path(); }
  bool has(const std::string& name) const { return fs::exists(path() / name); }
  std::string table(int start) const {
    return text_of(path() / "postProcessing/flow_exit" / std::to_string(start) / "surfaceFieldValue.dat");
  }

 private:
  ScratchFolder folder_;
  int ranks_;
};

void flip_a_bit(const fs::path& file) {
  std::string text = text_of(file);
  text[3] = static_cast<char>(text[3] ^ 0x10);
  std::ofstream(file, std::ios::binary) << text;
}

TEST(Checkpoint, GoesOnFromTheNewestSealedIterationInAllRanks) {
  for (const int ranks : {1, 2}) {
    const FakeCase folder(ranks);
    ASSERT_EQ(folder.seal(1), "");
    folder.solve(0, 45, {20, 40});
    const auto restored = folder.restore();
    ASSERT_TRUE(restored);
    EXPECT_EQ(restored->iteration, 40);
    EXPECT_EQ(restored->trouble, "");
  }
}

TEST(Checkpoint, AFolderTheSolverHasNotGonePastIsNotSealedAndIsThrownAway) {
  const FakeCase folder(2);
  ASSERT_EQ(folder.seal(1), "");
  folder.solve(0, 40, {20});
  folder.write_fields(40);
  EXPECT_EQ(folder.seal(40), "");
  const auto restored = folder.restore();
  ASSERT_TRUE(restored);
  EXPECT_EQ(restored->iteration, 20);
  EXPECT_THAT(restored->trouble, HasSubstr("iteration 40 had not been secured"));
  EXPECT_FALSE(folder.has("processor0/40"));
  EXPECT_FALSE(folder.has("processor1/40"));
  EXPECT_TRUE(folder.has("processor1/20"));
}

struct Fault {
  const char* name;
  void (*strike)(const fs::path& file);
  const char* told;
};

class DamagedField : public testing::TestWithParam<Fault> {};

TEST_P(DamagedField, CostsTheIterationsSinceTheSealBeforeAndIsNamed) {
  const FakeCase folder(2);
  ASSERT_EQ(folder.seal(1), "");
  folder.solve(0, 45, {20, 40});
  GetParam().strike(folder.path() / "processor1/40/p");
  const auto restored = folder.restore();
  ASSERT_TRUE(restored);
  EXPECT_EQ(restored->iteration, 20);
  EXPECT_THAT(restored->trouble, HasSubstr("processor1/40/p"));
  EXPECT_THAT(restored->trouble, HasSubstr(GetParam().told));
  EXPECT_FALSE(folder.has("processor0/40"));
  EXPECT_EQ(folder.restore()->iteration, 20) << "asked again";
}

INSTANTIATE_TEST_SUITE_P(
    EachFault,
    DamagedField,
    testing::Values(Fault{"CutShort", [](const fs::path& f) { fs::resize_file(f, 10); }, "has 10 bytes of"},
                    Fault{"Empty", [](const fs::path& f) { fs::resize_file(f, 0); }, "has 0 bytes of"},
                    Fault{"Longer", [](const fs::path& f) { fs::resize_file(f, 4096); }, "has 4096 bytes of"},
                    Fault{"BitFlipped", flip_a_bit, "has other bytes"},
                    Fault{"Missing", [](const fs::path& f) { fs::remove(f); }, "is missing"}),
    [](const auto& fault) { return fault.param.name; });

TEST(Checkpoint, DamageOfTheStartFieldOrOfTheMeshLeavesNothingToGoOnFrom) {
  for (const char* file : {"processor1/0/U", "processor0/constant/polyMesh/points", "checkpoints.json"}) {
    const FakeCase folder(2);
    ASSERT_EQ(folder.seal(1), "");
    ASSERT_TRUE(folder.restore()) << file;
    flip_a_bit(folder.path() / file);
    EXPECT_FALSE(folder.restore()) << file;
  }
}

TEST(Checkpoint, ACaseWithoutSealsHasNothingToGoOnFrom) {
  const FakeCase folder(1);
  folder.write_fields(20);
  EXPECT_FALSE(folder.restore());
  EXPECT_TRUE(folder.has("20"));
}

TEST(Checkpoint, RowsAfterTheIterationGoWithIt) {
  const FakeCase folder(1);
  ASSERT_EQ(folder.seal(1), "");
  folder.solve(0, 45, {20, 40});
  ASSERT_EQ(folder.restore()->iteration, 40);
  EXPECT_THAT(folder.table(0), testing::EndsWith("\n40 \t40.5\n"));
  // Goes on to 65, then 60 and 40 turn out damaged: the tables of the start at 40 go too.
  folder.solve(40, 65, {60});
  flip_a_bit(folder.path() / "60/U");
  flip_a_bit(folder.path() / "40/U");
  folder.write_fields(20);  // the solver keeps two; this test keeps the third
  ASSERT_EQ(folder.restore()->iteration, 20);
  EXPECT_THAT(folder.table(0), testing::EndsWith("\n20 \t20.5\n"));
  EXPECT_FALSE(folder.has("postProcessing/flow_exit/40"));
}

TEST(Checkpoint, AStartFieldHasNoRows) {
  const FakeCase folder(1);
  ASSERT_EQ(folder.seal(1), "");
  folder.write_rows(0, 15);
  ASSERT_EQ(folder.restore()->iteration, 0);
  EXPECT_FALSE(folder.has("postProcessing/flow_exit/0"));
}

TEST(Checkpoint, LostOrChangedRowsCostTheCheckpointToo) {
  const FakeCase folder(1);
  ASSERT_EQ(folder.seal(1), "");
  folder.solve(0, 45, {20, 40});
  const std::string name = "postProcessing/flow_inlet/0/surfaceFieldValue.dat";
  std::string text = text_of(folder.path() / name);
  text[text.find("30.5")] = '4';
  folder.write(name, text);
  const auto restored = folder.restore();
  EXPECT_EQ(restored->iteration, 20);
  EXPECT_THAT(restored->trouble, HasSubstr(name));
}

TEST(Checkpoint, TellsOfAFieldThatTheSolverLeftCutShort) {
  const FakeCase folder(2);
  ASSERT_EQ(folder.seal(1), "");
  folder.solve(0, 25, {20});
  folder.write_rows(0, 45);
  folder.write_fields(40);
  fs::resize_file(folder.path() / "processor1/40/phi", 64);
  EXPECT_THAT(folder.seal(41), HasSubstr("processor1/40/phi is cut short"));
  fs::remove(folder.path() / "processor1/40/phi");
  fs::remove(folder.path() / "processor1/40/p");
  EXPECT_THAT(folder.seal(41), HasSubstr("processor1/40/p is missing"));
  fs::remove_all(folder.path() / "processor1/40");
  EXPECT_THAT(folder.seal(41), HasSubstr("processor1/40 is missing"));
  EXPECT_EQ(folder.restore()->iteration, 20);
}

TEST(Checkpoint, TellsOfRowsThatTheSolverLeftOut) {
  const FakeCase folder(1);
  ASSERT_EQ(folder.seal(1), "");
  folder.write_rows(0, 19);
  folder.write_fields(20);
  EXPECT_THAT(folder.seal(21), HasSubstr("lacks iteration 20"));
  folder.write_rows(0, 21);
  EXPECT_EQ(folder.seal(21), "");
}

TEST(Checkpoint, AMonitorOfWrittenIterationsOnlyLacksNothing) {
  const FakeCase folder(1);
  ASSERT_EQ(folder.seal(1), "");
  folder.write("postProcessing/y_plus/0/yPlus.dat", "# y+\n20 cowl 1 2 3\n20 exit 1 2 3\n40 cowl 1 2 3\n");
  folder.solve(0, 45, {20, 40});
  EXPECT_EQ(folder.restore()->iteration, 40);
}

// A run that is stopped in the first iteration after a restart writes its fields, and so a row, there.
TEST(Checkpoint, AMonitorOfWrittenIterationsMayHaveARowRightAfterARestart) {
  const FakeCase folder(1);
  ASSERT_EQ(folder.seal(1), "");
  folder.solve(0, 40, {40});
  folder.write("postProcessing/y_plus/0/yPlus.dat", "# y+\n40 cowl 1 2 3\n");
  folder.write("postProcessing/y_plus/40/yPlus.dat", "# y+\n41 cowl 1 2 3\n");
  folder.solve(40, 41, {41});
  EXPECT_EQ(folder.restore()->iteration, 41);
}

TEST(Checkpoint, ForgetsFoldersThatTheSolverHasRemoved) {
  const FakeCase folder(1);
  ASSERT_EQ(folder.seal(1), "");
  folder.solve(0, 65, {20, 40, 60});
  fs::remove_all(folder.path() / "20");
  ASSERT_EQ(folder.seal(66), "");
  EXPECT_THAT(text_of(folder.path() / checkpoint_file_name), testing::Not(HasSubstr("20/U")));
  flip_a_bit(folder.path() / "60/U");
  EXPECT_EQ(folder.restore()->iteration, 40);
}

TEST(Checkpoint, ForgottenSealsOfOneNumberOfRanksLeaveTheOthers) {
  const FakeCase folder(2);
  folder.write("0/U", "{ uniform }\n");
  ASSERT_EQ(seal_checkpoints(folder.path(), 1, 1), "");
  ASSERT_EQ(folder.seal(1), "");
  forget_checkpoints(folder.path(), 2);
  EXPECT_FALSE(folder.restore());
  EXPECT_TRUE(restore_checkpoint(folder.path(), 1));
}

TEST(Checkpoint, ResultOfASolvedCaseIsHeldAgainstItsSeal) {
  const FakeCase folder(1);
  EXPECT_EQ(result_damage(folder.path()), "iteration 0 has no seal");
  ASSERT_EQ(folder.seal(1), "");
  folder.solve(0, 40, {20, 40});
  EXPECT_EQ(result_damage(folder.path()), "");
  flip_a_bit(folder.path() / "40/p");
  EXPECT_THAT(result_damage(folder.path()), HasSubstr("40/p has other bytes"));
  folder.write_fields(60);
  EXPECT_EQ(result_damage(folder.path()), "iteration 60 has no seal");
}

TEST(Checkpoint, ACaseOfWhichOnlyTablesWereKeptIsNotDamaged) {
  const FakeCase folder(1);
  ASSERT_EQ(folder.seal(1), "");
  fs::remove_all(folder.path() / "0");
  EXPECT_EQ(result_damage(folder.path()), "it has no fields");
  cowlwright::base::CaseState state;
  state.kept = "tables";
  cowlwright::base::write_case_state(state, folder.path());
  EXPECT_EQ(result_damage(folder.path()), "");
}

TEST(Checkpoint, AJoinedFolderAfterTheSoundIterationGoesToo) {
  const FakeCase folder(2);
  ASSERT_EQ(folder.seal(1), "");
  folder.solve(0, 40, {20, 40});
  folder.write("40/U", "joined" + divider);
  ASSERT_EQ(seal_checkpoints(folder.path(), 1, 41), "");
  EXPECT_EQ(result_damage(folder.path()), "");
  flip_a_bit(folder.path() / "processor0/40/U");
  EXPECT_EQ(folder.restore()->iteration, 20);
  EXPECT_FALSE(folder.has("40"));
}

}  // namespace
