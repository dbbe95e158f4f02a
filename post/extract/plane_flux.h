// SPDX-License-Identifier: GPL-3.0-or-later
//
// Mass flow through the measurement planes from the solver's own face fluxes: the field `phi` [kg/s] on the
// face zones of the mesh. Nothing is interpolated.
#pragma once

#include "geometry/base/manifest.h"
#include "post/extract/case_layout.h"

#include <span>
#include <string>
#include <vector>

namespace cowlwright::post {

/// What passes one plane. Signs are along PlaneRecord::normal, the intended flow.
///
/// A face's direction is its normal against the plane's. On a zone with steps some faces stand on edge to the
/// plane ("steep", more than 75° between the normals); those take the zone's flip map, when the flip map
/// agrees with the normals of the other faces. Steep faces count in flow and area, not in reverse flow, which
/// a stream along the plane would feign there.
struct PlaneFlux {
  std::string plane;
  std::size_t n_faces = 0;          ///< a face on the border of two ranks is one face
  double area = 0.0;                ///< of the oriented faces, seen along the normal [m²]
  double mass_flow = 0.0;           ///< net [kg/s]
  double absolute_flow = 0.0;       ///< sum of magnitudes [kg/s]
  double reverse_area_share = 0.0;  ///< area with flow against the normal / area, without steep faces
  double forward_flow = 0.0;        ///< along the normal, without steep faces [kg/s]
  double reverse_flow = 0.0;        ///< against it, as a positive number, without steep faces [kg/s]
  double flip_map_flow = 0.0;  ///< net in the zone's own orientation, what the solver's `sum(phi)` prints
  double steep_share = 0.0;    ///< steep area / total face area
};

/// One face of a plane before summing.
struct FluxSample {
  base::Vec3 area;       ///< area vector along the face's own normal [m²]
  double flux = 0.0;     ///< along the face's own normal [kg/s]
  bool flipped = false;  ///< zone's orientation is against the face's own normal
  double weight = 1.0;   ///< 0.5 on the border of two ranks, where the face is read twice
};

/// Sums one plane. @throws ResultError  when there are no faces or a flux is not finite.
PlaneFlux sum_plane(const base::PlaneRecord& plane, std::span<const FluxSample> samples);

/// In the order of `planes`.
///
/// @throws ResultError  when a plane has no face zone of its name or an empty one, a file is missing or cut
///                      short, `phi` is no mass flux, its size does not fit the mesh, or a value is not
///                      finite.
std::vector<PlaneFlux> read_plane_fluxes(const CaseLayout& layout, std::span<const base::PlaneRecord> planes);

}  // namespace cowlwright::post
