// SPDX-License-Identifier: GPL-3.0-or-later
//
// OBJ: points, faces, objects and groups. Curved (free-form) elements are refused, what has no shape is
// passed over.
#include "geometry/imported/readers.h"
#include "geometry/imported/soup.h"
#include "geometry/imported/tokens.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace cowlwright::imported {

namespace {

constexpr std::array<std::string_view, 17> without_shape{"vt",
                                                         "vn",
                                                         "vp",
                                                         "l",
                                                         "p",
                                                         "s",
                                                         "mtllib",
                                                         "usemtl",
                                                         "mg",
                                                         "bevel",
                                                         "lod",
                                                         "shadow_obj",
                                                         "call",
                                                         "csh",
                                                         "c_interp",
                                                         "d_interp",
                                                         "maplib"};
constexpr std::array<std::string_view, 9> free_form{
    "cstype", "deg", "curv", "curv2", "surf", "bmat", "step", "parm", "trace_obj"};

template <std::size_t N>
bool holds(const std::array<std::string_view, N>& words, std::string_view word) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

class ObjReader {
 public:
  ObjReader(ByteSource& source, const Placement& placement, const ReadLimits& limits)
      : source_(&source), soup_(placement, limits) {}

  SurfaceFile read() && {
    std::string_view line;
    while (next_filled_line(*source_, '#', line)) {
      // A backslash at the end carries a statement on to the next line.
      if (is_carried_on(line)) {
        read_statement(joined(line));
      } else {
        read_statement(line);
      }
    }
    return std::move(soup_).finish(*source_, "OBJ");
  }

 private:
  static std::size_t length(std::string_view line) { return line.find_last_not_of(" \t\r") + 1; }
  static bool is_carried_on(std::string_view line) {
    const std::size_t n = length(line);
    return n > 0 && line[n - 1] == '\\';
  }

  std::string joined(std::string_view line) {
    std::string text;
    while (is_carried_on(line) && !source_->is_at_end()) {
      text += line.substr(0, length(line) - 1);
      text += ' ';
      if (text.size() > ByteSource::longest_line) {
        source_->fail_at_line(fmt::format("the statement is longer than {} bytes. Export triangles.",
                                          ByteSource::longest_line));
      }
      line = source_->line();
    }
    return text.append(line.substr(0, is_carried_on(line) ? length(line) - 1 : line.size()));
  }

  void read_statement(std::string_view line) {
    Tokens tokens(line);
    const std::string_view keyword = tokens.next();
    if (keyword == "v") {
      index_.emplace_back();
      check(soup_.add_point(coordinates(tokens, *source_), index_.back()));
    } else if (keyword == "f" || keyword == "fo") {
      read_face(tokens);
    } else if (keyword == "g" || keyword == "o") {
      const std::string_view name = tokens.rest().substr(0, length(tokens.rest()));
      check(soup_.use_patch(name.empty() ? "surface" : name));
    } else if (holds(free_form, keyword)) {
      source_->fail_at_line(fmt::format(
          "{}: free-form curves and surfaces are not read. Export polygons, or STEP.", in_quotes(keyword)));
    } else if (!keyword.empty() && !holds(without_shape, keyword)) {
      source_->fail_at_line(
          fmt::format("{} begins no OBJ statement. This is no OBJ file, or a damaged one; export it again.",
                      in_quotes(keyword)));
    }
  }

  void read_face(Tokens& tokens) {
    corners_.clear();
    while (!tokens.is_empty()) {
      const std::string_view word = tokens.next();
      std::int64_t number = 0;
      if (!parse_integer(word.substr(0, word.find('/')), number)) {
        source_->fail_at_line(
            fmt::format("corner {}: must be a point's number. Export the file again.", in_quotes(word)));
      }
      const auto n_points = static_cast<std::int64_t>(index_.size());
      const std::int64_t position = number < 0 ? n_points + number : number - 1;
      if (number == 0 || position < 0 || position >= n_points) {
        source_->fail_at_line(
            fmt::format("corner {}: must be 1 to {}, the points so far, or -1 to -{} counted back. The "
                        "file is damaged; export it again.",
                        number,
                        n_points,
                        n_points));
      }
      corners_.push_back(index_[static_cast<std::size_t>(position)]);
    }
    check(soup_.add_polygon(corners_));
  }

  void check(const std::string& fault) const {
    if (!fault.empty()) source_->fail_at_line(fault);
  }

  ByteSource* source_;
  Soup soup_;
  std::vector<std::uint32_t> index_{};  ///< of each `v` of the file
  std::vector<std::uint32_t> corners_{};
};

}  // namespace

SurfaceFile read_obj(ByteSource& source, const Placement& placement, const ReadLimits& limits) {
  return ObjReader(source, placement, limits).read();
}

}  // namespace cowlwright::imported
