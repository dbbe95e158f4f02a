// SPDX-License-Identifier: GPL-3.0-or-later
//
// Fits a start field that was mapped from another case to the case that starts with it: other airspeed,
// altitude, power or resistance.
#pragma once

#include <filesystem>

namespace cowlwright::run {

/// Changes the fields U, p, T, k, omega, nut and alphat in the case's folder `0` in place, after they have
/// been mapped from the case of `source` and before the case is split.
///
/// Differences from the free stream are scaled: pressures with the reference pressure, speeds with its root,
/// temperatures with heat over flow. In the passages between the decks the speed is multiplied by the ratio
/// of the two cases' start speeds (`start_speed` in system/mapFieldsDict, by the quick estimate), because
/// nothing adapts more slowly in the solver than the flow through a core (DEVELOPERS.md). Nothing is touched
/// when all of these are equal. Only the first guess is improved.
///
/// @param case_dir    the case that starts; meshed, `0` mapped, not split.
/// @param source_dir  the case it was mapped from.
/// @throws InputError     when a manifest cannot be read.
/// @throws ResultError    when a field or mapFieldsDict is not there, not binary, or does not fit the mesh.
/// @throws ExternalError  when it cannot be written.
void fit_start(const std::filesystem::path& case_dir, const std::filesystem::path& source_dir);

}  // namespace cowlwright::run
