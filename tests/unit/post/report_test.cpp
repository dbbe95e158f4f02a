// SPDX-License-Identifier: GPL-3.0-or-later
//
// The page's text, the programs it starts, and what it says of what they could not do.
#include "post/report/children.h"
#include "post/report/embedded.h"
#include "post/report/page.h"
#include "post/tables/writers.h"
#include "tests/support/scratch_folder.h"
#include "tests/unit/post/sample_results.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <array>

namespace cowlwright::post {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing_support::ScratchFolder;
using namespace cowlwright::post::synthetic;
using nlohmann::json;

/// What stands in one of the page's script elements.
std::string element(const std::string& page, const std::string& id) {
  const std::string start = "<script type=\"application/json\" id=\"" + id + "\">";
  const std::size_t from = page.find(start) + start.size();
  return page.substr(from, page.find("</script>", from) - from);
}

/// A page of one variant whose study asks `question`.
std::string page_of(const VariantFigures& figures, const std::string& question = "") {
  VariantResult result = sample_variant("0 deg", true);
  result.manifest.question = question;
  std::vector<VariantResult> results;
  results.push_back(std::move(result));
  const Comparison comparison(std::move(results));
  return report_page({.results = results_json(comparison),
                      .variants = comparison.labels,
                      .figures = std::array{figures},
                      .written = "2001-02-03T04:05:06Z"});
}

TEST(Page, HoldsTheResultsAsTheyWereWritten) {
  std::vector<VariantResult> results;
  results.push_back(sample_variant("0 deg", true));
  results.front().manifest.question = "how much?";
  const json written = json::parse(results_json(Comparison(std::move(results))));
  EXPECT_TRUE(json::parse(element(page_of({{}, "none"}, "how much?"), "results")) == written);
}

TEST(Page, IsNotBrokenByWhatAStudySays) {
  const std::string question = "</script><script>alert(1)</script> @COWLWRIGHT_PAGE@ @COWLWRIGHT_SCENES@";
  const std::string page = page_of({{}, "none"}, question);
  EXPECT_EQ(json::parse(element(page, "results"))["question"], question);
  EXPECT_EQ(json::parse(element(page, "page"))["written"], "2001-02-03T04:05:06Z");
}

TEST(Page, KnowsItsOwnSize) {
  const std::string page = page_of({{}, "none"});
  EXPECT_EQ(json::parse(element(page, "page"))["bytes"], page.size());
}

TEST(Page, LeavesNoMarkUnfilled) {
  EXPECT_THAT(page_of({{}, "none"}), Not(HasSubstr("@COWLWRIGHT_")));
}

TEST(Page, SaysWhyAVariantHasNoPictures) {
  const json pictures = json::parse(element(page_of({{}, "no display"}), "pictures"));
  EXPECT_EQ(pictures[0]["variant"], "0 deg");
  EXPECT_EQ(pictures[0]["missing"][0]["reason"], "no display");
  EXPECT_THAT(json::parse(element(page_of({{}, "no display"}), "scenes")), IsEmpty());
}

/// A folder as cowlpicture leaves it, with one picture and a scene of four bytes.
void write_figures(const ScratchFolder& folder) {
  folder.write("front.png", "PNG");
  folder.write("scene.json", R"({"format": "cowlwright scene"})");
  folder.write("scene.bin", "foob");
  folder.write("pictures.json",
               R"({"views": [{"id": "front", "file": "front.png", "title": "Front"}],
                   "missing": [{"id": "rear", "title": "Rear", "reason": "no light"}], "scene": "scene.json"})");
}

TEST(Page, TakesPicturesAndSceneAsBytes) {
  const ScratchFolder folder;
  write_figures(folder);
  const std::string page = page_of({folder.path(), ""});
  const json pictures = json::parse(element(page, "pictures"));
  EXPECT_EQ(pictures[0]["views"][0]["src"], "data:image/png;base64,UE5H");
  EXPECT_FALSE(pictures[0]["views"][0].contains("file"));
  EXPECT_EQ(pictures[0]["missing"][0]["reason"], "no light");
  const json scenes = json::parse(element(page, "scenes"));
  EXPECT_EQ(scenes[0]["header"]["format"], "cowlwright scene");
  EXPECT_EQ(scenes[0]["data"], "Zm9vYg==");
}

TEST(Page, RefusesADamagedRecordOfPicturesByName) {
  const ScratchFolder folder;
  folder.write("pictures.json", "{\"views\": [");
  try {
    page_of({folder.path(), ""});
    FAIL() << "no refusal";
  } catch (const std::exception& error) {
    EXPECT_THAT(error.what(), HasSubstr("pictures.json"));
    EXPECT_THAT(error.what(), HasSubstr("Draw the pictures again"));
  }
}

TEST(Children, ThatEndWellLeaveNoFailure) {
  const ScratchFolder folder;
  const std::vector<Child> children{{{"true"}, folder.path() / "a"},
                                    {{"sh", "-c", "echo out"}, folder.path() / "b"}};
  EXPECT_THAT(run_children(children, 2, std::chrono::seconds(20)), ElementsAre("", ""));
  EXPECT_EQ(testing_support::text_of(folder.path() / "b"), "out\n");
}

TEST(Children, ThatFailSaySoWithTheirLastWords) {
  const ScratchFolder folder;
  const std::vector<Child> children{
      {{"sh", "-c", "echo first; echo no display >&2; exit 3"}, folder.path() / "a"},
      {{"true"}, folder.path() / "b"},
      {{"sh", "-c", "kill -9 $$"}, folder.path() / "c"}};
  const std::vector<std::string> failures = run_children(children, 1, std::chrono::seconds(20));
  EXPECT_EQ(failures[0], "sh ended with 3: no display");
  EXPECT_EQ(failures[1], "");
  EXPECT_EQ(failures[2], "sh was ended by signal 9: it said nothing");
}

TEST(Children, ThatTakeTooLongAreEnded) {
  const ScratchFolder folder;
  const std::vector<Child> children{{{"sleep", "60"}, folder.path() / "a"}};
  EXPECT_THAT(run_children(children, 1, std::chrono::seconds(1)), ElementsAre("sleep was ended after 1 s"));
}

TEST(Children, AreLookedUpOnPathOrAsAPath) {
  EXPECT_TRUE(is_there("sh"));
  EXPECT_TRUE(is_there("/bin/sh"));
  EXPECT_FALSE(is_there("no-such-program-here"));
  EXPECT_FALSE(is_there("/no/such/program"));
}

TEST(Embedded, HasTheSchemaWhole) {
  EXPECT_EQ(results_schema(), testing_support::text_of(COWLWRIGHT_RESULTS_SCHEMA));
}

}  // namespace
}  // namespace cowlwright::post
