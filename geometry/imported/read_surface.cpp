// SPDX-License-Identifier: GPL-3.0-or-later
//
// Tells the format and hands over to its reader.
#include "geometry/imported/read_surface.h"

#include "geometry/base/error.h"
#include "geometry/imported/readers.h"
#include "geometry/imported/tokens.h"

#include <fmt/format.h>

#include <algorithm>

namespace cowlwright::imported {

namespace {

bool is_whole_binary_stl(ByteSource& source) {
  const std::string_view head = source.peek(84);
  if (head.size() < 84) return false;
  std::uint64_t n = 0;
  for (std::size_t i = 0; i < 4; ++i)
    n |= std::uint64_t{static_cast<unsigned char>(head[80 + i])} << (8U * i);
  return source.size() == 84 + 50 * n;
}

/// "solid" as the first word and no zero byte near the start, which no text has.
bool looks_like_ascii_stl(ByteSource& source) {
  const std::string_view head = source.peek(512);
  const std::size_t start = head.find_first_not_of(" \t\r\n");
  if (start == std::string_view::npos || !is_word(head.substr(start, 5), "solid")) return false;
  return head.find('\0') == std::string_view::npos;
}

bool has_off_header(ByteSource& source) {
  const std::string_view head = source.peek(64);
  const std::string_view word = Tokens(head.substr(0, head.find('\n'))).next();
  return word.size() >= 3 && word.size() <= 7 && word.ends_with("OFF");
}

}  // namespace

SurfaceFile read_any(ByteSource& source,
                     const std::string& extension,
                     const Placement& placement,
                     const ReadLimits& limits) {
  if (source.size() == 0) source.fail("is empty. Export the surface again.");
  const std::string_view head = source.peek(4);
  if (is_whole_binary_stl(source)) return read_binary_stl(source, placement, limits);
  if (head == "ply\n" || head == "ply\r") return read_ply(source, placement, limits);
  if (has_off_header(source)) return read_off(source, placement, limits);
  if (extension == ".obj") return read_obj(source, placement, limits);
  if (looks_like_ascii_stl(source)) return read_ascii_stl(source, placement, limits);
  if (extension == ".stl") return read_binary_stl(source, placement, limits);
  if (extension == ".off") return read_off(source, placement, limits);
  if (extension == ".ply")
    source.fail("must begin with a line \"ply\". This is no PLY file, or a damaged one; export it again.");
  source.fail(fmt::format(
      "the content is of no known format, nor is the extension {}: must be .stl, .obj, .ply, .off, .step or "
      ".stp. Export the surface as one of these.",
      in_quotes(extension)));
}

SurfaceFile read_surface_file(const std::filesystem::path& path,
                              const Placement& placement,
                              const ReadOptions& options) {
  ByteSource source(path);
  std::string extension = path.extension().string();
  std::transform(extension.begin(), extension.end(), extension.begin(), [](unsigned char c) {
    return static_cast<char>(std::tolower(c));
  });
  if (source.peek(12) == "ISO-10303-21") return read_step(path, placement, options);
  return read_any(source, extension, placement, options.limits);
}

shape::Surface read_surface(const std::filesystem::path& path, const Placement& placement) {
  return read_surface_file(path, placement).surface;
}

}  // namespace cowlwright::imported
