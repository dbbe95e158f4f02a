// SPDX-License-Identifier: GPL-3.0-or-later
//
// Time and memory that reading and judging a surface takes, against its size and format.
//   import_benchmark                 bodies of 10,000, 100,000 and 500,000 faces in each format
//   import_benchmark 10000000        bodies of that many faces
// Each file is read in a process of its own, so that its peak memory is its own. Aim: 500,000 faces in 5 s on
// 2 cores.
#include "cases/verbs/cost.h"
#include "geometry/imported/faults.h"
#include "geometry/imported/read_surface.h"
#include "tests/support/scratch_folder.h"

#include <fmt/format.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <numbers>
#include <string>

namespace {

namespace fs = std::filesystem;
using namespace cowlwright;

/// A torus with ripples, about a metre across, in mm: closed, curved everywhere, triangles of even size.
shape::Surface body(std::size_t n_faces) {
  const auto n_round = static_cast<std::uint32_t>(std::sqrt(static_cast<double>(n_faces)));
  const std::uint32_t n_along = n_round;
  const std::uint32_t n_across = static_cast<std::uint32_t>(n_faces / (2ULL * n_along));
  shape::Surface surface;
  for (std::uint32_t i = 0; i < n_along; ++i) {
    for (std::uint32_t j = 0; j < n_across; ++j) {
      const double u = 2 * std::numbers::pi * i / n_along;
      const double v = 2 * std::numbers::pi * j / n_across;
      const double r = 150 + 5 * std::sin(7 * u) * std::cos(5 * v);
      surface.points.push_back(
          {(350 + r * std::cos(v)) * std::cos(u), (350 + r * std::cos(v)) * std::sin(u), r * std::sin(v)});
    }
  }
  const auto at = [&](std::uint32_t i, std::uint32_t j) { return (i % n_along) * n_across + j % n_across; };
  for (std::uint32_t i = 0; i < n_along; ++i) {
    for (std::uint32_t j = 0; j < n_across; ++j) {
      surface.triangles.push_back({at(i, j), at(i + 1, j), at(i + 1, j + 1)});
      surface.triangles.push_back({at(i, j), at(i + 1, j + 1), at(i, j + 1)});
    }
  }
  return surface;
}

class File {
 public:
  explicit File(const fs::path& path) : file_(std::fopen(path.c_str(), "wb")) {}
  ~File() { std::fclose(file_); }
  File(const File&) = delete;
  File& operator=(const File&) = delete;
  template <typename... Args>
  void text(fmt::format_string<Args...> format, Args&&... args) {
    fmt::print(file_, format, std::forward<Args>(args)...);
  }
  template <typename T>
  void bytes(T value) {
    std::fwrite(&value, sizeof value, 1, file_);
  }
  void zeros(std::size_t n) {
    for (std::size_t i = 0; i < n; ++i) std::fputc(0, file_);
  }

 private:
  std::FILE* file_;
};

void write_stl(const shape::Surface& s, const fs::path& path, bool is_text) {
  File out(path);
  if (is_text) {
    out.text("solid body\n");
  } else {
    out.zeros(80);
    out.bytes(static_cast<std::uint32_t>(s.triangles.size()));
  }
  for (const auto& t : s.triangles) {
    if (is_text) {
      out.text("facet normal 0 0 0\nouter loop\n");
    } else {
      out.zeros(12);
    }
    for (const std::uint32_t k : t) {
      const base::Vec3& p = s.points[k];
      if (is_text) {
        out.text("vertex {:.9g} {:.9g} {:.9g}\n", p.x, p.y, p.z);
      } else {
        for (const double c : {p.x, p.y, p.z}) out.bytes(static_cast<float>(c));
      }
    }
    if (is_text) {
      out.text("endloop\nendfacet\n");
    } else {
      out.zeros(2);
    }
  }
  if (is_text) out.text("endsolid body\n");
}

void write_indexed(
    const shape::Surface& s, const fs::path& path, std::string_view head, std::string_view point, int base) {
  File out(path);
  out.text("{}", head);
  for (const base::Vec3& p : s.points) out.text("{}{:.9g} {:.9g} {:.9g}\n", point, p.x, p.y, p.z);
  const std::string_view face = base == 1 ? "f" : "3";
  const auto first = static_cast<std::uint32_t>(base);
  for (const auto& t : s.triangles) out.text("{} {} {} {}\n", face, t[0] + first, t[1] + first, t[2] + first);
}

std::string ply_head(const shape::Surface& s, std::string_view form) {
  return fmt::format(
      "ply\nformat {} 1.0\nelement vertex {}\nproperty float x\nproperty float y\nproperty float z\n"
      "element face {}\nproperty list uchar int vertex_indices\nend_header\n",
      form,
      s.points.size(),
      s.triangles.size());
}

void write_binary_ply(const shape::Surface& s, const fs::path& path) {
  File out(path);
  out.text("{}", ply_head(s, "binary_little_endian"));
  for (const base::Vec3& p : s.points) {
    for (const double c : {p.x, p.y, p.z}) out.bytes(static_cast<float>(c));
  }
  for (const auto& t : s.triangles) {
    out.bytes(static_cast<unsigned char>(3));
    for (const std::uint32_t k : t) out.bytes(k);
  }
}

void measure(const fs::path& path) {
  auto start = std::chrono::steady_clock::now();
  const imported::SurfaceFile file =
      imported::read_surface_file(path, imported::read_placement("mm", "x y z", "0 0 0"));
  const double reading = verbs::seconds_since(start);
  const double read_peak = verbs::peak_megabytes();
  start = std::chrono::steady_clock::now();
  const imported::Faults faults = imported::diagnose(file.surface);
  const double judging = verbs::seconds_since(start);
  fmt::print("{:>10} {:<26} {:>8.1f} {:>9.2f} {:>10.2f} {:>9.2f} {:>10.0f} {:>10.0f}   {}\n",
             file.surface.triangles.size(),
             file.format,
             static_cast<double>(fs::file_size(path)) / 1e6,
             reading,
             judging,
             reading + judging,
             read_peak,
             verbs::peak_megabytes(),
             faults.is_closed() && faults.intersections.empty() ? "sound" : "faulty");
  std::fflush(stdout);
}

/// Runs in a child process, so that memory is its own.
void in_child(const std::function<void()>& act) {
  std::fflush(stdout);
  const pid_t child = fork();
  if (child == 0) {
    try {
      act();
    } catch (const std::exception& error) {
      fmt::print("{}\n", error.what());
      std::fflush(stdout);
    }
    _exit(0);
  }
  waitpid(child, nullptr, 0);
}

void measure_size(std::size_t n_faces) {
  const testing_support::ScratchFolder folder;
  const auto at = [&](const char* name) { return folder.path() / name; };
  const std::vector<std::pair<const char*, std::function<void(const shape::Surface&, const fs::path&)>>>
      formats{
          {"a.stl", [](const auto& s, const auto& p) { write_stl(s, p, true); }},
          {"b.stl", [](const auto& s, const auto& p) { write_stl(s, p, false); }},
          {"c.obj", [](const auto& s, const auto& p) { write_indexed(s, p, "# body\n", "v ", 1); }},
          {"d.off",
           [](const auto& s, const auto& p) {
             write_indexed(s, p, fmt::format("OFF\n{} {} 0\n", s.points.size(), s.triangles.size()), "", 0);
           }},
          {"e.ply", [](const auto& s, const auto& p) { write_indexed(s, p, ply_head(s, "ascii"), "", 0); }},
          {"f.ply", [](const auto& s, const auto& p) { write_binary_ply(s, p); }}};
  for (const auto& [name, write] : formats) {
    in_child([&, &write_file = write, file = at(name)] { write_file(body(n_faces), file); });
    in_child([&, file = at(name)] { measure(file); });
    fs::remove(at(name));
  }
}

}  // namespace

int main(int argc, char** argv) {
  fmt::print("{:>10} {:<26} {:>8} {:>9} {:>10} {:>9} {:>10} {:>10}\n",
             "faces",
             "format",
             "MB file",
             "read [s]",
             "judge [s]",
             "both [s]",
             "read [MB]",
             "peak [MB]");
  if (argc > 1) {
    for (int i = 1; i < argc; ++i) measure_size(std::strtoull(argv[i], nullptr, 10));
    return 0;
  }
  for (const std::size_t n_faces : {10'000U, 100'000U, 500'000U}) measure_size(n_faces);
  return 0;
}
