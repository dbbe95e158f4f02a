// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reader of ASCII STL with named solids. The file's facet normals are checked to be numbers and then dropped:
// the order of the corners decides. Corners with equal coordinates become one point.
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"
#include "geometry/shape/surface.h"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <cmath>
#include <map>
#include <optional>
#include <string_view>
#include <tuple>

namespace cowlwright::shape {

namespace {

std::string_view trimmed(std::string_view text) {
  constexpr std::string_view blank = " \t\r";
  const std::size_t first = text.find_first_not_of(blank);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(blank) - first + 1);
}

/// Walks through the file line by line and knows where it is.
class StlText {
 public:
  StlText(std::string name, std::string_view text) : name_(std::move(name)), rest_(text) {}

  /// Next line that is not blank; empty at the end of the file.
  std::string_view next_line() {
    while (!rest_.empty()) {
      ++line_;
      const std::size_t end = rest_.find('\n');
      const std::string_view line = trimmed(rest_.substr(0, end));
      rest_ = end == std::string_view::npos ? std::string_view{} : rest_.substr(end + 1);
      if (!line.empty()) return line;
    }
    return {};
  }

  [[noreturn]] void fail(std::string_view found, std::string_view expected) const {
    throw base::InputError(
        fmt::format("{}:{}: \"{}\": expected {}. Write ASCII STL with one named solid per patch.",
                    name_,
                    line_,
                    found.empty() ? "end of file" : found,
                    expected));
  }

  void expect(std::string_view wanted) {
    const std::string_view line = next_line();
    if (line != wanted) fail(line, fmt::format("\"{}\"", wanted));
  }

  /// Three finite numbers after a keyword.
  base::Vec3 numbers_after(std::string_view keyword, std::string_view line) const {
    if (!line.starts_with(keyword)) fail(line, fmt::format("\"{}\" and three numbers", keyword));
    std::string_view text = line.substr(keyword.size());
    std::array<double, 3> value{};
    for (double& v : value) {
      text = trimmed(text);
      const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), v);
      if (error != std::errc() || !std::isfinite(v)) {
        fail(line, fmt::format("\"{}\" and three finite numbers", keyword));
      }
      text.remove_prefix(static_cast<std::size_t>(end - text.data()));
      if (!text.empty() && text.front() != ' ' && text.front() != '\t') {
        fail(line, fmt::format("\"{}\" and three finite numbers", keyword));
      }
    }
    if (!trimmed(text).empty()) fail(line, fmt::format("\"{}\" and three numbers only", keyword));
    return {value[0], value[1], value[2]};
  }

 private:
  std::string name_;
  std::string_view rest_;
  int line_ = 0;
};

/// Gives equal corners equal numbers.
class PointTable {
 public:
  explicit PointTable(Surface& surface) : surface_(&surface) {}
  std::uint32_t index(const base::Vec3& p) {
    const auto [entry, is_new] =
        known_.try_emplace({p.x, p.y, p.z}, static_cast<std::uint32_t>(surface_->points.size()));
    if (is_new) surface_->points.push_back(p);
    return entry->second;
  }

 private:
  Surface* surface_;
  std::map<std::tuple<double, double, double>, std::uint32_t> known_;
};

/// Reads facets up to the solid's end.
void read_solid(StlText& text, std::string_view name, Surface& surface, PointTable& points) {
  const auto patch = static_cast<std::uint16_t>(surface.patch_names.size());
  surface.patch_names.emplace_back(name);
  const std::string end = fmt::format("endsolid {}", name);
  for (std::string_view line = text.next_line(); line != end; line = text.next_line()) {
    if (!line.starts_with("facet")) text.fail(line, fmt::format("\"facet normal\" or \"{}\"", end));
    text.numbers_after("facet normal", line);
    text.expect("outer loop");
    std::array<std::uint32_t, 3> corners{};
    for (std::uint32_t& corner : corners)
      corner = points.index(text.numbers_after("vertex", text.next_line()));
    text.expect("endloop");
    text.expect("endfacet");
    surface.triangles.push_back(corners);
    surface.patch.push_back(patch);
  }
}

}  // namespace

Surface read_stl(const std::filesystem::path& path) {
  const std::string content = base::read_text(path);
  StlText text(path.string(), content);
  Surface surface;
  PointTable points(surface);
  for (std::string_view line = text.next_line(); !line.empty(); line = text.next_line()) {
    constexpr std::string_view keyword = "solid ";
    if (!line.starts_with(keyword)) text.fail(line, "\"solid\" and a name");
    const std::string_view name = trimmed(line.substr(keyword.size()));
    for (const std::string& known : surface.patch_names) {
      if (known == name) text.fail(line, "a name not used before in the file");
    }
    read_solid(text, name, surface, points);
  }
  if (surface.triangles.empty()) text.fail({}, "at least one facet");
  return surface;
}

}  // namespace cowlwright::shape
