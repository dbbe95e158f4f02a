// SPDX-License-Identifier: GPL-3.0-or-later
//
// A case's input hash must hold from one run to the next, or nothing is ever picked up. No solver.
#include "geometry/base/manifest.h"
#include "tests/end_to_end/program_run.h"
#include "tests/support/scratch_folder.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace {

using namespace cowlwright;
using namespace cowlwright::testing_support;

TEST(Repeatability, ACaseIsTheSameWhereverMemoryLies) {
  const ScratchFolder folder;
  folder.write("my.toml", draft_study(40, 20, "\"exit.lip_angle\" = [\"0 deg\"]"));
  // The allocator's settings move every object; the geometry library's booleans order things by address.
  std::string first_hash;
  for (const std::string setting :
       {"MALLOC_TOP_PAD_=0", "MALLOC_TOP_PAD_=77777", "MALLOC_MMAP_THRESHOLD_=4096"}) {
    const ProgramRun run =
        run_program({program("cowlwright"), "prepare", "my.toml", "--fresh"}, folder.path(), {setting});
    ASSERT_EQ(run.exit_code, 0) << run.output;
    const std::string hash = base::read_manifest(folder.path() / "my-cases" / "lip_angle_0_deg").input_hash;
    EXPECT_EQ(hash.size(), 64U);
    if (first_hash.empty()) first_hash = hash;
    EXPECT_EQ(hash, first_hash) << setting;
  }
}

}  // namespace
