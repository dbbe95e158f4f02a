// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading the inlets: [inlets] for both, [inlet_left] and [inlet_right] where one differs.
#pragma once

#include "geometry/base/study_file.h"
#include "geometry/shape/spec.h"

namespace cowlwright::shape {

/// Everything of `inlets` but the spacing. Complains of keys that have no effect on any inlet's opening,
/// unless [vary] changes the openings, and of rings and diffusers whose keys contradict each other.
void read_inlets(base::SectionReader& both,
                 base::SectionReader& left,
                 base::SectionReader& right,
                 const base::Variant& variant,
                 InletPair& inlets);

}  // namespace cowlwright::shape
