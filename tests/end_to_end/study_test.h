// SPDX-License-Identifier: GPL-3.0-or-later
//
// A suite whose tests share one study, run once through both programs and the real OpenFOAM.
#pragma once

#include "tests/end_to_end/program_run.h"
#include "tests/support/openfoam.h"
#include "tests/support/scratch_folder.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <filesystem>
#include <memory>
#include <string>

namespace cowlwright::testing_support {

/// A suite derives from it and calls run_study() in its SetUpTestSuite().
class StudyTest : public OpenFoamTest {
 protected:
  /// @param n_variants  that the results must have.
  explicit StudyTest(std::size_t n_variants) : n_variants_(n_variants) {}

  /// Runs the text as study "study.toml"; nothing where OpenFOAM does not run.
  static void run_study(const std::string& text) {
    if (!why_openfoam_does_not_run().empty()) return;
    folder_ = std::make_unique<ScratchFolder>();
    folder_->write("study.toml", text);
    output_ = run_program({program("cowlwright"), "run", "--tables-only", "study.toml"}, folder_->path()).output;
    results_ = read_results(study_dir());
  }
  static void TearDownTestSuite() { folder_.reset(); }

  void SetUp() override {
    OpenFoamTest::SetUp();
    if (IsSkipped() || HasFatalFailure()) return;
    ASSERT_TRUE(results_.contains("variants")) << output_;
    ASSERT_EQ(results_["variants"].size(), n_variants_) << output_;
  }

  static std::filesystem::path study_dir() { return folder_->path() / "study-study"; }
  static const nlohmann::json& variant(std::size_t index) { return results_["variants"][index]; }
  static double value(std::size_t index, const std::string& id) { return quantity_value(variant(index), id); }

  static inline nlohmann::json results_;

 private:
  std::size_t n_variants_;
  static inline std::unique_ptr<ScratchFolder> folder_;
  static inline std::string output_;
};

}  // namespace cowlwright::testing_support
