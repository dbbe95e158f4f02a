// SPDX-License-Identifier: GPL-3.0-or-later
//
// One reader per format. Internal to this folder. Each throws InputError as read_surface_file() promises.
#pragma once

#include "geometry/imported/byte_source.h"
#include "geometry/imported/read_surface.h"

namespace cowlwright::imported {

SurfaceFile read_ascii_stl(ByteSource& source, const Placement& placement, const ReadLimits& limits);
SurfaceFile read_binary_stl(ByteSource& source, const Placement& placement, const ReadLimits& limits);
SurfaceFile read_obj(ByteSource& source, const Placement& placement, const ReadLimits& limits);
SurfaceFile read_ply(ByteSource& source, const Placement& placement, const ReadLimits& limits);
SurfaceFile read_off(ByteSource& source, const Placement& placement, const ReadLimits& limits);

/// STEP through a program of its own. @throws ExternalError also, when that cannot be run.
SurfaceFile read_step(const std::filesystem::path& path,
                      const Placement& placement,
                      const ReadOptions& options);

/// Reads whatever the source holds, STEP excepted. `extension` with its dot, decides where the content does
/// not.
SurfaceFile read_any(ByteSource& source,
                     const std::string& extension,
                     const Placement& placement,
                     const ReadLimits& limits);

}  // namespace cowlwright::imported
