// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reads the two kinds of PNG that we write, by a few lines of our own.
#pragma once

#include <gtest/gtest.h>
#include <zlib.h>

#include <array>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

namespace cowlwright::post::png_reader {

using Rgb = std::array<std::uint8_t, 3>;

inline std::uint32_t number_at(const std::string& text, std::size_t at) {
  std::uint32_t number = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    number = (number << 8) | static_cast<unsigned char>(text.at(at + i));
  }
  return number;
}

/// Chunk type -> data; every checksum is compared.
inline std::map<std::string, std::string> chunks_of(const std::string& png) {
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

/// Rows from the top down. Source: ISO/IEC 15948, clauses 9 and 11.
inline std::vector<Rgb> decoded(const std::string& png) {
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

}  // namespace cowlwright::post::png_reader
