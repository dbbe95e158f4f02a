// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a case's numbers are traced back to.
#include "post/extract/provenance.h"

#include "geometry/base/text_file.h"
#include "tests/support/scratch_folder.h"
#include "tests/unit/post/sample_results.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace cowlwright::post {
namespace {

using testing::IsEmpty;
using testing::SizeIs;
using testing_support::ScratchFolder;
using namespace cowlwright::post::synthetic;

base::Manifest manifest_of(const std::string& study_text) {
  base::Manifest manifest = sample_manifest();
  manifest.study_file = "cowl.toml";
  manifest.study_hash = base::sha256(study_text);
  return manifest;
}

TEST(Provenance, HasTheStudyFileAboveTheCaseWhenItsHashFits) {
  const ScratchFolder folder;
  folder.write("cowl.toml", "[study]\n");
  std::filesystem::create_directories(folder.path() / "base");
  EXPECT_EQ(read_provenance(folder.path() / "base", manifest_of("[study]\n")).study_text, "[study]\n");
  EXPECT_THAT(read_provenance(folder.path() / "base", manifest_of("[other]\n")).study_text, IsEmpty());
}

// SHA-256 of "abc": FIPS 180-4, example.
TEST(Provenance, HashesTheDictionariesOfSystemAndConstantInOrder) {
  const ScratchFolder folder;
  std::filesystem::create_directories(folder.path() / "system");
  std::filesystem::create_directories(folder.path() / "constant" / "polyMesh");
  folder.write("system/fvSchemes", "abc");
  folder.write("constant/fvOptions", "x");
  folder.write("constant/polyMesh/points", "not a setting");
  const Provenance provenance = read_provenance(folder.path(), manifest_of(""));
  ASSERT_THAT(provenance.settings, SizeIs(2));
  EXPECT_EQ(provenance.settings[0].file, "constant/fvOptions");
  EXPECT_EQ(provenance.settings[1].file, "system/fvSchemes");
  EXPECT_EQ(provenance.settings[1].sha256,
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
}

TEST(Provenance, HasTheTimesOfTheStages) {
  const ScratchFolder folder;
  base::write_case_state({.ranks = 3, .finished = {{"solve", 97.5}}}, folder.path());
  const Provenance provenance = read_provenance(folder.path(), manifest_of(""));
  ASSERT_TRUE(provenance.state.has_value());
  EXPECT_EQ(provenance.state->ranks, 3);
  EXPECT_DOUBLE_EQ(provenance.state->finished.at(0).seconds, 97.5);
}

TEST(Provenance, IsEmptyForAnEmptyFolder) {
  const ScratchFolder folder;
  const Provenance provenance = read_provenance(folder.path(), manifest_of("x"));
  EXPECT_THAT(provenance.settings, IsEmpty());
  EXPECT_FALSE(provenance.state.has_value());
  EXPECT_FALSE(provenance.solver_end.has_value());
}

}  // namespace
}  // namespace cowlwright::post
