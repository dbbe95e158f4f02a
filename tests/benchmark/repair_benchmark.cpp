// SPDX-License-Identifier: GPL-3.0-or-later
//
// Time and memory of repairing and wrapping a cowl of 1 m, against its number of triangles.
//   repair_benchmark                      100,000 and 500,000 triangles, corners apart
//   repair_benchmark 2000000              other sizes
// Each step runs in a process of its own, so that its peak memory is its own. Aim: a wrap at 5 mm of 500,000
// triangles under 60 s on 2 cores.
#include "geometry/imported/remesh.h"
#include "geometry/imported/wrap.h"
#include "geometry/shape/cowl_skin.h"
#include "tests/support/bodies.h"

#include <fmt/format.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cmath>
#include <cstdio>
#include <functional>
#include <string>
#include <thread>

namespace {

using namespace cowlwright;

/// The starter cowl's skin with its openings closed, remeshed to about `n` triangles.
shape::Surface cowl_of(std::size_t n) {
  shape::Surface skin = shape::cowl_skin(shape::ShapeSpec{});
  imported::RepairedSurface body = imported::repair(skin, {.fill_holes = 5.0});
  const double edge = std::sqrt(surface_area(body.surface) / (0.433 * static_cast<double>(n)));
  return imported::remesh(body.surface, edge);
}

/// Runs in a child and prints its line.
void measure(const std::string& step, const std::function<std::string()>& act) {
  std::fflush(stdout);
  const pid_t child = fork();
  if (child == 0) {
    int code = 0;
    try {
      const auto start = std::chrono::steady_clock::now();
      const std::string note = act();
      const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
      rusage usage{};
      getrusage(RUSAGE_SELF, &usage);
      fmt::print(
          "{:<34} {:>9.2f} {:>9.2f} {:>10.0f}  {}\n",
          step,
          seconds,
          static_cast<double>(usage.ru_utime.tv_sec) + 1e-6 * static_cast<double>(usage.ru_utime.tv_usec),
          static_cast<double>(usage.ru_maxrss) / 1024.0,
          note);
    } catch (const std::exception& error) {
      fmt::print(stderr, "{}: {}\n", step, error.what());
      code = 1;
    }
    std::fflush(stdout);
    _exit(code);
  }
  int status = 0;
  waitpid(child, &status, 0);
}

std::string deviations(const imported::DeviationFigures& d) {
  return fmt::format(
      "deviation out {:.3f}, in {:.3f}, mean {:.3f} mm", 1e3 * d.outward, 1e3 * d.inward, 1e3 * d.mean);
}

void measure_size(std::size_t n) {
  const shape::Surface cowl = cowl_of(n);
  const shape::Surface soup = testing_support::apart(cowl);
  const std::size_t size = cowl.triangles.size();
  measure(fmt::format("{} repair", size), [&] {
    const imported::RepairedSurface repaired = imported::repair(soup, {.weld = 1e-5});
    return deviations(repaired.deviation.figures);
  });
  measure(fmt::format("{} deviation both ways", size), [&] {
    const imported::Deviation d = imported::deviation(cowl, soup);
    (void)imported::coverage(soup, cowl, imported::sample_spacing(soup));
    return deviations(d.figures);
  });
  for (const double tolerance : {0.010, 0.005}) {
    measure(fmt::format("{} wrap at {:.0f} mm", size, 1e3 * tolerance), [&] {
      const imported::WrappedSurface wrapped =
          imported::wrap(cowl, {.tolerance = tolerance, .deviation_limit = tolerance});
      return fmt::format(
          "{} triangles, {}", wrapped.surface.triangles.size(), deviations(wrapped.deviation.figures));
    });
  }
}

}  // namespace

int main(int argc, char** argv) {
  try {
    fmt::print("{} cores. Peak includes the input.\n{:<34} {:>9} {:>9} {:>10}\n",
               std::thread::hardware_concurrency(),
               "triangles, step",
               "wall [s]",
               "user [s]",
               "peak [MB]");
    if (argc == 1) {
      measure_size(100'000);
      measure_size(500'000);
    }
    for (int i = 1; i < argc; ++i) measure_size(std::stoul(argv[i]));
    return 0;
  } catch (const std::exception& error) {
    fmt::print(stderr, "repair_benchmark: {}\n", error.what());
    return 1;
  }
}
