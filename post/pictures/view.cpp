// SPDX-License-Identifier: GPL-3.0-or-later
//
// The views, one function each.
#include "post/pictures/view.h"

#include <fmt/format.h>

#include <cmath>

namespace cowlwright::post {

namespace {

using base::Vec3;

constexpr double aspect = static_cast<double>(picture_width) / (picture_height - head_height - foot_height);

constexpr double pi = 3.14159265358979323846;

Vec3 middle(const Box& box) {
  return 0.5 * (box.low + box.high);
}

/// Half height of a parallel view that holds width x height.
double half_height(double width, double height) {
  return 0.5 * std::max(height, width / aspect);
}

/// Seen against `towards` from far enough that a ball of this radius fills the height.
Camera perspective(const Vec3& focus, const Vec3& from, double radius) {
  const double distance = radius / std::sin(0.5 * perspective_angle * pi / 180.0);
  return {focus + (distance / base::norm(from)) * from, focus, {0.0, 0.0, 1.0}, 0.0};
}

Camera parallel(const Vec3& focus, const Vec3& from, const Vec3& up, double half) {
  return {focus + 10.0 * from, focus, up, half};
}

/// From the pilot's left, nose to the left.
Camera from_left(const Vec3& focus, double half) {
  return parallel(focus, {0.0, -1.0, 0.0}, {0.0, 0.0, 1.0}, half);
}

/// From above, nose to the left.
Camera from_above(const Vec3& focus, double half) {
  return parallel(focus, {0.0, 0.0, 1.0}, {0.0, 1.0, 0.0}, half);
}

std::string pressure_words(const Scales& scales) {
  return fmt::format("over {} = {:.0f} Pa", scales.reference_name, scales.reference_pressure);
}

constexpr const char* closed_reason =
    "The openings of this case are closed: there is no air inside to look at.";

class Views {
 public:
  Views(const Places3d& places, const Frame& frame, const Scales& scales)
      : places_(places), frame_(frame), scales_(scales) {}

  View cowl_front() const {
    return {
        .id = "cowl_pressure_front",
        .title = "Cowl from ahead and above",
        .caption = fmt::format(
            "Pressure on the surface above the outside air's, {}: brown-red presses on the cowl, blue sucks.",
            pressure_words(scales_)),
        .alt = "The cowl seen from ahead, above and the pilot's left, coloured by the pressure coefficient.",
        .kind = ViewKind::Surface,
        .field = Field::PressureCoefficient,
        .cuts = {},
        .camera = perspective(surface_middle(), {-1.0, -0.85, 0.55}, 0.62 * frame_.length)};
  }

  View cowl_rear() const {
    return {
        .id = "cowl_pressure_rear",
        .title = "Cowl from behind and below",
        .caption = fmt::format(
            "Pressure on the surface above the outside air's, {}: look at the exit and what lies round it.",
            pressure_words(scales_)),
        .alt =
            "The cowl seen from behind, below and the pilot's left with the exit in view, coloured by the "
            "pressure coefficient.",
        .kind = ViewKind::Surface,
        .field = Field::PressureCoefficient,
        .cuts = {},
        .camera = perspective(rear_middle(), {0.7, -0.8, -0.75}, 0.72 * frame_.length)};
  }

  View centre_plane() const {
    const Vec3 focus = middle(frame_.box);
    return {.id = "centre_plane_pressure",
            .title = "Centre plane, from the left",
            .caption = fmt::format("Static pressure above the outside air's, {}, in the plane of symmetry.",
                                   pressure_words(scales_)),
            .alt = "Lengthwise section through the middle of the cowl, coloured by the pressure coefficient.",
            .kind = ViewKind::Slice,
            .field = Field::PressureCoefficient,
            .cuts = {{{0.0, 0.0, 0.0}, {0.0, 1.0, 0.0}}},
            .camera = from_left({focus.x, 0.0, focus.z}, lengthwise_half())};
  }

  View lengthwise(bool is_left) const {
    const std::optional<Vec3>& inlet = is_left ? places_.inlet_left : places_.inlet_right;
    const Vec3 focus = middle(frame_.box);
    const char* side = is_left ? "left" : "right";
    View view{
        .id = fmt::format("inlet_{}_total_pressure", side),
        .title = fmt::format("Through the {} inlet and its cylinders, from the left", side),
        .caption = fmt::format(
            "Total pressure above the outside air's pressure, {}: where it turns dark "
            "along the way, pressure is lost; the thin lines ahead of the nose are the propeller.",
            pressure_words(scales_)),
        .alt = fmt::format("Lengthwise section through the middle of the {} inlet, coloured by the total "
                           "pressure coefficient.",
                           side),
        .kind = ViewKind::Slice,
        .field = Field::TotalPressureCoefficient,
        .cuts = {},
        .camera = from_left({focus.x, 0.0, focus.z}, lengthwise_half())};
    if (!inlet) {
      view.missing = closed_reason;
      return view;
    }
    view.cuts = {{{0.0, inlet->y, 0.0}, {0.0, 1.0, 0.0}}};
    return view;
  }

  View inlet_plane() const {
    View view{
        .id = "inlet_plane_total_pressure",
        .title = "Across the inlets' throats, from ahead",
        .caption = fmt::format("Total pressure above the outside air's pressure, {}: how much of what comes "
                               "in is still there at the throats.",
                               pressure_words(scales_)),
        .alt =
            "Cross section of the cowl at the throats of both inlets, seen from ahead, coloured by the "
            "total pressure coefficient.",
        .kind = ViewKind::Slice,
        .field = Field::TotalPressureCoefficient,
        .cuts = {},
        .camera = parallel({0.0, 0.0, frame_.opening_height},
                           {-1.0, 0.0, 0.0},
                           {0.0, 0.0, 1.0},
                           half_height(2.5 * frame_.opening_reach, 0.0))};
    if (!places_.inlet_left || !places_.inlet_right) {
      view.missing = closed_reason;
      return view;
    }
    const Vec3 aft{1.0, 0.0, 0.0};
    if (std::abs(places_.inlet_left->x - places_.inlet_right->x) < 1e-6) {
      view.cuts = {{*places_.inlet_left, aft}};
    } else {
      view.cuts = {{*places_.inlet_left, aft, base::Side::Left},
                   {*places_.inlet_right, aft, base::Side::Right}};
    }
    return view;
  }

  View streamlines() const {
    View view{
        .id = "streamlines_temperature",
        .title = "Cooling air from the inlets to the exit",
        .caption =
            "Paths of air that enters through the inlets, coloured by how much warmer than the outside "
            "air it is; each ends where it leaves the picture or runs into a wall.",
        .alt =
            "Streamlines from both inlets through the cylinders to the exit inside the translucent cowl, "
            "coloured by temperature rise.",
        .kind = ViewKind::Streamlines,
        .field = Field::TemperatureRise,
        .cuts = {},
        .camera = perspective(path_middle(), {-0.35, -1.0, 0.45}, 0.66 * frame_.length)};
    if (!places_.inlet_left || !places_.inlet_right) {
      view.missing = closed_reason;
    }
    return view;
  }

  View exit_speed() const {
    const double width = 0.75 * frame_.length;
    View view{
        .id = "exit_speed",
        .title = "Exit, centre plane, from the left",
        .caption = fmt::format(
            "Speed over {} = {:.1f} m/s: how fast the cooling air leaves beside the air "
            "that passes outside.",
            scales_.is_by_q ? "the true airspeed" : "the root of 2 thrust per disk area over density",
            scales_.reference_speed),
        .alt = "Close-up of the exit in the plane of symmetry, coloured by speed.",
        .kind = ViewKind::Slice,
        .field = Field::SpeedRatio,
        .cuts = {{{0.0, 0.0, 0.0}, {0.0, 1.0, 0.0}}},
        .camera = from_left({frame_.exit.x + 0.1 * width, 0.0, frame_.exit.z}, half_height(width, 0.0))};
    if (!places_.exit) {
      view.missing = closed_reason;
    }
    return view;
  }

  View upper_deck() const {
    View view = deck(places_.upper_deck, "upper_deck_pressure", "Upper deck");
    view.field = Field::PressureCoefficient;
    view.caption = fmt::format(
        "Static pressure above the outside air's, {}: the more alike it is over the "
        "cylinders, the more alike is what drives air through them.",
        pressure_words(scales_));
    view.alt = "Level section through the air above the cylinders, coloured by the pressure coefficient.";
    return view;
  }

  View lower_deck() const {
    View view = deck(places_.lower_deck, "lower_deck_temperature", "Lower deck");
    view.field = Field::TemperatureRise;
    view.caption = "Air just below the cylinders: how much warmer than the outside air each leaves it.";
    view.alt = "Level section through the air below the cylinders, coloured by temperature rise.";
    return view;
  }

 private:
  Vec3 surface_middle() const {
    return {frame_.exit.x - 0.55 * frame_.length, 0.0, frame_.opening_height - 0.1 * frame_.length};
  }

  Vec3 rear_middle() const {
    return {frame_.exit.x - 0.35 * frame_.length, 0.0, frame_.opening_height - 0.1 * frame_.length};
  }
  Vec3 path_middle() const {
    return {frame_.exit.x - 0.45 * frame_.length, 0.0, frame_.opening_height - 0.12 * frame_.length};
  }

  double lengthwise_half() const {
    return half_height(frame_.box.high.x - frame_.box.low.x, frame_.box.high.z - frame_.box.low.z);
  }

  View deck(const std::optional<double>& level, const char* id, const char* name) const {
    const double ahead = frame_.exit.x - 1.25 * frame_.length;
    const double behind = frame_.exit.x + 0.15 * frame_.length;
    View view{
        .id = id,
        .title = name,
        .caption = {},
        .alt = {},
        .kind = ViewKind::Slice,
        .field = Field::PressureCoefficient,
        .cuts = {},
        .camera = from_above({0.5 * (ahead + behind), 0.0, 0.0},
                             half_height(behind - ahead, 0.85 * (frame_.box.high.y - frame_.box.low.y)))};
    view.finer = 2.0;  // differences between cylinders are small
    if (!level) {
      view.missing = "The case has no cylinders, so it has no decks.";
      return view;
    }
    view.title = fmt::format("{}, level section at {:+.0f} mm, from above", name, 1000.0 * *level);
    view.cuts = {{{0.0, 0.0, *level}, {0.0, 0.0, 1.0}}};
    return view;
  }

  const Places3d& places_;
  const Frame& frame_;
  const Scales& scales_;
};

}  // namespace

FieldScale view_scale(const View& view, const Scales& scales) {
  FieldScale scale = field_scale(view.field, scales);
  scale.step /= view.finer;
  return scale;
}

std::vector<View> picture_views(const Places3d& places, const Frame& frame, const Scales& scales) {
  const Views views(places, frame, scales);
  return {views.cowl_front(),
          views.cowl_rear(),
          views.lengthwise(true),
          views.lengthwise(false),
          views.inlet_plane(),
          views.centre_plane(),
          views.upper_deck(),
          views.lower_deck(),
          views.exit_speed(),
          views.streamlines()};
}

}  // namespace cowlwright::post
