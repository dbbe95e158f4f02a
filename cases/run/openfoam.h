// SPDX-License-Identifier: GPL-3.0-or-later
//
// Where OpenFOAM is and whether it runs.
#pragma once

#include <string>
#include <vector>

namespace cowlwright::run {

/// Our environment with what OpenFOAM and Open MPI need added: WM_PROJECT_DIR (from COWLWRIGHT_OPENFOAM when
/// that is set, else kept, else the folder of Debian's package), Open MPI's permission to run as root when we
/// are root, no binding of ranks to cores (two runs at once would share one core) and no cross-memory attach
/// (refused in containers).
std::vector<std::string> openfoam_environment();

/// Version of the OpenFOAM that runs, e.g. "1912 (patch 200626)", found by running `blockMesh -help`.
/// @throws ExternalError  when that does not run; says what to install or set.
std::string probe_openfoam(const std::vector<std::string>& environment);

}  // namespace cowlwright::run
