// SPDX-License-Identifier: GPL-3.0-or-later
//
// OFF in its text form, one point or face a line; colours, normals and texture numbers behind them are passed
// over.
#include "geometry/imported/readers.h"
#include "geometry/imported/soup.h"
#include "geometry/imported/tokens.h"

#include <fmt/format.h>

namespace cowlwright::imported {

namespace {

/// Checks a count against the shortest text that could hold so many, before anything is made room for.
void check_count(const ByteSource& source,
                 std::uint64_t n,
                 std::string_view what,
                 std::uint64_t least_bytes,
                 std::size_t most) {
  if (n > source.remaining() / least_bytes + 1) {
    source.fail_at_line(
        fmt::format("{} {} announced: the {} bytes that follow cannot hold them. The file is damaged or cut "
                    "short; export it again.",
                    n,
                    what,
                    source.remaining()));
  }
  if (n > most) {
    source.fail_at_line(
        fmt::format("{} {} announced: at most {} are read. Export a coarser surface.", n, what, most));
  }
}

std::string_view needed_line(ByteSource& source, std::string_view what, std::uint64_t i, std::uint64_t n) {
  std::string_view line;
  if (!next_filled_line(source, '#', line)) {
    source.fail_at_line(
        fmt::format("the file ends before {} {} of {}. It was cut short; export it again.", what, i + 1, n));
  }
  return line.substr(0, line.find('#'));
}

/// The header's word, which names what stands on a point's line besides its coordinates.
void check_header(std::string_view word, Tokens& tokens, const ByteSource& source) {
  if (!word.ends_with("OFF"))
    source.fail_at_line(fmt::format("{}: must be OFF. Export the file as OFF.", in_quotes(word)));
  if (word.find_first_not_of("STCN") < word.size() - 3) {
    source.fail_at_line(
        fmt::format("{}: only three-dimensional OFF is read. Export it so.", in_quotes(word)));
  }
  if (is_word(tokens.rest().substr(0, 6), "binary")) {
    source.fail_at_line("binary OFF is not read. Export it as text, or as binary PLY or STL.");
  }
}

}  // namespace

SurfaceFile read_off(ByteSource& source, const Placement& placement, const ReadLimits& limits) {
  Tokens tokens(needed_line(source, "line", 0, 1));
  const std::string_view header = tokens.next();
  check_header(header, tokens, source);
  if (tokens.is_empty()) tokens = Tokens(needed_line(source, "line", 1, 2));
  const std::uint64_t n_points = count(tokens, source, "number of points");
  const std::uint64_t n_faces = count(tokens, source, "number of faces");
  check_count(source, n_points, "points", 6, limits.most_points);   // "0 0 0\n"
  check_count(source, n_faces, "faces", 8, limits.most_triangles);  // "3 0 1 2\n"

  Soup soup(placement, limits);
  soup.reserve(n_points, n_faces);
  std::vector<std::uint32_t> index(n_points);
  for (std::uint64_t i = 0; i < n_points; ++i) {
    tokens = Tokens(needed_line(source, "point", i, n_points));
    const std::string fault = soup.add_point(coordinates(tokens, source), index[i]);
    if (!fault.empty()) source.fail_at_line(fault);
  }
  std::vector<std::uint32_t> corners;
  for (std::uint64_t i = 0; i < n_faces; ++i) {
    tokens = Tokens(needed_line(source, "face", i, n_faces));
    const std::uint64_t n_corners = count(tokens, source, "number of corners");
    if (n_corners < 3 || n_corners > Soup::most_corners) {
      source.fail_at_line(fmt::format(
          "a face of {} corners: must have 3 to {}. Export triangles.", n_corners, Soup::most_corners));
    }
    corners.clear();
    for (std::uint64_t k = 0; k < n_corners; ++k) {
      const std::uint64_t corner = count(tokens, source, "corner");
      if (corner >= n_points) {
        source.fail_at_line(fmt::format("corner {}: must be 0 to {}. The file is damaged; export it again.",
                                        corner,
                                        static_cast<std::int64_t>(n_points) - 1));
      }
      corners.push_back(index[corner]);
    }
    if (const std::string fault = soup.add_polygon(corners); !fault.empty()) source.fail_at_line(fault);
  }
  std::string_view line;
  if (next_filled_line(source, '#', line)) {
    source.fail_at_line(
        fmt::format("{} stands behind the last of {} faces. The counts are wrong; export the file again.",
                    in_quotes(line),
                    n_faces));
  }
  return std::move(soup).finish(source, "OFF");
}

}  // namespace cowlwright::imported
