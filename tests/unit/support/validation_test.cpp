// SPDX-License-Identifier: GPL-3.0-or-later
//
// The recorder of verification tests: it fails where it must, and its records say what happened.
#include "tests/support/validation.h"

#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest-spi.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <cstdlib>

namespace cowlwright::testing_support {
namespace {

CheckSubject sample(const std::string& id = "sample.check") {
  CheckSubject subject;
  subject.id = id;
  subject.group = "Group";
  subject.title = "title";
  subject.source = "source";
  subject.condition = "condition";
  subject.unit = "Pa";
  subject.reason = "reason";
  return subject;
}

/// The variable set for one test, and put back: the suite itself may run under it.
class ValidationRecord : public testing::Test {
 protected:
  void SetUp() override {
    if (const char* old = std::getenv(variable); old != nullptr) old_ = old;
    setenv(variable, folder_.path().c_str(), 1);
  }
  void TearDown() override { old_.empty() ? unsetenv(variable) : setenv(variable, old_.c_str(), 1); }
  nlohmann::json record(const std::string& id = "sample.check") const {
    return nlohmann::json::parse(text_of(folder_.path() / (id + ".json")));
  }
  static constexpr const char* variable = "COWLWRIGHT_VALIDATION_DIR";
  ScratchFolder folder_;

 private:
  std::string old_;
};

TEST_F(ValidationRecord, HoldsSubjectTestAndEachPoint) {
  {
    ValidationCheck check(sample());
    EXPECT_TRUE(check.expect_near("at 1", 2.5, 2.0, 0.5));
    EXPECT_TRUE(check.expect_between("at 2", 3.0, 2.0, 4.0));
  }
  const nlohmann::json found = record();
  EXPECT_EQ(found.at("id"), "sample.check");
  EXPECT_EQ(found.at("test"), "ValidationRecord.HoldsSubjectTestAndEachPoint");
  EXPECT_EQ(found.at("source"), "source");
  EXPECT_EQ(found.at("finished"), true);
  ASSERT_EQ(found.at("points").size(), 2U);
  EXPECT_EQ(found.at("points")[0].at("computed"), 2.5);
  EXPECT_EQ(found.at("points")[0].at("tolerance"), 0.5);
  EXPECT_TRUE(found.at("points")[0].at("low").is_null());
  EXPECT_EQ(found.at("points")[1].at("high"), 4.0);
  EXPECT_EQ(found.at("points")[1].at("pass"), true);
}

TEST_F(ValidationRecord, FailedPointFailsTheTestNamesTheCheckAndIsRecorded) {
  {
    ValidationCheck check(sample());
    EXPECT_NONFATAL_FAILURE(check.expect_near("at 1", 2.6, 2.0, 0.5),
                            "sample.check (title), at 1: computed 2.6 Pa");
    EXPECT_NONFATAL_FAILURE(check.expect_below("at 2", 1.0, 1.0), "must be less than 1");
    EXPECT_NONFATAL_FAILURE(check.expect_above("at 3", 1.0, 1.0), "must be more than 1");
    EXPECT_NONFATAL_FAILURE(check.expect_between("at 4", 4.0, 2.0, 4.0), "must be between 2");
  }
  for (const nlohmann::json& point : record().at("points")) EXPECT_EQ(point.at("pass"), false);
}

TEST_F(ValidationRecord, NotANumberFailsEveryComparison) {
  const double nan = std::nan("");
  {
    ValidationCheck check(sample());
    EXPECT_NONFATAL_FAILURE(check.expect_near("a", nan, 2.0, 0.5), "nan");
    EXPECT_NONFATAL_FAILURE(check.expect_near("b", 2.0, nan, 0.5), "nan");
    EXPECT_NONFATAL_FAILURE(check.expect_near("c", 2.0, 2.0, nan), "nan");
    EXPECT_NONFATAL_FAILURE(check.expect_below("d", nan, 1.0), "nan");
    EXPECT_NONFATAL_FAILURE(check.expect_above("e", nan, 1.0), "nan");
    EXPECT_NONFATAL_FAILURE(check.expect_between("f", nan, 0.0, 1.0), "nan");
  }
  EXPECT_TRUE(record().at("points")[0].at("computed").is_null());
}

TEST_F(ValidationRecord, CheckThatComparesNothingFailsAndIsUnfinished) {
  EXPECT_NONFATAL_FAILURE({ ValidationCheck check(sample()); }, "compared nothing");
  EXPECT_EQ(record().at("finished"), false);
}

TEST_F(ValidationRecord, OfATestThatThrowsIsUnfinished) {
  EXPECT_THROW(
      {
        ValidationCheck check(sample());
        check.expect_near("at 1", 1.0, 1.0, 0.0);
        throw std::runtime_error("solver failed");
      },
      std::runtime_error);
  EXPECT_EQ(record().at("finished"), false);
}

TEST_F(ValidationRecord, IdOfAnotherTestIsRefusedAndItsRecordKept) {
  folder_.write("sample.check.json", R"({"test": "Other.Test"})");
  EXPECT_NONFATAL_FAILURE(
      {
        ValidationCheck check(sample());
        check.expect_near("at 1", 1.0, 1.0, 0.0);
      },
      "used by another test too, Other.Test");
  EXPECT_EQ(record().at("test"), "Other.Test");
}

TEST_F(ValidationRecord, SubjectWithoutSourceIsRefused) {
  CheckSubject subject = sample();
  subject.source.clear();
  EXPECT_NONFATAL_FAILURE(
      {
        ValidationCheck check(subject);
        check.expect_near("at 1", 1.0, 1.0, 0.0);
      },
      "every text of its subject is needed");
}

TEST_F(ValidationRecord, CurveNeedsUnitsOnItsAxesAndAsManyXAsY) {
  ValidationCheck check(sample());
  check.expect_near("at 1", 1.0, 1.0, 0.0);
  Curve curve{.file = "c", .title = "t", .x_axis = "speed", .y_axis = "loss [-]", .series = {}};
  EXPECT_NONFATAL_FAILURE(check.add_curve(curve), "\"speed\" has no [unit]");
  curve.x_axis = "speed [m/s]";
  EXPECT_NONFATAL_FAILURE(check.add_curve(curve), "no series");
  curve.series = {{.name = "s", .kind = SeriesKind::Computed, .x = {1.0, 2.0}, .y = {1.0}, .error = {}}};
  EXPECT_NONFATAL_FAILURE(check.add_curve(curve), "2 x, 1 y");
}

TEST_F(ValidationRecord, NothingIsWrittenWithoutTheVariable) {
  unsetenv(variable);
  {
    ValidationCheck check(sample());
    check.expect_near("at 1", 1.0, 1.0, 0.0);
  }
  EXPECT_TRUE(std::filesystem::is_empty(folder_.path()));
}

}  // namespace
}  // namespace cowlwright::testing_support
