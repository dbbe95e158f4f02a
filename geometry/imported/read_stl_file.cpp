// SPDX-License-Identifier: GPL-3.0-or-later
//
// STL in both its forms. The order of the corners decides; the normals, which many programs write wrong, are
// not read.
#include "geometry/imported/readers.h"
#include "geometry/imported/soup.h"
#include "geometry/imported/tokens.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>

namespace cowlwright::imported {

namespace {

constexpr std::size_t header_bytes = 84;
constexpr std::size_t facet_bytes = 50;

/// Words across lines, as the ASCII form is written with any line breaks.
class StlWords {
 public:
  explicit StlWords(ByteSource& source) : source_(&source) {}

  /// The next word; empty at the end of the file.
  std::string_view next() {
    while (tokens_.is_empty()) {
      if (source_->is_at_end()) return {};
      tokens_ = Tokens(source_->line());
    }
    return tokens_.next();
  }
  std::string_view rest_of_line() {
    const std::string_view rest = tokens_.rest();
    tokens_ = Tokens({});
    return rest;
  }
  base::Vec3 three_numbers() { return coordinates(tokens_, *source_); }

  [[noreturn]] void fail(std::string_view found, std::string_view expected) const {
    if (found.empty()) {
      source_->fail_at_line(
          fmt::format("the file ends where {} must stand. It was cut short; export it again.", expected));
    }
    source_->fail_at_line(
        fmt::format("{}: {} must stand here. Export the file again, as STL.", in_quotes(found), expected));
  }
  void expect(std::string_view wanted) {
    const std::string_view found = next();
    if (!is_word(found, wanted)) fail(found, in_quotes(wanted));
  }

 private:
  ByteSource* source_;
  Tokens tokens_{{}};
};

void check(const std::string& fault, const ByteSource& source) {
  if (!fault.empty()) source.fail_at_line(fault);
}

void read_facet(StlWords& words, Soup& soup, const ByteSource& source) {
  words.expect("normal");
  for (int i = 0; i < 3; ++i) {
    const std::string_view number = words.next();
    if (number.empty()) words.fail(number, "a normal of three numbers");
  }
  words.expect("outer");
  words.expect("loop");
  std::array<std::uint32_t, 3> corners{};
  for (std::uint32_t& corner : corners) {
    words.expect("vertex");
    check(soup.add_point(words.three_numbers(), corner), source);
  }
  words.expect("endloop");
  words.expect("endfacet");
  check(soup.add_polygon(corners), source);
}

float little_endian_float(const char* bytes) {
  std::uint32_t bits = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    bits |= static_cast<std::uint32_t>(static_cast<unsigned char>(bytes[i])) << (8U * i);
  }
  return std::bit_cast<float>(bits);
}

}  // namespace

SurfaceFile read_ascii_stl(ByteSource& source, const Placement& placement, const ReadLimits& limits) {
  Soup soup(placement, limits);
  StlWords words(source);
  std::size_t n_solids = 0;
  for (std::string_view word = words.next(); !word.empty(); word = words.next()) {
    if (!is_word(word, "solid")) words.fail(word, "\"solid\"");
    ++n_solids;
    const std::string_view name = words.rest_of_line();
    const std::string fit = name.empty() ? fmt::format("solid_{}", n_solids)
                                         : std::string(name.substr(0, name.find_last_not_of(" \t\r") + 1));
    check(soup.use_patch(fit), source);
    for (word = words.next(); is_word(word, "facet"); word = words.next()) read_facet(words, soup, source);
    if (!is_word(word, "endsolid")) words.fail(word, "\"facet\" or \"endsolid\"");
    (void)words.rest_of_line();  // its name says nothing new
  }
  return std::move(soup).finish(source, "ASCII STL");
}

SurfaceFile read_binary_stl(ByteSource& source, const Placement& placement, const ReadLimits& limits) {
  const std::string_view header = source.peek(header_bytes);
  if (header.size() < header_bytes) {
    source.fail(fmt::format("{} bytes: a binary STL has at least {}. It was cut short; export it again.",
                            source.size(),
                            header_bytes));
  }
  std::uint64_t n_facets = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    n_facets |= static_cast<std::uint64_t>(static_cast<unsigned char>(header[80 + i])) << (8U * i);
  }
  const std::uint64_t wanted = header_bytes + facet_bytes * n_facets;
  if (source.size() != wanted) {
    source.fail(fmt::format(
        "neither ASCII STL, which begins with \"solid\", nor a whole binary one: its header says {} facets, "
        "which take {} bytes; the file has {}. It is damaged or cut short; export it again.",
        n_facets,
        wanted,
        source.size()));
  }
  if (n_facets > limits.most_triangles) {
    source.fail(fmt::format(
        "{} triangles: at most {} are read. Export a coarser surface.", n_facets, limits.most_triangles));
  }
  source.skip(header_bytes);
  Soup soup(placement, limits);
  soup.reserve(n_facets / 2 + 2, n_facets);
  for (std::uint64_t i = 0; i < n_facets; ++i) {
    const std::string_view facet = source.peek(facet_bytes);
    if (facet.size() < facet_bytes)
      source.fail_at_byte("the file ended while it was read. Is it still being written?");
    std::array<std::uint32_t, 3> corners{};
    for (std::size_t k = 0; k < 3; ++k) {
      const char* at = facet.data() + 12 + 12 * k;  // behind the normal
      const base::Vec3 p{little_endian_float(at), little_endian_float(at + 4), little_endian_float(at + 8)};
      const std::string fault = soup.add_point(p, corners[k]);
      if (!fault.empty()) source.fail_at_byte(fmt::format("facet {}: {}", i + 1, fault));
    }
    if (const std::string fault = soup.add_polygon(corners); !fault.empty()) source.fail_at_byte(fault);
    source.skip(facet_bytes);
  }
  return std::move(soup).finish(source, "binary STL");
}

}  // namespace cowlwright::imported
