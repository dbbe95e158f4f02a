// SPDX-License-Identifier: GPL-3.0-or-later
//
// Text files and hashes.
#include "geometry/base/text_file.h"

#include "geometry/base/error.h"
#include "geometry/base/sha256_sum.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <iterator>

namespace {

using namespace cowlwright::base;
namespace fs = std::filesystem;
using testing::AllOf;
using testing::HasSubstr;
using testing::ThrowsMessage;

class TextFile : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = fs::path(testing::TempDir()) /
              (std::string("text_file_") + testing::UnitTest::GetInstance()->current_test_info()->name());
    fs::remove_all(folder_);
    fs::create_directories(folder_);
  }
  void TearDown() override { fs::remove_all(folder_); }
  fs::path folder_;
};

TEST_F(TextFile, ComesBackByteForByteAndLeavesNothingElseBehind) {
  std::string text(200000, 'x');  // longer than one block
  text[70000] = '\n';
  text[70001] = '\0';
  write_text(folder_ / "a.txt", "old");
  write_text(folder_ / "a.txt", text);
  EXPECT_EQ(read_text(folder_ / "a.txt"), text);
  EXPECT_EQ(std::distance(fs::directory_iterator(folder_), fs::directory_iterator()), 1);
}

TEST_F(TextFile, EmptyFileReadsAsEmptyText) {
  write_text(folder_ / "empty", "");
  EXPECT_EQ(read_text(folder_ / "empty"), "");
}

TEST_F(TextFile, ReadingNamesPathAndReason) {
  EXPECT_THAT([&] { read_text(folder_ / "absent.toml"); },
              ThrowsMessage<InputError>(AllOf(HasSubstr("absent.toml"), HasSubstr("No such file"))));
  EXPECT_THAT([&] { read_text(folder_); }, ThrowsMessage<InputError>(HasSubstr("directory")));
}

TEST_F(TextFile, WritingNamesPathAndReasonAndKeepsTheOldFile) {
  EXPECT_THAT([&] { write_text(folder_ / "no_folder" / "a", "x"); },
              ThrowsMessage<ExternalError>(AllOf(HasSubstr("no_folder"), HasSubstr("No such file"))));
  fs::create_directories(folder_ / "taken" / "inside");
  EXPECT_THAT([&] { write_text(folder_ / "taken", "x"); },
              ThrowsMessage<ExternalError>(AllOf(HasSubstr("taken"), HasSubstr("cannot be written"))));
  EXPECT_EQ(std::distance(fs::directory_iterator(folder_), fs::directory_iterator()),
            1);  // no temporary left
}

TEST(Sha256, AgreesWithThePublishedExamples) {
  // Source: FIPS 180-4 example values (NIST, "SHA256.pdf"): one block and two blocks; the empty message is
  // the customary third.
  EXPECT_EQ(sha256("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"),
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  EXPECT_EQ(sha256(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

// The same published example, in pieces that do not end with its blocks.
TEST(Sha256Sum, IsThatOfTheWholeHoweverItIsCut) {
  Sha256Sum sum;
  for (const char* piece : {"abcdbcdecdefdefgefghfghighijh", "", "ijkijkljklmklmnlmnomnopnop", "q"})
    sum.add(piece);
  EXPECT_EQ(sum.hex(), "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
}

// RFC 4648, section 10: test vectors.
TEST(Base64, GivesTheVectorsOfItsStandard) {
  EXPECT_EQ(base64(""), "");
  EXPECT_EQ(base64("f"), "Zg==");
  EXPECT_EQ(base64("fo"), "Zm8=");
  EXPECT_EQ(base64("foo"), "Zm9v");
  EXPECT_EQ(base64("foob"), "Zm9vYg==");
  EXPECT_EQ(base64("fooba"), "Zm9vYmE=");
  EXPECT_EQ(base64("foobar"), "Zm9vYmFy");
  EXPECT_EQ(base64("\xff\xfe\xfd"), "//79");
}

}  // namespace
