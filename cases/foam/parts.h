// SPDX-License-Identifier: GPL-3.0-or-later
//
// The dictionaries of a case, one function a file. Internal to cases/foam.
#pragma once

#include "cases/flight/spec.h"
#include "cases/foam/dictionary.h"
#include "cases/propeller/blade_element.h"
#include "cases/study.h"
#include "geometry/base/manifest.h"
#include "geometry/shape/installation.h"
#include "meshing/plan.h"

#include <map>
#include <string>
#include <utility>
#include <vector>

namespace cowlwright::foam {

// Mesh
Dictionary block_mesh(const meshing::MeshPlan& plan);
Dictionary surface_features(const std::string& surface_file);
Dictionary snappy(const meshing::MeshPlan& plan);
/// Moves measurement planes and the ends of passages onto cell faces, by half a cell at most (a passage's
/// ends inward by less than one): a plane through cell centres would be cut as a staircase. Sections are
/// constant there.
void fit_to_cells(shape::Installation& installation, const meshing::MeshPlan& plan);
/// Cell and face zones, selected in the finished mesh: nothing is snapped to them, so they pinch no passage.
Dictionary zones(const shape::Installation& installation);
Dictionary decomposition(int ranks);

// Fluid
/// Air as a perfect gas of constant specific heat and Sutherland viscosity.
Dictionary thermophysical_properties();
Dictionary turbulence_properties();
/// Field name, its class and its dictionary for every start field.
struct Field {
  std::string name;
  std::string foam_class;
  Dictionary content;
};

/// Fields at the start and at the far field, which is a free stream in flight.
///
/// Near standstill (`reference` not in flight) a free stream's conditions would let no air in to replace what
/// the propeller drives out: the far field is then a reservoir of still air, from which air comes with its
/// total pressure and into which it goes at its static pressure. The start is a uniform stream of the
/// slipstream's speed far behind; the air outside the slipstream comes to rest while the solver runs. A
/// slipstream set into still air at the start breaks the solver: its ends are sources of air.
std::vector<Field> start_fields(const flight::FlightSpec& flight,
                                const flight::ReferencePressure& reference,
                                const std::vector<std::string>& wall_patches,
                                meshing::WallTreatment wall = meshing::WallTreatment::LogLaw);

/// Start velocities inside the cowl: still in the decks, start_speeds() through the passages. From a uniform
/// stream everywhere, the flow inside first stops and then takes some 300 iterations to return.
Dictionary still_air_inside(const base::Manifest& manifest, const std::map<std::string, double>& speeds);

/// Takes a start field from another case, whose patches and cells may be others: every cell gets the value of
/// the nearest one there, and the patches keep the case's own conditions. The start speeds are for whoever
/// fits such a field (run::fit_start); OpenFOAM does not read them.
Dictionary map_fields(const std::map<std::string, double>& speeds);

// Sources
/// Passages with a resistance, propeller and a guard on temperature. A propeller without `disk` stations is a
/// uniform disk with the manifest's thrust.
Dictionary sources(const base::Manifest& manifest,
                   const std::vector<propeller::DiskStation>& disk,
                   int n_blades);

// Solution
/// Monitors of the force along the wind on walls outside and, when there are some, on walls and passages
/// inside.
std::vector<base::MonitorRecord> force_monitors(bool has_inside);
Dictionary control(const base::Manifest& manifest);
Dictionary schemes();
Dictionary solution();

}  // namespace cowlwright::foam
