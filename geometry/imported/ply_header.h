// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a PLY file says about itself before its data. Internal to this folder.
#pragma once

#include "geometry/imported/byte_source.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::imported {

enum class PlyType { Int8, UInt8, Int16, UInt16, Int32, UInt32, Float32, Float64 };
enum class PlyForm { Ascii, LittleEndian, BigEndian };

std::size_t size_of(PlyType type);  ///< [byte]

struct PlyProperty {
  std::string name;
  PlyType type = PlyType::Float32;
  std::optional<PlyType> count_type{};  ///< of a list
};

struct PlyElement {
  std::string name;
  std::uint64_t count = 0;
  std::vector<PlyProperty> properties{};
};

struct PlyHeader {
  PlyForm form = PlyForm::Ascii;
  std::vector<PlyElement> elements{};
};

/// Reads to the end of the line "end_header".
/// @throws InputError  naming line and rule; also for a count that the rest of the file cannot hold.
PlyHeader read_ply_header(ByteSource& source);

}  // namespace cowlwright::imported
