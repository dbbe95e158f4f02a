// SPDX-License-Identifier: GPL-3.0-or-later
//
// A full-size drawing: lines and words on named layers, ready to be written as DXF, SVG or tiled PDF.
#pragma once

#include "geometry/templates/section.h"

#include <array>
#include <string>
#include <vector>

namespace cowlwright::templates {

enum class Line {
  Cut,   ///< what the saw follows
  Bend,  ///< where a plate is bent
  Mark   ///< centre lines, stations, water lines
};

struct Stroke {
  std::string layer;
  Line line = Line::Cut;
  Curve curve;
};

struct Label {
  std::string layer;
  Point2 at{};          ///< left end of the words' base line [m]
  double height = 0.0;  ///< of capitals [m]
  std::string text;     ///< ASCII
};

struct Drawing {
  std::string stem;                ///< of its files: "FS_300"
  std::string title;               ///< "FS 300 mm"
  std::vector<std::string> notes;  ///< ASCII sentences under the title: view, lengths, what is approximate
  std::vector<Stroke> strokes;
  std::vector<Label> labels;
};

struct Box2 {
  Point2 low{};
  Point2 high{};
};

/// Of all strokes and, about, of all labels.
Box2 extents(const Drawing& drawing);

/// Layer names in the order of their first use.
std::vector<std::string> layer_names(const Drawing& drawing);

/// Centre line, station and water line marks over a region: the datum lines of both directions with a tick
/// and a label every 100 mm, on layer MARKS. Where 0 lies outside, the first 100 mm line inside stands in.
///
/// @param letters  of the first and the second coordinate: {"BL", "WL"}.
void add_datum_marks(Drawing& drawing, const Box2& region, const std::array<std::string, 2>& letters);

/// A section as a drawing: outlines on a layer named for it, datum marks, and notes with the length of each
/// outline [mm] and whether it is closed.
Drawing section_drawing(const Section& section);

/// Adds curves moved inward by `distance` [m] on the layer "<stem>_INSET", with their lengths as notes.
void add_inset(Drawing& drawing, const std::vector<Curve>& curves, double distance);

}  // namespace cowlwright::templates
