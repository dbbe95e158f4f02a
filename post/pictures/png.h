// SPDX-License-Identifier: GPL-3.0-or-later
//
// Pictures as PNG, small, since a page holds dozens of them: with a palette of 256 colours where areas of one
// colour make the picture (half of the size), in full colour where light and shade do.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

namespace cowlwright::post {

/// Rows from the top down, pixels from left to right.
struct Image {
  std::size_t width = 0;
  std::size_t height = 0;
  std::vector<std::array<std::uint8_t, 3>> pixels;  ///< red, green, blue
};

/// The image in at most 256 of its own colours. With more, the 128 most frequent ones are kept as they are;
/// the others, pixels along edges, are put together by median cut, each group under its most frequent one.
struct IndexedImage {
  std::vector<std::array<std::uint8_t, 3>> palette;
  std::vector<std::uint8_t> indices;  ///< (width x height) into the palette
};
IndexedImage with_palette(const Image& image);

/// PNG with a palette, colour type 3 (ISO/IEC 15948).
std::string indexed_png(const Image& image);
/// PNG in full colour, colour type 2.
std::string full_colour_png(const Image& image);

}  // namespace cowlwright::post
