// SPDX-License-Identifier: GPL-3.0-or-later
#include "geometry/imported/ply_header.h"

#include "geometry/imported/tokens.h"

#include <fmt/format.h>

#include <array>
#include <utility>

namespace cowlwright::imported {

namespace {

constexpr std::array<std::pair<std::string_view, PlyType>, 16> type_names{{{"char", PlyType::Int8},
                                                                           {"int8", PlyType::Int8},
                                                                           {"uchar", PlyType::UInt8},
                                                                           {"uint8", PlyType::UInt8},
                                                                           {"short", PlyType::Int16},
                                                                           {"int16", PlyType::Int16},
                                                                           {"ushort", PlyType::UInt16},
                                                                           {"uint16", PlyType::UInt16},
                                                                           {"int", PlyType::Int32},
                                                                           {"int32", PlyType::Int32},
                                                                           {"uint", PlyType::UInt32},
                                                                           {"uint32", PlyType::UInt32},
                                                                           {"float", PlyType::Float32},
                                                                           {"float32", PlyType::Float32},
                                                                           {"double", PlyType::Float64},
                                                                           {"float64", PlyType::Float64}}};

PlyType type_of(std::string_view word, const ByteSource& source) {
  for (const auto& [name, type] : type_names) {
    if (name == word) return type;
  }
  source.fail_at_line(fmt::format("{} is no number type of PLY. Export the file again.", in_quotes(word)));
}

PlyForm form_of(std::string_view word, const ByteSource& source) {
  if (word == "ascii") return PlyForm::Ascii;
  if (word == "binary_little_endian") return PlyForm::LittleEndian;
  if (word == "binary_big_endian") return PlyForm::BigEndian;
  source.fail_at_line(
      fmt::format("format {}: must be ascii, binary_little_endian or binary_big_endian. Export the file "
                  "again.",
                  in_quotes(word)));
}

PlyProperty property_of(Tokens& tokens, const ByteSource& source) {
  PlyProperty property;
  std::string_view word = tokens.next();
  if (word == "list") {
    property.count_type = type_of(tokens.next(), source);
    if (*property.count_type == PlyType::Float32 || *property.count_type == PlyType::Float64) {
      source.fail_at_line("a list's count must be of a whole-number type. Export the file again.");
    }
    word = tokens.next();
  }
  property.type = type_of(word, source);
  property.name = tokens.next();
  return property;
}

/// Bytes that one element takes at least.
std::uint64_t least_size(const PlyElement& element, PlyForm form) {
  std::uint64_t bytes = 0;
  for (const PlyProperty& property : element.properties) {
    bytes += form == PlyForm::Ascii ? 2 : size_of(property.count_type.value_or(property.type));
  }
  return bytes;
}

void check_counts(const PlyHeader& header, const ByteSource& source) {
  for (const PlyElement& element : header.elements) {
    if (element.count == 0) continue;
    const std::uint64_t bytes = least_size(element, header.form);
    if (bytes == 0) {
      source.fail_at_line(
          fmt::format("element {} has no property. Export the file again.", in_quotes(element.name)));
    }
    if (element.count > source.remaining() / bytes + 1) {
      source.fail_at_line(
          fmt::format("{} elements {} announced: the {} bytes that follow cannot hold them. The file is "
                      "damaged or cut short; export it again.",
                      element.count,
                      in_quotes(element.name),
                      source.remaining()));
    }
  }
}

/// One statement behind the format line. @return false at the header's end.
bool read_statement(std::string_view line, PlyHeader& header, const ByteSource& source) {
  constexpr std::size_t most_properties = 256;
  constexpr std::size_t most_elements = 64;
  Tokens tokens(line);
  const std::string_view keyword = tokens.next();
  if (keyword == "end_header") return false;
  if (keyword == "element") {
    if (header.elements.size() >= most_elements) {
      source.fail_at_line(fmt::format("more than {} elements. Export the file again.", most_elements));
    }
    PlyElement& element = header.elements.emplace_back();
    element.name = tokens.next();
    element.count = count(tokens, source, "number of elements");
  } else if (keyword == "property") {
    if (header.elements.empty() || header.elements.back().properties.size() >= most_properties) {
      source.fail_at_line(
          fmt::format("a property must belong to an element, at most {} to one. Export the file again.",
                      most_properties));
    }
    header.elements.back().properties.push_back(property_of(tokens, source));
  } else if (!keyword.empty() && keyword != "comment" && keyword != "obj_info") {
    source.fail_at_line(
        fmt::format("{} begins no statement of a PLY header. Export the file again.", in_quotes(keyword)));
  }
  return true;
}

}  // namespace

std::size_t size_of(PlyType type) {
  switch (type) {
    case PlyType::Int8:
    case PlyType::UInt8:
      return 1;
    case PlyType::Int16:
    case PlyType::UInt16:
      return 2;
    case PlyType::Int32:
    case PlyType::UInt32:
    case PlyType::Float32:
      return 4;
    case PlyType::Float64:
      return 8;
  }
  return 8;
}

PlyHeader read_ply_header(ByteSource& source) {
  PlyHeader header;
  (void)source.line();  // "ply"
  Tokens format(source.line());
  if (format.next() != "format")
    source.fail_at_line("\"format\" must stand on the second line. Export the file again.");
  header.form = form_of(format.next(), source);
  if (const std::string_view version = format.next(); version != "1.0") {
    source.fail_at_line(fmt::format("version {}: must be 1.0. Export the file again.", in_quotes(version)));
  }
  do {
    if (source.is_at_end()) {
      source.fail_at_line(
          "the file ends where \"end_header\" must stand. It was cut short; export it again.");
    }
  } while (read_statement(source.line(), header, source));
  check_counts(header, source);
  return header;
}

}  // namespace cowlwright::imported
