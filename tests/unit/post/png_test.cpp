// SPDX-License-Identifier: GPL-3.0-or-later
//
// The PNG writer, read back by a few lines of our own.
#include "post/pictures/png.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <zlib.h>

#include <cstdlib>
#include <map>

namespace cowlwright::post {
namespace {

using Rgb = std::array<std::uint8_t, 3>;

std::uint32_t number_at(const std::string& text, std::size_t at) {
  std::uint32_t number = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    number = (number << 8) | static_cast<unsigned char>(text.at(at + i));
  }
  return number;
}

/// Chunk type -> data; every checksum is compared.
std::map<std::string, std::string> chunks_of(const std::string& png) {
  EXPECT_EQ(png.substr(0, 8), "\x89PNG\r\n\x1a\n");
  std::map<std::string, std::string> chunks;
  for (std::size_t at = 8; at < png.size();) {
    const std::uint32_t size = number_at(png, at);
    const std::string body = png.substr(at + 4, size + 4);
    EXPECT_EQ(number_at(png, at + 8 + size),
              crc32(0, reinterpret_cast<const Bytef*>(body.data()), static_cast<uInt>(body.size())));
    chunks[body.substr(0, 4)] = body.substr(4);
    at += size + 12;
  }
  return chunks;
}

/// Decodes both kinds that we write. Source: ISO/IEC 15948, clauses 9 and 11.
std::vector<Rgb> decoded(const std::string& png) {
  std::map<std::string, std::string> chunks = chunks_of(png);
  const std::size_t width = number_at(chunks["IHDR"], 0);
  const std::size_t height = number_at(chunks["IHDR"], 4);
  const bool has_palette = chunks["IHDR"].at(9) == 3;
  const std::size_t n_bytes = has_palette ? 1 : 3;
  std::string rows(height * (n_bytes * width + 1), '\0');
  uLongf size = rows.size();
  EXPECT_EQ(uncompress(reinterpret_cast<Bytef*>(rows.data()),
                       &size,
                       reinterpret_cast<const Bytef*>(chunks["IDAT"].data()),
                       chunks["IDAT"].size()),
            Z_OK);
  EXPECT_EQ(size, rows.size());
  std::vector<std::uint8_t> above(n_bytes * width, 0);
  std::vector<Rgb> pixels;
  for (std::size_t row = 0; row < height; ++row) {
    const std::size_t start = row * (n_bytes * width + 1);
    std::vector<std::uint8_t> bytes;
    for (std::size_t i = 0; i < n_bytes * width; ++i) {
      const int from = rows[start] == 1   ? (i < n_bytes ? 0 : bytes[i - n_bytes])
                       : rows[start] == 2 ? above[i]
                                          : 0;
      bytes.push_back(static_cast<std::uint8_t>(static_cast<unsigned char>(rows[start + 1 + i]) + from));
    }
    for (std::size_t i = 0; i < width; ++i) {
      const auto part = [&](std::size_t channel) {
        return has_palette ? static_cast<std::uint8_t>(chunks["PLTE"].at(3U * bytes[i] + channel))
                           : bytes[3 * i + channel];
      };
      pixels.push_back({part(0), part(1), part(2)});
    }
    above = bytes;
  }
  return pixels;
}

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
