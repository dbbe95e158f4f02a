// SPDX-License-Identifier: GPL-3.0-or-later
//
// Four cells, the last two of them a core. Expected values by hand.
#include "cases/run/start_field.h"

#include "geometry/base/error.h"
#include "geometry/base/manifest.h"
#include "geometry/base/text_file.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstring>
#include <filesystem>
#include <string>
#include <vector>

namespace {

using namespace cowlwright;
using testing::DoubleNear;
using testing::ElementsAre;
using testing::HasSubstr;
using testing_support::ScratchFolder;

constexpr double rounding = 1e-9;

std::string header(const std::string& format, const std::string& foam_class) {
  return "FoamFile\n{\n    version     2.0;\n    format      " + format + ";\n    class       " + foam_class +
         ";\n    arch        \"LSB;label=32;scalar=64\";\n    object      x;\n}\n";
}

class FitStart : public testing::Test {
 protected:
  void SetUp() override {
    std::filesystem::create_directories(folder_.path() / "0");
    std::filesystem::create_directories(folder_.path() / "constant" / "polyMesh");
    base::write_text(
        folder_.path() / "constant" / "polyMesh" / "cellZones",
        header("ascii", "regIOobject") +
            "1\n(\ncore_l1\n{\n    type cellZone;\ncellLabels      List<label> \n2\n(\n2\n3\n)\n;\n}\n)\n");
    write("U", "vector", {10, 0, 0, 20, 0, 2, 0, 0, -3, 1, 0, -3});
    write("p", "scalar", {91000, 90000, 91500, 91200});
    write("T", "scalar", {290, 300, 330, 330});
    for (const char* name : {"k", "omega", "nut", "alphat"}) write(name, "scalar", {1, 2, 3, 4});
    source_.flight = {.true_airspeed = 50.0,
                      .pressure = 91000.0,
                      .temperature = 290.0,
                      .density = 1.0,
                      .dynamic_pressure = 1250.0,
                      .reference_pressure = 1250.0};
    base::PassageRecord core;
    core.zone = "core_l1";
    core.area = 0.05;
    core.heat = 9000.0;
    source_.passages = {core};
    own_ = source_;
  }

  void write(const std::string& name, const std::string& type, const std::vector<double>& values) {
    std::string bytes(values.size() * sizeof(double), '\0');
    std::memcpy(bytes.data(), values.data(), bytes.size());
    base::write_text(folder_.path() / "0" / name,
                     header("binary", type == "vector" ? "volVectorField" : "volScalarField") +
                         "dimensions      [0 0 0 0 0 0 0];\ninternalField   nonuniform List<" + type +
                         "> \n4\n(" + bytes + ")\n;\nboundaryField\n{\n}\n");
  }

  std::vector<double> values(const std::string& name) const {
    const std::string text = base::read_text(folder_.path() / "0" / name);
    const std::size_t begin = text.find("\n4\n(") + 4;
    const std::size_t end = text.rfind(")\n;");
    std::vector<double> result((end - begin) / sizeof(double));
    std::memcpy(result.data(), text.data() + begin, end - begin);
    return result;
  }

  static void write_case(const base::Manifest& manifest,
                         double speed,
                         const std::filesystem::path& directory) {
    std::filesystem::create_directories(directory / "system");
    base::write_manifest(manifest, directory);
    base::write_text(directory / "system" / "mapFieldsDict",
                     header("ascii", "dictionary") +
                         "patchMap ();\ncuttingPatches ();\nstart_speed\n{\n    core_l1 " +
                         std::to_string(speed) + ";\n}\n");
  }

  /// The source's air passes its core with 10 m/s.
  void fit() {
    write_case(source_, 10.0, source_folder_.path());
    write_case(own_, own_speed_, folder_.path());
    run::fit_start(folder_.path(), source_folder_.path());
  }

  ScratchFolder folder_;
  ScratchFolder source_folder_;
  double own_speed_ = 10.0;
  base::Manifest source_;
  base::Manifest own_;
};

TEST_F(FitStart, LeavesTheFilesAloneWhenNothingDiffers) {
  const auto before = std::filesystem::last_write_time(folder_.path() / "0" / "U");
  fit();
  EXPECT_EQ(std::filesystem::last_write_time(folder_.path() / "0" / "U"), before);
  EXPECT_THAT(values("p"), ElementsAre(91000, 90000, 91500, 91200));
}

TEST_F(FitStart, MoreFlowSpeedsUpTheCoresAndCoolsThemOnly) {
  own_speed_ = 11.0;
  fit();
  EXPECT_THAT(values("U"),
              ElementsAre(10,
                          0,
                          0,
                          20,
                          0,
                          2,
                          0,
                          0,
                          DoubleNear(-3.3, rounding),
                          DoubleNear(1.1, rounding),
                          0,
                          DoubleNear(-3.3, rounding)));
  EXPECT_THAT(values("p"), ElementsAre(91000, 90000, 91500, 91200));
  // The same heat in 1.1 of the flow.
  EXPECT_NEAR(values("T")[2], 290.0 + 40.0 / 1.1, rounding);
}

TEST_F(FitStart, AnotherAirspeedScalesWhatLiesAboveTheFreeStream) {
  own_.flight.true_airspeed = 40.0;  // q is 0.64, speed 0.8
  own_.flight.dynamic_pressure = own_.flight.reference_pressure = 800.0;
  own_.flight.pressure = 90000.0;
  own_.flight.temperature = 280.0;
  own_speed_ = 9.0;
  own_.passages[0].heat = 4500.0;
  fit();
  EXPECT_NEAR(values("U")[0], 8.0, rounding);
  EXPECT_NEAR(values("U")[5], 1.6, rounding);
  EXPECT_NEAR(values("U")[8], -2.7, rounding);
  EXPECT_NEAR(values("U")[9], 0.9, rounding);
  EXPECT_THAT(values("p"),
              ElementsAre(DoubleNear(90000.0, rounding),
                          DoubleNear(90000.0 - 640.0, rounding),
                          DoubleNear(90000.0 + 320.0, rounding),
                          DoubleNear(90000.0 + 128.0, rounding)));
  EXPECT_NEAR(values("T")[0], 280.0, rounding);
  EXPECT_NEAR(values("T")[2], 280.0 + 40.0 * 0.5 / 0.9, rounding);  // half the heat in 0.9 of the flow
  EXPECT_NEAR(values("k")[1], 2.0 * 0.64, rounding);
  EXPECT_NEAR(values("omega")[1], 2.0 * 0.8, rounding);
}

TEST_F(FitStart, APassageThatTheSourceLacksKeepsWhatWasMapped) {
  write_case(source_, 10.0, source_folder_.path());
  write_case(own_, 11.0, folder_.path());
  base::write_text(source_folder_.path() / "system" / "mapFieldsDict",
                   header("ascii", "dictionary") + "patchMap ();\nstart_speed\n{\n    oil_cooler 4;\n}\n");
  run::fit_start(folder_.path(), source_folder_.path());
  EXPECT_NEAR(values("U")[8], -3.0, rounding);
}

TEST_F(FitStart, RefusesAFieldThatIsNotAListOfCellValuesNamingIt) {
  base::write_text(
      folder_.path() / "0" / "U",
      header("binary", "volVectorField") + "internalField   uniform (1 0 0);\nboundaryField\n{\n}\n");
  own_speed_ = 12.0;
  EXPECT_THAT([&] { fit(); }, testing::ThrowsMessage<base::ResultError>(HasSubstr("0/U: no binary list")));
}

TEST_F(FitStart, RefusesAZoneBeyondTheField) {
  base::write_text(folder_.path() / "constant" / "polyMesh" / "cellZones",
                   header("ascii", "regIOobject") +
                       "1\n(\ncore_l1\n{\n    type cellZone;\ncellLabels      List<label> 1(7);\n}\n)\n");
  own_speed_ = 12.0;
  EXPECT_THAT([&] { fit(); }, testing::ThrowsMessage<base::ResultError>(HasSubstr("cell 7 of zone core_l1")));
}

}  // namespace
