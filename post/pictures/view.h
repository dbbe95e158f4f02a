// SPDX-License-Identifier: GPL-3.0-or-later
//
// The list of pictures: what each shows, how it is coloured and from where it is seen.
#pragma once

#include "post/pictures/frame.h"
#include "post/pictures/scales.h"

#include <optional>
#include <string>
#include <vector>

namespace cowlwright::post {

/// All pictures are of one size [pixel].
inline constexpr int picture_width = 1200;
inline constexpr int picture_height = 800;
/// White strips above and below the view, for words and the colour bar [pixel].
inline constexpr int head_height = 54;
inline constexpr int foot_height = 96;

/// Opening of perspective views, upwards [deg].
inline constexpr double perspective_angle = 24.0;

enum class ViewKind { Surface, Slice, Streamlines };

/// A plane through the air. `keep_side` keeps only what lies on the pilot's left or right.
struct Cut {
  base::Vec3 origin;
  base::Vec3 normal;
  base::Side keep_side = base::Side::Centre;
};

struct Camera {
  base::Vec3 position;
  base::Vec3 focus;
  base::Vec3 up;
  double half_height = 0.0;  ///< of what a parallel view shows [m]; 0: perspective
};

struct View {
  std::string id;
  std::string title;
  std::string caption;  ///< one sentence
  std::string alt;      ///< for who cannot see it
  ViewKind kind = ViewKind::Surface;
  Field field = Field::PressureCoefficient;
  std::vector<Cut> cuts;
  Camera camera;
  double finer = 1.0;     ///< how many colours take the place of one
  std::string missing{};  ///< why this case cannot have it; empty: it can
};

/// The range and the steps of a view's colours.
FieldScale view_scale(const View& view, const Scales& scales);

/// The views of one case in the order of the page. Cameras come from `frame`, cuts from the case's own
/// places.
std::vector<View> picture_views(const Places3d& places, const Frame& frame, const Scales& scales);

}  // namespace cowlwright::post
