// SPDX-License-Identifier: GPL-3.0-or-later
//
// Replays what fuzzing kept, and every fixture, cut short at each length and with each byte damaged: a
// surface or an InputError, nothing else.
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"
#include "geometry/imported/faults.h"
#include "geometry/imported/readers.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <random>

namespace cowlwright::imported {
namespace {

namespace fs = std::filesystem;

/// @return whether it was read; then it was judged, too.
bool is_read(const std::string& bytes, const std::string& extension) {
  ByteSource source("bytes", bytes);
  try {
    const SurfaceFile file = read_any(source, extension, read_placement("mm", "x y z", "0 0 0"), {});
    const Faults faults = diagnose(file.surface);
    EXPECT_EQ(faults.shell_of.size(), file.surface.triangles.size());
    return true;
  } catch (const base::InputError&) {
    return false;
  }
}

std::vector<fs::path> fixtures() {
  std::vector<fs::path> files;
  for (const char* folder : {"/surfaces", "/fuzzed"}) {
    for (const auto& entry : fs::directory_iterator(std::string(COWLWRIGHT_TEST_DATA) + folder)) {
      if (entry.path().extension() != ".step" && fs::file_size(entry) < 5000) files.push_back(entry.path());
    }
  }
  std::sort(files.begin(), files.end());
  return files;
}

TEST(AnyBytes, OfAllFixturesAsEachFormatAreReadOrRefused) {
  int n_read = 0;
  for (const fs::path& file : fixtures()) {
    const std::string bytes = base::read_text(file);
    for (const char* extension : {".stl", ".obj", ".ply", ".off"})
      n_read += is_read(bytes, extension) ? 1 : 0;
  }
  EXPECT_GT(n_read, 20);
}

TEST(AnyBytes, CutShortAnywhereAreReadOrRefused) {
  for (const char* name : {"box_ascii.stl",
                           "box_binary.stl",
                           "box.obj",
                           "box.off",
                           "box_ascii.ply",
                           "box_binary_big_endian.ply"}) {
    const fs::path file = fs::path(COWLWRIGHT_TEST_DATA) / "surfaces" / name;
    const std::string bytes = base::read_text(file);
    ASSERT_TRUE(is_read(bytes, file.extension()));
    std::size_t n_refused = 0;
    for (std::size_t n = 0; n < bytes.size(); n += 3)
      n_refused += is_read(bytes.substr(0, n), file.extension()) ? 0 : 1;
    EXPECT_GT(n_refused, 0U) << name;
  }
}

TEST(AnyBytes, DamagedAnywhereAreReadOrRefused) {
  std::mt19937 random(3);
  for (const char* name : {"box_ascii.stl",
                           "box_binary.stl",
                           "box.obj",
                           "box.off",
                           "box_ascii.ply",
                           "box_binary_little_endian.ply"}) {
    const fs::path file = fs::path(COWLWRIGHT_TEST_DATA) / "surfaces" / name;
    const std::string sound = base::read_text(file);
    int n_refused = 0;
    for (int i = 0; i < 300; ++i) {
      std::string bytes = sound;
      for (int k = 0; k < 3; ++k) bytes[random() % bytes.size()] = static_cast<char>(random() % 256);
      n_refused += is_read(bytes, file.extension()) ? 0 : 1;
    }
    // Binary STL has hardly a byte that could be refused; all others are refused often.
    EXPECT_GT(n_refused, file.filename() == "box_binary.stl" ? 0 : 30) << name;
  }
}

}  // namespace
}  // namespace cowlwright::imported
