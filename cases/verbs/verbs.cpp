// SPDX-License-Identifier: GPL-3.0-or-later
//
// The list of verbs.
#include "cases/verbs/verbs.h"

namespace cowlwright::verbs {

const std::vector<Verb>& all_verbs() {
  static const std::vector<Verb> verbs{
      {"new", "write a commented starter study", new_study},
      {"check",
       "find every fault of a study and print what follows from its numbers; no solver",
       check_study},
      {"envelope", "map the margin to the limits over speed, altitude, day and power", map_envelope},
      {"estimate",
       "estimate flows, pressures and temperatures in a second; no mesh, no solver",
       estimate_study},
      {"shape", "write the surfaces of each variant", write_shapes},
      {"moldcheck", "say what a mold maker needs to know of a cowl's surface", check_mold},
      {"templates", "cut sections of a cowl and draw flat patterns, full size", write_templates},
      {"prepare", "write OpenFOAM case folders that run by hand", prepare},
      {"plan", "say what run would do, how long it takes and what it needs; nothing is started", plan_study},
      {"run", "check, mesh, solve, extract and compare the variants", run_study},
      {"tables", "write a study's tables again from the cases that have ended", write_study_tables},
      {"status", "say how the cases of a study stand, also while it runs", show_status},
      {"tidy", "give back disk space of solved cases", tidy_output},
      {"export", "pack a study with its results into one file", export_study},
      {"verify", "check such a file against the hashes in it", verify_archive},
      {"readings", "find the steady moments of a flight log and keep them", keep_readings},
      {"compare",
       "share out the difference of two installations over their details; no solver",
       compare_studies},
      {"inspect", "find what is wrong with a surface of your own", inspect_surface},
      {"repair", "mend a surface from CAD or a scan, and measure what that changed", repair_surface},
      {"task", "", do_task}};
  return verbs;
}

}  // namespace cowlwright::verbs
