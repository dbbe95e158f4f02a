// SPDX-License-Identifier: GPL-3.0-or-later
//
// What `cowlwright inspect` prints and writes as JSON.
#pragma once

#include "geometry/imported/fault_table.h"
#include "geometry/imported/read_surface.h"

#include <string>

namespace cowlwright::verbs {

/// Everything the report tells; `rows` hold more places than are printed.
struct Inspection {
  std::string file_name;
  std::string unit, axes, origin;  ///< as the user gave them
  imported::SurfaceFile file;
  imported::Faults faults;
  std::vector<imported::FaultRow> rows;
  double seconds_reading = 0, seconds_judging = 0;
  double peak_megabytes = 0;
};

/// Stations in mm: FS aft of the propeller plane, BL to the pilot's right, WL above the crankshaft line.
std::string inspection_text(const Inspection& inspection);

/// Lengths in m, areas in m², volume in m³ or null when the surface bounds none.
std::string inspection_json(const Inspection& inspection);

}  // namespace cowlwright::verbs
