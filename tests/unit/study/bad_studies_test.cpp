// SPDX-License-Identifier: GPL-3.0-or-later
//
// Every file in tests/data/studies/bad is refused with exactly the complaints its first lines announce:
//   # expect: fragment | fragment | ...
// one such line per complaint, in the order of the file; each fragment must appear in that complaint.
#include "cases/study.h"
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <sstream>
#include <string>
#include <vector>

namespace {

using namespace cowlwright;
namespace fs = std::filesystem;

std::vector<fs::path> bad_files() {
  std::vector<fs::path> files;
  for (const fs::directory_entry& entry :
       fs::directory_iterator(fs::path(COWLWRIGHT_TEST_DATA) / "studies/bad")) {
    files.push_back(entry.path());
  }
  std::sort(files.begin(), files.end());
  return files;
}

std::vector<std::string> split(const std::string& text, const std::string& separator) {
  std::vector<std::string> parts;
  std::size_t begin = 0;
  for (std::size_t end = text.find(separator); end != std::string::npos; end = text.find(separator, begin)) {
    parts.push_back(text.substr(begin, end - begin));
    begin = end + separator.size();
  }
  parts.push_back(text.substr(begin));
  return parts;
}

/// The fragments of each expected complaint.
std::vector<std::vector<std::string>> expectations(const std::string& text) {
  const std::string mark = "# expect: ";
  std::vector<std::vector<std::string>> expected;
  for (const std::string& line : split(text, "\n")) {
    if (line.starts_with(mark)) {
      expected.push_back(split(line.substr(mark.size()), " | "));
    }
  }
  return expected;
}

class BadStudy : public testing::TestWithParam<fs::path> {};

TEST_P(BadStudy, IsRefusedWithExactlyTheAnnouncedComplaints) {
  const std::vector<std::vector<std::string>> expected = expectations(base::read_text(GetParam()));
  ASSERT_FALSE(expected.empty()) << "the file announces no complaint: add '# expect: ...' lines";
  std::string message;
  try {
    read_study(GetParam());
    FAIL() << "the study was accepted";
  } catch (const base::InputError& error) {
    message = error.what();
  }
  const std::vector<std::string> complaints = split(message, "\n");
  ASSERT_EQ(complaints.size(), expected.size()) << message;
  for (std::size_t i = 0; i < expected.size(); ++i) {
    EXPECT_TRUE(complaints[i].starts_with(GetParam().string())) << complaints[i];
    for (const std::string& fragment : expected[i]) {
      EXPECT_THAT(complaints[i], testing::HasSubstr(fragment));
    }
  }
}

INSTANTIATE_TEST_SUITE_P(Files, BadStudy, testing::ValuesIn(bad_files()), [](const auto& file) {
  return file.param.stem().string();
});

TEST(BadStudies, AreAtLeastForty) {
  EXPECT_GE(bad_files().size(), 40u);
}

}  // namespace
