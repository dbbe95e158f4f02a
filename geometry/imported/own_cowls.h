// SPDX-License-Identifier: GPL-3.0-or-later
//
// The user's own cowl as a study file names it: [own_cowl] with its file and placement, [own_inlet_left],
// [own_inlet_right] and [own_exit] with the edges of its openings.
#pragma once

#include "geometry/base/study_file.h"
#include "geometry/shape/own_cowl.h"
#include "geometry/shape/spec.h"

#include <map>
#include <memory>
#include <string>
#include <vector>

namespace cowlwright::imported {

/// Own cowls of one study: each surface is read once and each fit made once, however many variants use it.
class OwnCowls {
 public:
  /// Reads the four sections as one variant sees them. The source returned complains of what is wrong with
  /// the surface; it must not outlive this object, the file, the variant or the complaints.
  /// @return  empty when the study has no [own_cowl].
  shape::OwnCowlSource source(const base::StudyFile& file,
                              const base::Variant& variant,
                              base::Complaints& complaints);

 private:
  struct Wanted;
  std::shared_ptr<const shape::OwnCowl> fit(const Wanted& wanted, const shape::OwnCowlRoom& room);

  std::map<std::string, std::shared_ptr<const shape::Surface>> surfaces_;  ///< by file and placement
  std::map<std::string, std::vector<std::shared_ptr<const shape::OwnCowl>>>
      fits_;  ///< by that and the openings
};

}  // namespace cowlwright::imported
