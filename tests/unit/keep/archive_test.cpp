// SPDX-License-Identifier: GPL-3.0-or-later
//
// Archives: what goes in, what standard tools make of them, and what a check finds in a spoilt one. Spoilt
// ones are made with tar, from an unpacked one.
#include "cases/keep/archive.h"

#include "geometry/base/error.h"
#include "tests/unit/keep/solved_study.h"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <random>

namespace {

namespace fs = std::filesystem;

using namespace cowlwright;
using keep::pack_study;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing::StartsWith;
using testing::ThrowsMessage;
using testing_support::SolvedStudy;
using testing_support::text_of;

class Archive : public testing::Test {
 protected:
  Archive() { pack_study(study_.folder(), file_, false); }

  /// Exit code of a shell's command in the scratch folder.
  int shell(const std::string& command) const {
    return std::system(
        fmt::format("cd '{}' && ( {} ) > shell.txt 2>&1", scratch_.path().string(), command).c_str());
  }
  /// Unpacks, runs a command in the study's folder, packs again with tar; what the check then finds.
  std::vector<std::string> differences_after(const std::string& command) const {
    EXPECT_EQ(shell("mkdir u && tar xzf a.tar.gz -C u && (cd u/study && " + command +
                    ") && tar czf spoilt.tar.gz -C u study"),
              0);
    return keep::verify_archive(scratch_.path() / "spoilt.tar.gz").differences;
  }

  const SolvedStudy study_;
  const testing_support::ScratchFolder scratch_;
  const fs::path file_ = scratch_.path() / "a.tar.gz";
};

TEST_F(Archive, PassesItsOwnCheckAndThatOfStandardTools) {
  const keep::Verified verified = keep::verify_archive(file_);
  EXPECT_THAT(verified.differences, IsEmpty());
  EXPECT_EQ(shell("tar xzf a.tar.gz && cd study && sha256sum --strict -c SHA256SUMS"), 0);
  const std::string told = text_of(scratch_.path() / "shell.txt");
  EXPECT_THAT(told, HasSubstr("lip_0/manifest.json: OK"));
  EXPECT_EQ(static_cast<std::size_t>(std::count(told.begin(), told.end(), '\n')), verified.n_files);
}

TEST_F(Archive, HoldsStudyTablesReportAndTheSmallFilesOfCases) {
  ASSERT_EQ(shell("tar tzf a.tar.gz"), 0);
  const std::string names = text_of(scratch_.path() / "shell.txt");
  EXPECT_THAT(names, StartsWith("study/SHA256SUMS\n"));
  for (const char* here : {"study/lip.toml\n",
                           "study/results.json\n",
                           "study/report/index.html\n",
                           "study/logs/lip_0.log\n",
                           "study/lip_0/run_state.json\n",
                           "study/lip_0/log.solve\n",
                           "study/lip_0/postProcessing/flow_exit/0/surfaceFieldValue.dat\n",
                           "study/lip_0/constant/triSurface/cowl.stl\n",
                           "study/lip_45/manifest.json\n"})
    EXPECT_THAT(names, HasSubstr(here));
  for (const char* gone : {"phi", "polyMesh", "meshes", "processor", ".lock", "progress.json"})
    EXPECT_THAT(names, Not(HasSubstr(gone)));
}

TEST_F(Archive, WithFieldsHoldsMeshStartAndLastFieldsToo) {
  fs::remove(file_);
  pack_study(study_.folder(), file_, true);
  ASSERT_EQ(shell("tar tzf a.tar.gz"), 0);
  const std::string names = text_of(scratch_.path() / "shell.txt");
  for (const char* here :
       {"study/lip_0/350/phi", "study/lip_0/0/phi", "study/lip_0/constant/polyMesh/points"})
    EXPECT_THAT(names, HasSubstr(here));
  for (const char* gone : {"/280/", "processor", "meshes"}) EXPECT_THAT(names, Not(HasSubstr(gone)));
}

TEST_F(Archive, IsTheSameBytesForTheSameFiles) {
  const keep::Packed again = pack_study(study_.folder(), scratch_.path() / "b.tar.gz", false);
  EXPECT_TRUE(text_of(file_) == text_of(scratch_.path() / "b.tar.gz"));
  EXPECT_EQ(again.sums_hash, keep::verify_archive(file_).sums_hash);
  EXPECT_EQ(again.n_files, keep::verify_archive(file_).n_files);
}

TEST_F(Archive, CheckNamesAFileThatDiffers) {
  EXPECT_THAT(differences_after("printf x >> lip_0/log.solve"),
              ElementsAre("lip_0/log.solve: differs from its hash"));
}

TEST_F(Archive, CheckNamesAFileThatIsMissing) {
  EXPECT_THAT(differences_after("rm summary.csv"), ElementsAre("summary.csv: is missing"));
}

TEST_F(Archive, CheckNamesAFileThatWasAdded) {
  EXPECT_THAT(differences_after("echo x > extra"), ElementsAre("extra: is not in the list of hashes"));
}

TEST_F(Archive, CheckNamesALinkInPlaceOfAFile) {
  EXPECT_THAT(differences_after("rm summary.csv && ln -s /etc/passwd summary.csv"),
              ElementsAre("study/summary.csv: is a link or no file", "summary.csv: is missing"));
}

TEST_F(Archive, CheckNamesALineThatIsNoHashAndAMissingList) {
  EXPECT_THAT(differences_after("echo nonsense >> SHA256SUMS"), Contains(HasSubstr("is no line of hashes")));
  ASSERT_EQ(shell("rm u/study/SHA256SUMS && tar czf bare.tar.gz -C u study"), 0);
  EXPECT_THAT(keep::verify_archive(scratch_.path() / "bare.tar.gz").differences,
              ElementsAre(HasSubstr("SHA256SUMS: is missing")));
}

TEST_F(Archive, CheckRefusesPathsThatLeaveTheFolder) {
  ASSERT_EQ(shell("echo x > evil && tar czf out.tar.gz --transform 's,^,study/../,' evil"), 0);
  EXPECT_THAT(keep::verify_archive(scratch_.path() / "out.tar.gz").differences,
              Contains(HasSubstr("would be unpacked outside")));
  ASSERT_EQ(shell("tar czPf root.tar.gz --transform 's,^,/tmp/,' evil"), 0);
  EXPECT_THAT(keep::verify_archive(scratch_.path() / "root.tar.gz").differences,
              Contains(HasSubstr("would be unpacked outside")));
}

TEST_F(Archive, CheckOfACutOffArchiveSaysWhereItEndsAndWhatIsMissing) {
  // A log that cannot be compressed, so that the cut falls far behind the list of hashes.
  std::string noise(1 << 20, ' ');
  std::mt19937 random(1);
  for (char& c : noise) c = static_cast<char>(random());
  study_.write("logs/lip_0.log", noise);
  fs::remove(file_);
  pack_study(study_.folder(), file_, false);
  fs::resize_file(file_, fs::file_size(file_) / 2);
  const keep::Verified verified = keep::verify_archive(file_);
  EXPECT_THAT(verified.differences, Contains(HasSubstr("is damaged or cut off behind")));
  EXPECT_THAT(verified.differences, Contains("summary.csv: is missing"));
}

TEST_F(Archive, CheckFindsEveryFlippedByteInTheMiddle) {
  const std::string whole = text_of(file_);
  for (std::size_t at = 20; at + 8 < whole.size(); at += whole.size() / 40) {
    std::string spoilt = whole;
    spoilt[at] = static_cast<char>(spoilt[at] ^ 0x10);
    scratch_.write("spoilt.tar.gz", spoilt);
    EXPECT_THAT(keep::verify_archive(scratch_.path() / "spoilt.tar.gz").differences, Not(IsEmpty())) << at;
  }
}

TEST_F(Archive, CheckOfWhatIsNoArchiveSaysSo) {
  scratch_.write("text.tar.gz", "no archive at all, just a line of text\n");
  EXPECT_THAT(keep::verify_archive(scratch_.path() / "text.tar.gz").differences,
              Contains(HasSubstr("damaged or cut off behind its start")));
  EXPECT_THAT([&] { keep::verify_archive(scratch_.path() / "gone.tar.gz"); },
              ThrowsMessage<base::InputError>(HasSubstr("gone.tar.gz")));
}

TEST_F(Archive, OverwritesNothingAndLeavesNothingBehindWhenItFails) {
  EXPECT_THAT([&] { pack_study(study_.folder(), file_, false); },
              ThrowsMessage<base::InputError>(HasSubstr("exists")));
  EXPECT_THAT([&] { pack_study(study_.folder(), scratch_.path() / "gone" / "a.tar.gz", false); },
              ThrowsMessage<base::ExternalError>(HasSubstr("cannot be written")));
  EXPECT_THAT([&] { pack_study(scratch_.path() / "gone", scratch_.path() / "c.tar.gz", false); },
              ThrowsMessage<base::InputError>(HasSubstr("is no folder")));
  EXPECT_EQ(std::distance(fs::directory_iterator(scratch_.path()), {}), 1);  // the archive of the fixture
}

TEST_F(Archive, TellsOfLinksAndLeavesThemOut) {
  fs::create_symlink("/etc/passwd", study_.folder() / "lip_0/link");
  const keep::Packed packed = pack_study(study_.folder(), scratch_.path() / "b.tar.gz", false);
  EXPECT_THAT(packed.left_out, ElementsAre("lip_0/link"));
  EXPECT_THAT(keep::verify_archive(scratch_.path() / "b.tar.gz").differences, IsEmpty());
}

TEST_F(Archive, PackedBesideTheCasesIsNotPackedInTheNext) {
  const keep::Packed first = pack_study(study_.folder(), study_.folder() / "first.tar.gz", false);
  const keep::Packed second = pack_study(study_.folder(), study_.folder() / "second.tar.gz", false);
  EXPECT_EQ(first.sums_hash, second.sums_hash);
  EXPECT_THAT([&] { pack_study(study_.folder(), study_.folder() / "third.tgz", false); },
              ThrowsMessage<base::InputError>(HasSubstr("lies in the folder that is packed")));
}

}  // namespace
