// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/base/markup.h"

#include <gtest/gtest.h>

namespace cowlwright::base {
namespace {

TEST(XmlEscaped, LeavesNoMarkup) {
  EXPECT_EQ(xml_escaped("gap < 3 in & \"lip\" > 45°"), "gap &lt; 3 in &amp; &quot;lip&quot; &gt; 45°");
  EXPECT_EQ(xml_escaped(""), "");
}

TEST(CsvQuoted, DoublesQuotes) {
  EXPECT_EQ(csv_quoted("a \"b\", c"), "\"a \"\"b\"\", c\"");
  EXPECT_EQ(csv_quoted(""), "\"\"");
}

}  // namespace
}  // namespace cowlwright::base
