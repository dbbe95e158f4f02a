// SPDX-License-Identifier: GPL-3.0-or-later
//
// The PNG writer, read back.
#include "post/pictures/png.h"

#include "tests/unit/post/png_reader.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>

namespace cowlwright::post {
namespace {

using png_reader::decoded;
using png_reader::Rgb;

Image image_with(std::size_t width, std::size_t height, int n_colours) {
  Image image{width, height, {}};
  for (std::size_t i = 0; i < width * height; ++i) {
    const int colour = static_cast<int>(i * i + i / 7) % n_colours;
    image.pixels.push_back({static_cast<std::uint8_t>(colour % 256),
                            static_cast<std::uint8_t>((3 * colour) % 256),
                            static_cast<std::uint8_t>(colour / 256 * 40)});
  }
  return image;
}

TEST(Png, FullColourComesBackExactly) {
  const Image image = image_with(67, 31, 1000);
  EXPECT_EQ(decoded(full_colour_png(image)), image.pixels);
}

TEST(Png, UpTo256ColoursComeBackExactlyFromAPalette) {
  const Image image = image_with(64, 40, 200);
  EXPECT_EQ(decoded(indexed_png(image)), image.pixels);
}

// A band of one colour beside 2000 shades that occur once each.
TEST(Png, WithTooManyColoursTheFrequentOnesComeBackExactly) {
  Image image{100, 40, {}};
  for (int i = 0; i < 4000; ++i) {
    const bool is_band = i < 2000;
    image.pixels.push_back(
        is_band ? Rgb{200, 30, 31}
                : Rgb{static_cast<std::uint8_t>(i % 250), static_cast<std::uint8_t>(i / 16), 90});
  }
  const std::vector<Rgb> pixels = decoded(indexed_png(image));
  for (std::size_t i = 0; i < 2000; ++i) {
    ASSERT_EQ(pixels[i], image.pixels[i]) << i;
  }
  for (std::size_t i = 2000; i < 4000; ++i) {  // 128 groups over 250 x 125 shades
    EXPECT_LE(std::abs(pixels[i][0] - image.pixels[i][0]), 48) << i;
    EXPECT_LE(std::abs(pixels[i][1] - image.pixels[i][1]), 48) << i;
  }
  EXPECT_LE(with_palette(image).palette.size(), 256U);
}

}  // namespace
}  // namespace cowlwright::post
