// SPDX-License-Identifier: GPL-3.0-or-later
//
// Rows as loggers write them, and times.
#include "cases/readings/csv.h"

#include "cases/readings/clock.h"
#include "geometry/base/error.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using readings::csv_number;
using readings::CsvReader;
using readings::find_header;
using readings::parse_time;
using readings::TimeForm;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::SizeIs;
using testing::ThrowsMessage;

std::vector<std::vector<std::string>> rows(std::string_view text, char separator = ',') {
  CsvReader reader(text, "log.csv", separator);
  std::vector<std::vector<std::string>> found;
  while (const auto cells = reader.next()) found.emplace_back(cells->begin(), cells->end());
  return found;
}

TEST(Csv, ReadsRowsWithEitherLineEndAndNoneAtTheEnd) {
  EXPECT_THAT(
      rows("a,b\r\n1, 2 \n3,\r4,5"),
      ElementsAre(ElementsAre("a", "b"), ElementsAre("1", "2"), ElementsAre("3", ""), ElementsAre("4", "5")));
}

TEST(Csv, SkipsAByteOrderMark) {
  EXPECT_THAT(rows("\xEF\xBB\xBF"
                   "a;b\n",
                   ';'),
              ElementsAre(ElementsAre("a", "b")));
}

TEST(Csv, UnderstandsQuotedCells) {
  EXPECT_THAT(rows("\"a, \"\"b\"\"\",\"c\nd\" ,e,\"\"\n\"x\"\"y\",1\n"),
              ElementsAre(ElementsAre("a, \"b\"", "c\nd", "e", ""), ElementsAre("x\"y", "1")));
}

TEST(Csv, CountsLinesInsideQuotedCells) {
  CsvReader reader("\"a\nb\nc\",1\nd,2\n", "log.csv", ',', 7);
  reader.next();
  EXPECT_EQ(reader.line(), 7u);
  reader.next();
  EXPECT_EQ(reader.line(), 10u);
}

TEST(Csv, GivesABlankLineAsOneEmptyCell) {
  EXPECT_THAT(rows("a,b\n\n1,2\n"), ElementsAre(SizeIs(2), ElementsAre(""), SizeIs(2)));
}

TEST(Csv, RefusesBrokenQuotation) {
  EXPECT_THAT([] { rows("a\n1,2\"3\n"); },
              ThrowsMessage<base::InputError>(HasSubstr("log.csv:2: a quotation mark stands inside")));
  EXPECT_THAT([] { rows("a\n\"1\n2"); },
              ThrowsMessage<base::InputError>(HasSubstr("log.csv:2: a quotation mark is never closed")));
  EXPECT_THAT([] { rows("\"1\"2,3"); },
              ThrowsMessage<base::InputError>(HasSubstr("log.csv:1: text stands behind a closing")));
}

TEST(Csv, FindsTheHeaderBelowAnything) {
  const std::vector<std::string> names{"Time", "CHT 1"};
  const std::string text = "Model \"X\" said 5\" \nserial,12\nTime\tOAT\tCHT 1\n1\t2\t3\n";
  const auto header = find_header(text, names, std::nullopt);
  EXPECT_EQ(header.separator, '\t');
  EXPECT_EQ(header.line, 3u);
  EXPECT_EQ(text.substr(header.end), "1\t2\t3\n");
  EXPECT_EQ(find_header("a,b\n", names, std::nullopt).line, 0u);
  EXPECT_EQ(find_header(text, names, ',').line, 0u);
}

TEST(Csv, TakesNumbersWithTheStatedDecimalMarkOnly) {
  EXPECT_EQ(csv_number("12.5", '.'), 12.5);
  EXPECT_EQ(csv_number("+12.5", '.'), 12.5);
  EXPECT_EQ(csv_number("-1e-3", '.'), -1e-3);
  EXPECT_EQ(csv_number("12,5", ','), 12.5);
  for (const char* cell : {"12,5", "", "nan", "inf", "1 000", "12.5F", "+-1", "0x10", "1e999", "--"}) {
    EXPECT_FALSE(csv_number(cell, '.').has_value()) << cell;
  }
  EXPECT_FALSE(csv_number("12.5", ',').has_value());
}

TEST(Clock, ReadsSecondsTimesOfDayAndDates) {
  EXPECT_EQ(parse_time("12.5", '.')->seconds, 12.5);
  EXPECT_EQ(parse_time("14:05:09", '.')->seconds, 50709.0);  // 14*3600 + 5*60 + 9
  EXPECT_NEAR(parse_time("4:05:09.25", '.')->seconds, 14709.25, 1e-9);
  EXPECT_EQ(parse_time("14:05:09", '.')->form, TimeForm::TimeOfDay);
  // 2026-03-01 is day 20513 since 1970: 56 years with 14 leap days are 20454 days, January and February 59.
  EXPECT_EQ(parse_time("2026-03-01T00:00:01Z", '.')->seconds, 20513.0 * 86400.0 + 1.0);
  EXPECT_EQ(parse_time("2026-03-01 01:00:01+01:00", '.')->seconds, 20513.0 * 86400.0 + 1.0);
  EXPECT_EQ(parse_time("2026-03-01T00:00:01-0130", '.')->seconds, 20513.0 * 86400.0 + 5401.0);
  EXPECT_EQ(parse_time("2026-03-01T00:00:01", '.')->form, TimeForm::DateAndTime);
}

TEST(Clock, RefusesTimesThatThereAreNot) {
  for (const char* cell : {"",
                           "24:00:00",
                           "12:60:00",
                           "12:00",
                           "12:00:00x",
                           "2026-02-30T00:00:00",
                           "2026-13-01T00:00:00",
                           "01.03.2026 12:00:00",
                           "2026-03-01",
                           "12:00:00."}) {
    EXPECT_FALSE(parse_time(cell, '.').has_value()) << cell;
  }
}

}  // namespace
