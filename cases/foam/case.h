// SPDX-License-Identifier: GPL-3.0-or-later
//
// One variant as an OpenFOAM case folder: surfaces, dictionaries, fields, sources, monitors, the manifest and
// an Allrun script, so that the case runs by hand without any program of ours.
#pragma once

#include "cases/foam/stages.h"
#include "cases/study.h"
#include "geometry/base/case_state.h"
#include "geometry/base/manifest.h"

#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace cowlwright::foam {

/// Folder of a variant's case on one of its grids: "<variant>", or "<variant>-<level>" when grids are
/// compared.
std::string case_folder(const VariantSpec& spec, meshing::GridLevel level);

/// One of the cases a variant is solved by.
struct CasePlan {
  std::string folder;  ///< name of its case folder
  meshing::GridLevel level = meshing::GridLevel::Coarse;
  bool is_reference = false;  ///< inlets and exit closed: what cooling drag is the difference from
  std::string start_from;     ///< folder of the case whose result it starts from; empty: still air inside
};

/// One case on each of meshing::grid_levels(), coarsest first, each from the result of the one before; with
/// GridSpec::cooling_drag then the same of the closed reference, in folders that end in "-closed".
std::vector<CasePlan> case_plans(const VariantSpec& spec);

/// What a manifest says of a variant before anything is meshed: study, settings and flight condition.
base::Manifest variant_manifest(const Study& study,
                                std::size_t variant_index,
                                const flight::ReferencePressure& reference);

/// What a manifest says of a propeller before its loads are known.
base::PropellerRecord propeller_record(const propeller::PropellerSpec& spec);

/// A case before it is on disk.
struct Case {
  std::string folder;         ///< name of its case folder
  base::Manifest manifest{};  ///< input_hash included
  base::StepKeys keys{};
  std::map<std::string, std::string> files{};  ///< path below the case folder -> text; without the manifest
};

/// Builds one variant's cases in the order of case_plans().
///
/// @throws InputError   when the shape breaks a rule.
/// @throws ResultError  when the shape fails a proof or the propeller cannot absorb its power.
std::vector<Case> build_cases(const Study& study, std::size_t variant_index);

/// Writes the folder: an older one of the same name is removed first, results and all. Allrun is made
/// executable.
/// @throws ExternalError  when something cannot be written.
void write_case(const Case& built, const std::filesystem::path& case_dir);

}  // namespace cowlwright::foam
