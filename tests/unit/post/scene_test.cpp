// SPDX-License-Identifier: GPL-3.0-or-later
//
// The packed scene: what comes out of the file is what went in, within the stated error.
#include "post/pictures/scene.h"

#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>
#include <zlib.h>

#include <cmath>
#include <limits>

namespace cowlwright::post {
namespace {

using nlohmann::json;
using testing_support::ScratchFolder;
using testing_support::text_of;

std::vector<float> wave(int n) {
  std::vector<float> values;
  for (int i = 0; i < n; ++i) {
    values.push_back(static_cast<float>(3.0 * std::sin(0.37 * i) - 1.0));
  }
  return values;
}

TEST(Quantise, NoValueIsOffByMoreThanTheStatedError) {
  const std::vector<float> values = wave(500);
  for (const int n_levels : {2, 256, 4096, 65536}) {
    const Quantised quantised = quantise(values, n_levels);
    const double bound = quantisation_error(quantised, n_levels);
    for (std::size_t i = 0; i < values.size(); ++i) {
      EXPECT_LE(std::abs(value_of(quantised, i) - values[i]), bound * (1.0 + 1e-9)) << n_levels;
    }
  }
}

// 6 wide: half of 6/65535.
TEST(Quantise, TheErrorOfAllLevelsIsOneCodesWidth) {
  const Quantised quantised = quantise(std::vector<float>{-4.0F, 2.0F});
  EXPECT_NEAR(quantisation_error(quantised), 6.0 / 65535.0, 1e-12);
  EXPECT_EQ(quantised.codes, (std::vector<std::uint16_t>{0, 65535}));
}

TEST(Quantise, AConstantIsKeptExactly) {
  const Quantised quantised = quantise(std::vector<float>{0.7F, 0.7F});
  EXPECT_DOUBLE_EQ(value_of(quantised, 1), 0.7F);
}

TEST(Quantise, WhatIsNoNumberDoesNotSpoilTheBounds) {
  const Quantised quantised =
      quantise(std::vector<float>{std::numeric_limits<float>::quiet_NaN(), 1.0F, 2.0F});
  EXPECT_DOUBLE_EQ(quantised.low, 1.0);
  EXPECT_DOUBLE_EQ(value_of(quantised, 0), 1.0);
  EXPECT_DOUBLE_EQ(value_of(quantised, 2), 2.0);
}

std::string inflated(const std::string& packed, std::size_t size) {
  std::string raw(size, '\0');
  uLongf length = size;
  EXPECT_EQ(uncompress(reinterpret_cast<Bytef*>(raw.data()),
                       &length,
                       reinterpret_cast<const Bytef*>(packed.data()),
                       packed.size()),
            Z_OK);
  EXPECT_EQ(length, size);
  return raw;
}

std::uint32_t number_at(const std::string& raw, std::size_t offset, std::size_t n_bytes) {
  std::uint32_t number = 0;
  for (std::size_t byte = 0; byte < n_bytes; ++byte) {
    number |= static_cast<std::uint32_t>(static_cast<unsigned char>(raw.at(offset + byte))) << (8 * byte);
  }
  return number;
}

/// Two triangles with a field under two names, and two lines.
Scene sample_scene() {
  Scene scene;
  scene.tolerance = 0.002;
  ScenePiece surface{.id = "cowl", .title = "Cowl", .kind = "surface", .shows = "cp"};
  surface.points = {{0.0F, 0.0F, 0.0F}, {2.0F, 0.0F, 0.5F}, {2.0F, 1.0F, 0.0F}, {0.0F, 1.0F, -0.5F}};
  surface.triangles = {{0, 1, 2}, {0, 2, 3}};
  surface.values = {{{-1.0F, 0.0F, 0.5F, 1.0F},
                     {{"cp", "pressure coefficient", "-"}, {"p", "gauge pressure", "Pa", 1500.0, 10.0}}}};
  ScenePiece lines{.id = "streamlines", .title = "Paths", .kind = "streamlines", .shows = "cp"};
  lines.points = {
      {0.0F, 0.0F, 0.0F}, {1.0F, 0.0F, 0.0F}, {2.0F, 0.0F, 0.0F}, {3.0F, 1.0F, 1.0F}, {4.0F, 1.0F, 1.0F}};
  lines.lines = {{0, 1, 2}, {3, 4}};
  scene.pieces = {surface, lines};
  return scene;
}

double point_at(const json& piece, const std::string& raw, std::size_t point, std::size_t axis) {
  const json& points = piece["points"];
  const std::uint32_t code = number_at(raw, points["offset"].get<std::size_t>() + 2 * (3 * point + axis), 2);
  const double low = points["min"][axis].get<double>();
  return low + code / 65535.0 * (points["max"][axis].get<double>() - low);
}

TEST(Scene, PointsComeBackFromTheOffsetsOfTheHeader) {
  const Scene scene = sample_scene();
  const PackedScene packed = pack(scene);
  const json header = json::parse(packed.header);
  const std::string raw = inflated(packed.bytes, header["bytes"]);
  for (std::size_t i = 0; i < scene.pieces.size(); ++i) {
    const json& piece = header["pieces"][i];
    ASSERT_EQ(piece["n_points"], scene.pieces[i].points.size());
    for (std::size_t point = 0; point < scene.pieces[i].points.size(); ++point) {
      for (std::size_t axis = 0; axis < 3; ++axis) {
        EXPECT_NEAR(point_at(piece, raw, point, axis),
                    scene.pieces[i].points[point][axis],
                    header["quantisation"]["position"].get<double>());
      }
    }
  }
}

TEST(Scene, TrianglesAndLinesComeBackInTheStatedLayout) {
  const PackedScene packed = pack(sample_scene());
  const json header = json::parse(packed.header);
  const std::string raw = inflated(packed.bytes, header["bytes"]);
  const std::vector<std::vector<std::uint32_t>> expected{{0, 1, 2, 0, 2, 3}, {3, 0, 1, 2, 2, 3, 4}};
  for (std::size_t i = 0; i < 2; ++i) {
    const json& cells = header["pieces"][i]["cells"];
    ASSERT_EQ(cells["type"], "uint16");
    ASSERT_EQ(cells["count"], expected[i].size());
    for (std::size_t at = 0; at < expected[i].size(); ++at) {
      EXPECT_EQ(number_at(raw, cells["offset"].get<std::size_t>() + 2 * at, 2), expected[i][at]);
    }
    EXPECT_EQ(header["pieces"][i]["n_cells"], 2);
  }
  EXPECT_EQ(header["pieces"][0]["cell_kind"], "triangles");
  EXPECT_EQ(header["pieces"][0]["shows"], "cp");
  EXPECT_EQ(header["pieces"][1]["cell_kind"], "lines");
}

// p = 10 + 1500 cp.
TEST(Scene, AFieldInAnotherUnitSharesTheNumbersAndHasItsOwnBounds) {
  const json header = json::parse(pack(sample_scene()).header);
  const json& fields = header["pieces"][0]["fields"];
  ASSERT_EQ(fields.size(), 2);
  EXPECT_EQ(fields[0]["offset"], fields[1]["offset"]);
  EXPECT_EQ(fields[0]["min"], -1.0);
  EXPECT_EQ(fields[1]["min"], -1490.0);
  EXPECT_EQ(fields[1]["max"], 1510.0);
  EXPECT_EQ(fields[1]["unit"], "Pa");
}

// 65,536 points: the last one's number still fits 16 bits, but a line's length may not.
TEST(Scene, ManyPointsTakeWideNumbers) {
  Scene scene = sample_scene();
  scene.pieces[0].points.resize(70000);
  scene.pieces[0].triangles = {{0, 1, 69999}};
  scene.pieces[0].values.clear();
  const PackedScene packed = pack(scene);
  const json header = json::parse(packed.header);
  const json& cells = header["pieces"][0]["cells"];
  EXPECT_EQ(cells["type"], "uint32");
  const std::string raw = inflated(packed.bytes, header["bytes"]);
  EXPECT_EQ(cells["offset"].get<std::size_t>() % 4, 0U);
  EXPECT_EQ(number_at(raw, cells["offset"].get<std::size_t>() + 8, 4), 69999U);
}

TEST(Scene, IsWrittenAsHeaderAndBytes) {
  const ScratchFolder folder;
  const PackedScene packed = pack(sample_scene());
  write_scene(packed, folder.path());
  EXPECT_EQ(text_of(folder.path() / "scene.json"), packed.header);
  EXPECT_EQ(text_of(folder.path() / "scene.bin"), packed.bytes);
  const json header = json::parse(packed.header);
  EXPECT_EQ(header["format"], "cowlwright scene");
  EXPECT_EQ(header["version"], 1);
  EXPECT_EQ(header["tolerance"], 0.002);
}

}  // namespace
}  // namespace cowlwright::post
