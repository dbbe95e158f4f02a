// SPDX-License-Identifier: GPL-3.0-or-later
//
// Median cut and the few chunks of a PNG.
#include "post/pictures/png.h"

#include "post/pictures/deflated.h"

#include <zlib.h>

#include <algorithm>
#include <cmath>
#include <unordered_map>

namespace cowlwright::post {

namespace {

using Rgb = std::array<std::uint8_t, 3>;

constexpr std::size_t most_colours = 256;
constexpr std::size_t most_kept = 128;

struct Counted {
  Rgb colour{};
  std::size_t count = 0;
};

std::uint32_t key_of(const Rgb& colour) {
  return (static_cast<std::uint32_t>(colour[0]) << 16) | (static_cast<std::uint32_t>(colour[1]) << 8) |
         colour[2];
}

/// Every colour once, the most frequent one first.
std::vector<Counted> count_colours(const Image& image) {
  std::unordered_map<std::uint32_t, std::size_t> counts;
  for (const Rgb& pixel : image.pixels) {
    ++counts[key_of(pixel)];
  }
  std::vector<Counted> colours;
  colours.reserve(counts.size());
  for (const auto& [key, count] : counts) {
    colours.push_back({{static_cast<std::uint8_t>(key >> 16),
                        static_cast<std::uint8_t>((key >> 8) & 0xFF),
                        static_cast<std::uint8_t>(key & 0xFF)},
                       count});
  }
  std::sort(colours.begin(), colours.end(), [](const Counted& a, const Counted& b) {
    return a.count != b.count ? a.count > b.count : a.colour < b.colour;
  });
  return colours;
}

/// A range of the list of colours.
struct Group {
  std::size_t first = 0;
  std::size_t last = 0;  // one behind
  std::size_t axis = 0;  // of the widest spread
  double weight = 0.0;   // which group is cut next
};

Group make_group(const std::vector<Counted>& colours, std::size_t first, std::size_t last) {
  Group group{first, last};
  std::size_t count = 0;
  Rgb low{255, 255, 255};
  Rgb high{0, 0, 0};
  for (std::size_t i = first; i < last; ++i) {
    count += colours[i].count;
    for (std::size_t axis = 0; axis < 3; ++axis) {
      low[axis] = std::min(low[axis], colours[i].colour[axis]);
      high[axis] = std::max(high[axis], colours[i].colour[axis]);
    }
  }
  int widest = -1;
  for (std::size_t axis = 0; axis < 3; ++axis) {
    if (high[axis] - low[axis] > widest) {
      widest = high[axis] - low[axis];
      group.axis = axis;
    }
  }
  group.weight = last - first > 1 ? widest * std::sqrt(std::sqrt(static_cast<double>(count))) : 0.0;
  return group;
}

/// Where to cut a sorted group: half of its pixels on either side, at least one colour each.
std::size_t middle_of(const std::vector<Counted>& colours, const Group& group) {
  std::size_t total = 0;
  for (std::size_t i = group.first; i < group.last; ++i) {
    total += colours[i].count;
  }
  std::size_t sum = 0;
  std::size_t cut = group.first;
  while (cut + 1 < group.last && 2 * (sum + colours[cut].count) <= total) {
    sum += colours[cut++].count;
  }
  return std::max(cut, group.first + 1);
}

std::vector<Group> cut_into_groups(std::vector<Counted>& colours) {
  std::vector<Group> groups;
  const bool has_too_many = colours.size() > most_colours;
  const std::size_t n_kept = has_too_many ? most_kept : colours.size();
  for (std::size_t i = 0; i < n_kept; ++i) {
    groups.push_back(make_group(colours, i, i + 1));
  }
  if (has_too_many) {
    groups.push_back(make_group(colours, n_kept, colours.size()));
  }
  while (groups.size() < most_colours) {
    const auto next = std::max_element(
        groups.begin(), groups.end(), [](const Group& a, const Group& b) { return a.weight < b.weight; });
    if (!(next->weight > 0.0)) {
      break;
    }
    const Group group = *next;
    const auto at = [&colours](std::size_t i) { return colours.begin() + static_cast<std::ptrdiff_t>(i); };
    std::sort(at(group.first), at(group.last), [&](const Counted& a, const Counted& b) {
      return a.colour[group.axis] != b.colour[group.axis] ? a.colour[group.axis] < b.colour[group.axis]
                                                          : a.colour < b.colour;
    });
    const std::size_t cut = middle_of(colours, group);
    *next = make_group(colours, group.first, cut);
    groups.push_back(make_group(colours, cut, group.last));
  }
  return groups;
}

void add_number(std::string& text, std::uint32_t number) {
  for (int shift = 24; shift >= 0; shift -= 8) {
    text.push_back(static_cast<char>((number >> shift) & 0xFF));
  }
}

void add_chunk(std::string& png, const std::string& type, const std::string& data) {
  add_number(png, static_cast<std::uint32_t>(data.size()));
  const std::string body = type + data;
  png += body;
  add_number(png,
             static_cast<std::uint32_t>(
                 crc32(0, reinterpret_cast<const Bytef*>(body.data()), static_cast<uInt>(body.size()))));
}

constexpr char full_colour_type = 2;
constexpr char palette_type = 3;

std::string png_of(const Image& image, char type, const std::string& palette, const std::string& rows) {
  std::string header;
  add_number(header, static_cast<std::uint32_t>(image.width));
  add_number(header, static_cast<std::uint32_t>(image.height));
  header.append({8, type, 0, 0, 0});  // 8 bits; deflate, row filters, not interlaced
  std::string png("\x89PNG\r\n\x1a\n", 8);
  add_chunk(png, "IHDR", header);
  if (!palette.empty()) {
    add_chunk(png, "PLTE", palette);
  }
  add_chunk(png, "IDAT", deflated(rows));
  add_chunk(png, "IEND", "");
  return png;
}

std::vector<std::uint8_t> row_of(const Image& image, std::size_t row) {
  std::vector<std::uint8_t> bytes;
  bytes.reserve(3 * image.width);
  for (std::size_t i = 0; i < image.width; ++i) {
    const Rgb& pixel = image.pixels[row * image.width + i];
    bytes.insert(bytes.end(), pixel.begin(), pixel.end());
  }
  return bytes;
}

/// A row less its left neighbour (filter 1) or less the row above (filter 2): what sums up to less.
std::string filtered(const std::vector<std::uint8_t>& row, const std::vector<std::uint8_t>& above) {
  std::string left(1, 1);
  std::string up(1, 2);
  int left_sum = 0;
  int up_sum = 0;
  for (std::size_t i = 0; i < row.size(); ++i) {
    const auto from_left = static_cast<std::int8_t>(row[i] - (i < 3 ? 0 : row[i - 3]));
    const auto from_above = static_cast<std::int8_t>(row[i] - above[i]);
    left.push_back(static_cast<char>(from_left));
    up.push_back(static_cast<char>(from_above));
    left_sum += std::abs(from_left);
    up_sum += std::abs(from_above);
  }
  return left_sum < up_sum ? left : up;
}

}  // namespace

IndexedImage with_palette(const Image& image) {
  std::vector<Counted> colours = count_colours(image);
  IndexedImage indexed;
  std::unordered_map<std::uint32_t, std::uint8_t> index_of;
  for (const Group& group : cut_into_groups(colours)) {
    const auto index = static_cast<std::uint8_t>(indexed.palette.size());
    Counted most;
    for (std::size_t i = group.first; i < group.last; ++i) {
      index_of[key_of(colours[i].colour)] = index;
      if (colours[i].count > most.count) {
        most = colours[i];
      }
    }
    indexed.palette.push_back(most.colour);
  }
  indexed.indices.reserve(image.pixels.size());
  for (const Rgb& pixel : image.pixels) {
    indexed.indices.push_back(index_of.at(key_of(pixel)));
  }
  return indexed;
}

std::string indexed_png(const Image& image) {
  const IndexedImage indexed = with_palette(image);
  std::string palette;
  for (const Rgb& colour : indexed.palette) {
    palette.append(colour.begin(), colour.end());
  }
  std::string rows;
  for (std::size_t row = 0; row < image.height; ++row) {
    rows.push_back('\0');  // no filter
    const auto start = indexed.indices.begin() + static_cast<std::ptrdiff_t>(row * image.width);
    rows.append(start, start + static_cast<std::ptrdiff_t>(image.width));
  }
  return png_of(image, palette_type, palette, rows);
}

std::string full_colour_png(const Image& image) {
  std::string rows;
  std::vector<std::uint8_t> above(3 * image.width, 0);
  for (std::size_t row = 0; row < image.height; ++row) {
    const std::vector<std::uint8_t> bytes = row_of(image, row);
    rows += filtered(bytes, above);
    above = bytes;
  }
  return png_of(image, full_colour_type, "", rows);
}

}  // namespace cowlwright::post
