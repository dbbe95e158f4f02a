// SPDX-License-Identifier: GPL-3.0-or-later
//
// Time and memory of a mold check against the number of faces.
//   mold_benchmark                   spheres with a torus beside them, 10,000 to 1,000,000 faces
// Each size in a process of its own, so that its peak memory is its own. Aim: 20 s at 500,000 faces on two
// cores.
#include "geometry/mold/report.h"
#include "geometry/mold/view.h"
#include "tests/support/mold_bodies.h"
#include "tests/support/scratch_folder.h"

#include <fmt/format.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cmath>
#include <cstdio>
#include <exception>

namespace {

using namespace cowlwright;

/// A torus round a sphere: convex, hollow, and partly hidden.
shape::Surface body(int n_faces) {
  shape::Surface all =
      testing_support::sphere(0.25, static_cast<int>(std::lround(std::sqrt(n_faces / 40.0))));
  const int n = static_cast<int>(std::lround(std::sqrt(n_faces / 8.0)));
  const shape::Surface ring = testing_support::torus(0.4, 0.1, 2 * n, n);
  const auto shift = static_cast<std::uint32_t>(all.points.size());
  all.points.insert(all.points.end(), ring.points.begin(), ring.points.end());
  for (auto t : ring.triangles) {
    for (auto& k : t) k += shift;
    all.triangles.push_back(t);
    all.patch.push_back(0);
  }
  return all;
}

/// Of all threads, with making the body: what the wall times come to on idle cores.
double cpu_seconds(const rusage& usage) {
  const auto seconds = [](const timeval& t) {
    return static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_usec);
  };
  return seconds(usage.ru_utime) + seconds(usage.ru_stime);
}

void measure(int n_faces) {
  const shape::Surface surface = body(n_faces);
  const testing_support::ScratchFolder folder;
  mold::Options options;
  options.pulls = {{0, 1, 0}, {0, -1, 0}};
  const auto now = [] { return std::chrono::steady_clock::now(); };
  const auto start = now();
  const mold::Sheet sheet = mold::make_sheet(surface, options.side);
  const mold::MoldReport report = mold::check_mold(sheet, options, {});
  const auto checked = now();
  mold::write_check_vtp(sheet, report, folder.path() / "check.vtp");
  mold::write_views(sheet, report, options, "benchmark", folder.path());
  const auto written = now();
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  fmt::print("{:>10} {:>10.2f} {:>10.2f} {:>10.2f} {:>10.0f}\n",
             sheet.n_faces(),
             std::chrono::duration<double>(checked - start).count(),
             std::chrono::duration<double>(written - checked).count(),
             cpu_seconds(usage),
             static_cast<double>(usage.ru_maxrss) / 1024.0);
  std::fflush(stdout);
}

}  // namespace

int main() {
  fmt::print(
      "{:>10} {:>10} {:>10} {:>10} {:>10}\n", "faces", "check [s]", "write [s]", "CPU [s]", "peak [MB]");
  std::fflush(stdout);
  for (const int n_faces : {10'000, 100'000, 500'000, 1'000'000}) {
    const pid_t child = fork();
    if (child == 0) {
      try {
        measure(n_faces);
      } catch (const std::exception& error) {
        fmt::print(stderr, "mold_benchmark: {}\n", error.what());
        _exit(1);
      }
      _exit(0);
    }
    int status = 0;
    waitpid(child, &status, 0);
    if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) return 1;
  }
  return 0;
}
