// SPDX-License-Identifier: GPL-3.0-or-later
//
// The dictionary writer against text whose form the solver's reader accepts.
#include "cases/foam/dictionary.h"

#include <gtest/gtest.h>

namespace cowlwright::foam {
namespace {

TEST(FoamDictionary, WritesEntriesInTheOrderTheyWereSet) {
  Dictionary dictionary{{"second", 2}, {"first", "word"}};
  EXPECT_EQ(dictionary.body(), "second 2;\nfirst word;\n");
}

TEST(FoamDictionary, ReplacesAnEntrySetAgainInItsPlace) {
  Dictionary dictionary{{"a", 1}, {"b", 2}};
  dictionary.set("a", 3);
  EXPECT_EQ(dictionary.body(), "a 3;\nb 2;\n");
}

TEST(FoamDictionary, IndentsSubDictionariesByFourSpacesALevel) {
  Dictionary dictionary;
  dictionary.sub("outer").sub("inner", {{"key", "value"}});
  EXPECT_EQ(dictionary.body(), "outer\n{\n    inner\n    {\n        key value;\n    }\n}\n");
}

TEST(FoamDictionary, KeepsASpaceBetweenKeyAndList) {
  Dictionary dictionary;
  dictionary.set("faces", list({list({0, 1, 2, 3}), list({4, 5, 6, 7})}));
  EXPECT_EQ(dictionary.body(), "faces ((0 1 2 3) (4 5 6 7));\n");
}

TEST(FoamDictionary, WritesNamedAndUnnamedDictionariesInAList) {
  Dictionary dictionary;
  dictionary.sub_list("items", {{"named", {{"a", 1}}}, {"", {{"b", 2}}}});
  EXPECT_EQ(dictionary.body(),
            "items\n(\n    named\n    {\n        a 1;\n    }\n    {\n        b 2;\n    }\n);\n");
}

TEST(FoamDictionary, WritesNumbersThatReadBackExactly) {
  const double third = 1.0 / 3.0;
  EXPECT_EQ(std::stod(Value(third).text), third);
  EXPECT_EQ(Value(0.1).text, "0.1");
  EXPECT_EQ(Value(base::Vec3{1.0, -0.5, 0.0}).text, "(1 -0.5 0)");
}

TEST(FoamDictionary, SubReturnsTheDictionaryThatIsThere) {
  Dictionary dictionary;
  dictionary.sub("a").set("x", 1);
  dictionary.sub("a").set("y", 2);
  EXPECT_EQ(dictionary.body(), "a\n{\n    x 1;\n    y 2;\n}\n");
}

TEST(FoamFile, NamesClassAndObjectInItsHeader) {
  EXPECT_EQ(foam_file("dictionary", "fvSchemes", {{"a", 1}}),
            "FoamFile\n{\n    version 2.0;\n    format ascii;\n    class dictionary;\n    object "
            "fvSchemes;\n}\n\na 1;\n");
}

}  // namespace
}  // namespace cowlwright::foam
