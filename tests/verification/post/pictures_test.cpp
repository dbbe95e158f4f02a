// SPDX-License-Identifier: GPL-3.0-or-later
//
// Pictures drawn on a virtual display, against a field that is known: a pixel's colour is that of the exact
// value at the place it shows.
#include "post/pictures/scales.h"
#include "post/pictures/view.h"
#include "tests/support/scratch_folder.h"
#include "tests/unit/post/picture_case.h"
#include "tests/unit/post/png_reader.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>
#include <sys/wait.h>

#include <cmath>
#include <cstdlib>

namespace cowlwright::post {
namespace {

using nlohmann::json;
using testing_support::ScratchFolder;
using testing_support::text_of;
using namespace cowlwright::post::synthetic;

/// All pictures of the block, drawn once for all tests.
const ScratchFolder& drawn_case() {
  static const ScratchFolder folder;
  static const bool is_drawn = [] {
    write_picture_case(folder.path() / "base");
    const std::string command = "cd '" + folder.path().string() +
                                "' && xvfb-run -a '" COWLWRIGHT_BIN
                                "/cowlpicture' base --output out >out.txt 2>err.txt";
    const int status = std::system(command.c_str());
    EXPECT_EQ(WEXITSTATUS(status), 0) << text_of(folder.path() / "err.txt");
    return true;
  }();
  EXPECT_TRUE(is_drawn);
  return folder;
}

View view_named(const std::string& id) {
  const base::Manifest manifest = picture_manifest();
  for (const View& view :
       picture_views(places_of(manifest), frame_of(manifest, std::nullopt), scales_of(manifest))) {
    if (view.id == id) {
      return view;
    }
  }
  throw std::runtime_error(id);
}

/// The pixel of a parallel view from the left in which a point of its plane lies.
std::size_t pixel_of(const Camera& camera, double x, double z) {
  const double per_metre = 0.5 * (picture_height - head_height - foot_height) / camera.half_height;
  const double column = 0.5 * picture_width + (x - camera.focus.x) * per_metre;
  const double row =
      head_height + 0.5 * (picture_height - head_height - foot_height) - (z - camera.focus.z) * per_metre;
  return static_cast<std::size_t>(row) * picture_width + static_cast<std::size_t>(column);
}

TEST(DrawnPictures, AllAreThereAndOfOneSize) {
  const ScratchFolder& folder = drawn_case();
  const json record = json::parse(text_of(folder.path() / "out" / "pictures.json"));
  EXPECT_EQ(record["missing"].size(), 0) << record["missing"];
  EXPECT_EQ(record["views"].size(), 10);
  for (const json& view : record["views"]) {
    const std::string png = text_of(folder.path() / "out" / view["file"].get<std::string>());
    EXPECT_EQ(png_reader::decoded(png).size(), static_cast<std::size_t>(picture_width) * picture_height);
    EXPECT_LT(png.size(), 200000U) << view["id"];
  }
}

// Places inside by more than a cell, away from lines and, by a third of a step, from the borders of colours.
TEST(DrawnPictures, APixelsColourIsThatOfTheExactValueAtItsPlace) {
  const View view = view_named("centre_plane_pressure");
  const FieldScale scale = view_scale(view, scales_of(picture_manifest()));
  const std::vector<Colour> colours = band_colours(scale);
  const std::vector<png_reader::Rgb> pixels =
      png_reader::decoded(text_of(drawn_case().path() / "out" / "centre_plane_pressure.png"));
  int n_compared = 0;
  for (double x = 0.2; x < 1.75; x += 0.07) {
    for (double z = -0.3; z < 0.3; z += 0.06) {
      const double band = (exact_cp({x, 0.0, z}) - scale.low) / scale.step;
      const double part = band - std::floor(band);
      if (part < 0.33 || part > 0.67 || (x > 0.7 && x < 1.05)) {
        continue;
      }
      ++n_compared;
      const png_reader::Rgb& pixel = pixels.at(pixel_of(view.camera, x, z));
      const Colour& colour = colours.at(static_cast<std::size_t>(band));
      for (std::size_t i = 0; i < 3; ++i) {
        EXPECT_NEAR(pixel[i], 255.0 * colour[i], 2.0) << "x = " << x << ", z = " << z << ", channel " << i;
      }
    }
  }
  EXPECT_GT(n_compared, 30);
}

}  // namespace
}  // namespace cowlwright::post
