// SPDX-License-Identifier: GPL-3.0-or-later
//
// Small cases run through the real OpenFOAM: a fixture that skips aloud (or fails where OpenFOAM is
// required), a case folder of the test's own, and its fields read back.
#pragma once

#include "cases/foam/dictionary.h"
#include "geometry/base/vec3.h"
#include "tests/support/scratch_folder.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace cowlwright::testing_support {

/// Empty when OpenFOAM runs; otherwise what is wrong and what to do. Probed once per program.
const std::string& why_openfoam_does_not_run();

/// Base of every suite that needs OpenFOAM.
class OpenFoamTest : public testing::Test {
 protected:
  void SetUp() override {
    if (const std::string& reason = why_openfoam_does_not_run(); !reason.empty()) {
#ifdef COWLWRIGHT_REQUIRE_OPENFOAM
      FAIL() << reason;
#else
      GTEST_SKIP() << reason;
#endif
    }
  }
};

/// A case folder in the system's temporary folder, removed with the object.
class SolverCase {
 public:
  /// Writes a dictionary at a path below the case folder, e.g. "system/controlDict".
  void write(const std::string& path, const foam::Dictionary& content);
  /// Writes the start field "0/<name>" of a class such as "volVectorField".
  void write_field(const std::string& name, const std::string& foam_class, const foam::Dictionary& content);

  /// Runs a command there, output in log.<program>.
  /// @throws ExternalError  when its exit code is not 0 or its log tells of a fault.
  void run(const std::vector<std::string>& words) const;

  /// Cell values of an ASCII field, e.g. "100/U", in cell order; a uniform field gives one value per cell of
  /// `n_cells`.
  std::vector<double> scalars(const std::string& path, std::size_t n_cells = 0) const;
  std::vector<base::Vec3> vectors(const std::string& path, std::size_t n_cells = 0) const;

  /// A whole file, e.g. "log.blockMesh".
  std::string text(const std::string& path) const { return text_of(folder_.path() / path); }

 private:
  ScratchFolder folder_;
};

/// controlDict of a steady run: `last` iterations, ASCII fields written at the end, no monitors.
foam::Dictionary steady_control(const std::string& application, int last);

}  // namespace cowlwright::testing_support
