// SPDX-License-Identifier: GPL-3.0-or-later
//
// Monitor tables as a solver would have written them, for a case with two decks, two inlets and an exit.
#pragma once

#include "geometry/base/manifest.h"
#include "tests/support/scratch_folder.h"

#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

namespace cowlwright::testing_support {

/// Window of 150 iterations, stop tolerance 0.5 %, ceiling of 800.
inline base::Manifest monitored_case() {
  base::Manifest manifest;
  manifest.last_iteration = 800;
  manifest.window = 150;
  manifest.stop_tolerance = 0.005;
  manifest.stop_when_held = true;
  manifest.zones = {{"upper_deck_left", base::ZoneRole::UpperDeck, base::Side::Left, 0.03},
                    {"upper_deck_right", base::ZoneRole::UpperDeck, base::Side::Right, 0.01},
                    {"lower_deck", base::ZoneRole::LowerDeck, base::Side::Centre, 0.09}};
  for (const auto& [name, role] : {std::pair{"inlet_left", base::PlaneRole::Inlet},
                                   std::pair{"inlet_right", base::PlaneRole::Inlet},
                                   std::pair{"exit", base::PlaneRole::Exit}}) {
    base::PlaneRecord plane;
    plane.name = name;
    plane.role = role;
    manifest.planes.push_back(plane);
  }
  for (const base::ZoneRecord& zone : manifest.zones)
    manifest.monitors.push_back({"mean_pressure", zone.name, "pressure_" + zone.name, "volFieldValue.dat"});
  for (const base::PlaneRecord& plane : manifest.planes)
    manifest.monitors.push_back({"mass_flow", plane.name, "flow_" + plane.name, "surfaceFieldValue.dat"});
  return manifest;
}

/// One value per iteration from 1 on.
inline std::string table_text(const std::vector<double>& values) {
  std::string text = "# Time        \tvalue\n";
  for (std::size_t i = 0; i < values.size(); ++i) {
    text += std::to_string(i + 1) + "          \t" + std::to_string(values[i]) + "\n";
  }
  return text;
}

inline void write_table(const std::filesystem::path& case_dir,
                        const base::MonitorRecord& monitor,
                        const std::vector<double>& values) {
  const std::filesystem::path folder = case_dir / "postProcessing" / monitor.function_object / "0";
  std::filesystem::create_directories(folder);
  std::ofstream(folder / monitor.file) << table_text(values);
}

}  // namespace cowlwright::testing_support
