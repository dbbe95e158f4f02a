// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post: cores, oil cooler and leaks as the manifest has them, with their planes found.
#pragma once

#include "geometry/base/manifest.h"
#include "post/quantities/places.h"

#include <optional>
#include <string>
#include <vector>

namespace cowlwright::post {

/// @throws ResultError  when a passage names a plane or an outlet that is not among the manifest's planes, or
///                      one of another role; names all such.
void check_passages(const base::Manifest& manifest);

/// Position of a plane of this name, or nothing.
std::optional<std::size_t> find_plane(const base::Manifest& manifest, const std::string& name);

/// Planes that the air passes on its way from the upper to the lower deck: cores, oil cooler and the leaks
/// between the decks.
Places joining_planes(const base::Manifest& manifest);

/// What is heated as one: the passages of one cylinder, or the oil cooler.
struct HeatedPassage {
  std::string name;         ///< "l1", "oil_cooler"
  Places planes;            ///< across the middle: head and barrel of a cylinder that is split
  Places outlets;           ///< planes by which the air leaves
  bool has_outlets = true;  ///< the outlets take in all of its air
  double heat = 0.0;        ///< released into the air [W]
};

/// In the order of the manifest. A core that names no cylinder is one by itself.
std::vector<HeatedPassage> cylinders(const base::Manifest& manifest);

/// The oil coolers, as one; nothing without.
std::optional<HeatedPassage> oil_cooler(const base::Manifest& manifest);

}  // namespace cowlwright::post
