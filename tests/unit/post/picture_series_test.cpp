// SPDX-License-Identifier: GPL-3.0-or-later
//
// A whole series with a stand-in for the painter: what becomes of pictures that fail.
#include "post/pictures/series.h"
#include "tests/support/scratch_folder.h"
#include "tests/unit/post/picture_case.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <set>
#include <stdexcept>

namespace cowlwright::post {
namespace {

using nlohmann::json;
using testing::HasSubstr;
using testing_support::ScratchFolder;
using testing_support::text_of;
using namespace cowlwright::post::synthetic;

struct Series {
  ScratchFolder folder;
  SeriesRequest request{.case_dir = folder.path() / "base", .output = folder.path() / "out", .like = {}};

  Series() { write_picture_case(request.case_dir); }
  json record() const { return json::parse(text_of(request.output / record_file_name)); }
};

TEST(PictureSeries, OneThatFailsIsListedWithItsReasonAndDoesNotStopTheOthers) {
  const Series series;
  make_series(
      series.request,
      [](const View& view, const auto&...) {
        if (view.id == "exit_speed") {
          throw std::runtime_error("out of paint");
        }
      },
      "");
  const json record = series.record();
  EXPECT_EQ(record["views"].size(), 9);
  ASSERT_EQ(record["missing"].size(), 1);
  EXPECT_EQ(record["missing"][0]["id"], "exit_speed");
  EXPECT_THAT(record["missing"][0]["reason"].get<std::string>(), HasSubstr("out of paint"));
}

// The record is right at every moment at which VTK might end the process.
TEST(PictureSeries, TheRecordOnDiskNamesWhatIsNotYetDrawn) {
  const Series series;
  std::size_t n_drawn = 0;
  make_series(
      series.request,
      [&](const View& view, const auto&...) {
        const json record = series.record();
        EXPECT_EQ(record["views"].size(), n_drawn);
        EXPECT_EQ(record["missing"].size(), 10 - n_drawn);
        EXPECT_EQ(record["missing"][0]["id"], view.id);
        EXPECT_THAT(record["missing"][0]["reason"].get<std::string>(), HasSubstr("ended before"));
        ++n_drawn;
      },
      "");
  EXPECT_EQ(n_drawn, 10U);
  EXPECT_EQ(series.record()["missing"].size(), 0);
}

TEST(PictureSeries, EveryViewIsDescribedWithFileSizeFieldAndRange) {
  const Series series;
  make_series(
      series.request, [](const auto&...) {}, "");
  std::set<std::string> files;
  const json record = series.record();
  for (const json& view : record["views"]) {
    files.insert(view["file"]);
    EXPECT_EQ(view["file"], view["id"].get<std::string>() + ".png");
    EXPECT_EQ(view["width"], picture_width);
    EXPECT_EQ(view["height"], picture_height);
    EXPECT_LT(view["range"][0], view["range"][1]);
    EXPECT_FALSE(view["title"].get<std::string>().empty() || view["caption"].get<std::string>().empty() ||
                 view["alt"].get<std::string>().empty());
  }
  EXPECT_EQ(files.size(), 10U);
}

TEST(PictureSeries, WithoutTemperatureThePicturesOfItAreMissing) {
  const Series series;
  std::filesystem::remove(series.request.case_dir / "400" / "T");
  make_series(
      series.request, [](const auto&...) {}, "");
  const json record = series.record();
  ASSERT_EQ(record["missing"].size(), 2);
  for (const json& missing : record["missing"]) {
    EXPECT_THAT(missing["reason"].get<std::string>(), HasSubstr("no field for the temperature"));
  }
}

TEST(PictureSeries, CamerasAndRangesComeFromTheCaseItIsToBeLike) {
  Series series;
  base::Manifest other = picture_manifest();
  other.planes[3].origin.x += 0.4;
  other.passages[0].heat = 40000.0;
  series.request.like = series.folder.path() / "other";
  std::filesystem::create_directories(series.request.like);
  base::write_manifest(other, series.request.like);
  std::vector<View> views;
  std::vector<FieldScale> scales;
  make_series(
      series.request,
      [&](const View& view, const FieldScale& scale, const auto&...) {
        views.push_back(view);
        scales.push_back(scale);
      },
      "");
  const std::vector<View> expected =
      picture_views(places_of(other), frame_of(other, std::nullopt), scales_of(other));
  ASSERT_EQ(views.size(), expected.size());
  for (std::size_t i = 0; i < views.size(); ++i) {
    EXPECT_EQ(views[i].camera.position, expected[i].camera.position) << views[i].id;
    EXPECT_EQ(scales[i].high, view_scale(expected[i], scales_of(other)).high) << views[i].id;
  }
}

}  // namespace
}  // namespace cowlwright::post
