// SPDX-License-Identifier: GPL-3.0-or-later
//
// A surface reader against any bytes: it gives a surface or throws InputError, nothing else; a surface is
// then judged.
#include "geometry/base/error.h"
#include "geometry/imported/faults.h"
#include "geometry/imported/readers.h"

#include <cstddef>
#include <cstdint>
#include <cstdlib>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace cowlwright;
  imported::ByteSource source("fuzzed", {reinterpret_cast<const char*>(data), size});
  const imported::Placement placement{.unit = 1e-3, .axes = {{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}}};
  try {
    const imported::SurfaceFile file = imported::read_any(source, COWLWRIGHT_FUZZED_EXTENSION, placement, {});
    for (const auto& t : file.surface.triangles) {
      for (const std::uint32_t corner : t) {
        if (corner >= file.surface.points.size()) std::abort();
      }
    }
    imported::FaultLimits limits;
    limits.most_tests_per_face = 100;
    (void)imported::diagnose(file.surface, limits);
  } catch (const base::InputError&) {
    // A refusal is what most of them deserve.
  }
  return 0;
}
