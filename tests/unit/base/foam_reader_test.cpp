// SPDX-License-Identifier: GPL-3.0-or-later
//
// Syntax of OpenFOAM files, written out by hand.
#include "geometry/base/foam_reader.h"

#include "geometry/base/error.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace cowlwright::base {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::ThrowsMessage;
using testing_support::ScratchFolder;
using namespace std::string_literals;

constexpr const char* ascii_header = "FoamFile { version 2.0; format ascii; class labelList; object x; }\n";

std::string binary_header(const std::string& arch) {
  return "FoamFile\n{\n version 2.0;\n format binary;\n class labelList;\n arch \"" + arch +
         "\";\n object x;\n}\n";
}

FoamReader reader_of(const ScratchFolder& folder, const std::string& text) {
  return FoamReader::open(folder.write("x", text));
}

TEST(FoamReader, SkipsBothKindsOfComments) {
  const ScratchFolder folder;
  FoamReader reader =
      reader_of(folder, "/* banner FoamFile */\n"s + ascii_header + "// 9\n/* 8 */ word 7; // 6\n");
  EXPECT_EQ(reader.next(), "word");
  EXPECT_EQ(reader.integer(), 7);
  reader.expect(";");
  EXPECT_EQ(reader.next(), "");
}

TEST(FoamReader, ReadsEveryAsciiFormOfAList) {
  const ScratchFolder folder;
  FoamReader reader = reader_of(folder, ascii_header + "3(1 2 3) List<label> 2 ( 4 5 ) 4{7} 0() 0 ;"s);
  EXPECT_THAT(reader.labels(), ElementsAre(1, 2, 3));
  EXPECT_THAT(reader.labels(), ElementsAre(4, 5));
  EXPECT_THAT(reader.labels(), ElementsAre(7, 7, 7, 7));
  EXPECT_THAT(reader.labels(), IsEmpty());
  EXPECT_THAT(reader.labels(), IsEmpty());
}

TEST(FoamReader, ReadsRawLabelsOfFourAndEightBytes) {
  const ScratchFolder folder;
  // 258 = 0x0102, little-endian.
  FoamReader four = reader_of(folder, binary_header("LSB;label=32;scalar=64") + "1\n(\x02\x01\x00\x00)"s);
  EXPECT_THAT(four.labels(), ElementsAre(258));
  FoamReader eight =
      reader_of(folder, binary_header("LSB;label=64;scalar=64") + "1\n(\x02\x01\x00\x00\x00\x00\x00\x00)"s);
  EXPECT_THAT(eight.labels(), ElementsAre(258));
}

TEST(FoamReader, ReadsRawScalarsOfFourAndEightBytes) {
  const ScratchFolder folder;
  // IEEE 754: 1.5 is 0x3FC00000 in single and 0x3FF8000000000000 in double precision.
  FoamReader four = reader_of(folder, binary_header("LSB;label=32;scalar=32") + "1\n(\x00\x00\xC0\x3F)"s);
  EXPECT_THAT(four.scalars(), ElementsAre(1.5));
  FoamReader eight =
      reader_of(folder, binary_header("LSB;label=32;scalar=64") + "1\n(\x00\x00\x00\x00\x00\x00\xF8\x3F)"s);
  EXPECT_THAT(eight.scalars(), ElementsAre(1.5));
}

TEST(FoamReader, EmptyBinaryListHasNoBrackets) {
  const ScratchFolder folder;
  FoamReader reader = reader_of(folder, binary_header("LSB;label=32;scalar=64") + "faceLabels      0;\n");
  reader.expect("faceLabels");
  EXPECT_THAT(reader.labels(), IsEmpty());
  reader.expect(";");
}

TEST(FoamReader, RawBytesThatLookLikePunctuationDoNotEndAnEntry) {
  const ScratchFolder folder;
  FoamReader reader = reader_of(
      folder,
      binary_header("LSB;label=32;scalar=64") + "skipped nonuniform List<scalar> 1\n(;;)}){(;);\n kept 3;");
  reader.expect("skipped");
  reader.skip_entry();
  reader.expect("kept");
  EXPECT_EQ(reader.integer(), 3);
}

TEST(FoamReader, CutShortListNamesFileCountAndMissingBytes) {
  const ScratchFolder folder;
  FoamReader reader = reader_of(folder, binary_header("LSB;label=32;scalar=64") + "100\n(abcd"s);
  EXPECT_THAT(
      [&] { reader.labels(); },
      ThrowsMessage<base::ResultError>(
          AllOf(HasSubstr("/x: at byte"), HasSubstr("list of 100 values needs 401 more bytes, 4 are left"))));
}

TEST(FoamReader, RefusesABigEndianFile) {
  const ScratchFolder folder;
  EXPECT_THAT([&] { reader_of(folder, binary_header("MSB;label=32;scalar=64")); },
              ThrowsMessage<base::ResultError>(HasSubstr("big-endian")));
}

TEST(FoamReader, RefusesAFileWithoutHeader) {
  const ScratchFolder folder;
  EXPECT_THAT([&] { reader_of(folder, "solid cowl\n"); },
              ThrowsMessage<base::ResultError>(HasSubstr("no FoamFile header")));
}

TEST(FoamReader, MissingFileIsNamedWithWhatToDo) {
  const ScratchFolder folder;
  EXPECT_THAT(
      [&] { FoamReader::open(folder.path() / "phi"); },
      ThrowsMessage<base::ResultError>(AllOf(HasSubstr("/phi: missing"), HasSubstr("run the solver"))));
}

TEST(FoamReader, LabelBeyond31BitsIsRefusedWithItsBound) {
  const ScratchFolder folder;
  FoamReader reader = reader_of(folder, ascii_header + "1(3000000000)"s);
  EXPECT_THAT([&] { reader.labels(); },
              ThrowsMessage<base::ResultError>(AllOf(HasSubstr("3000000000"), HasSubstr("2147483647"))));
}

TEST(FoamReader, ReadsNotANumberAsTheSolverPrintsIt) {
  const ScratchFolder folder;
  FoamReader reader = reader_of(folder, ascii_header + "3(nan -nan inf)"s);
  const std::vector<double> values = reader.scalars();
  EXPECT_TRUE(std::isnan(values.at(0)) && std::isnan(values.at(1)) && std::isinf(values.at(2)));
}

}  // namespace
}  // namespace cowlwright::base
