// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/verbs/inspect_report.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>

namespace cowlwright::verbs {

namespace {

constexpr std::size_t printed_places = 3;
constexpr double mm = 1e3;  ///< per metre

/// Whether the surface bounds a body: closed, and all faces agree.
bool has_volume(const imported::Faults& faults) {
  return faults.is_closed() && faults.flipped_faces.empty() && faults.n_disagreeing_edges == 0;
}

std::string stations(const base::Vec3& p) {
  return fmt::format("FS {:.1f}  BL {:.1f}  WL {:.1f}", mm * p.x, mm * p.y, mm * p.z);
}

std::string head(const Inspection& i) {
  const shape::Surface& surface = i.file.surface;
  const shape::Box box = shape::bounding_box(surface);
  const base::Vec3 size = box.high - box.low;
  std::string text = fmt::format("{}: {}, {} triangles, {} points, {} patch{}\n",
                                 i.file_name,
                                 i.file.format,
                                 surface.triangles.size(),
                                 surface.points.size(),
                                 surface.patch_names.size(),
                                 surface.patch_names.size() == 1 ? "" : "es");
  text += fmt::format(
      "read as: unit {}, axes \"{}\" = aft, right, up, origin \"{}\"\n", i.unit, i.axes, i.origin);
  if (i.file.n_polygons > 0)
    text += fmt::format("{} faces of four corners or more were cut into triangles\n", i.file.n_polygons);
  for (const std::string& note : i.file.notes) text += note + "\n";
  const auto row = [](const char* name, double low, double high, double extent) {
    return fmt::format(
        "  {}  {:>9.1f} to {:>9.1f} mm   extent {:>8.1f} mm\n", name, mm * low, mm * high, mm * extent);
  };
  text += "\nsize\n" + row("FS (aft)  ", box.low.x, box.high.x, size.x) +
          row("BL (right)", box.low.y, box.high.y, size.y) + row("WL (up)   ", box.low.z, box.high.z, size.z);
  text += fmt::format("  area    {:.5g} m2\n", shape::surface_area(surface));
  text += has_volume(i.faults)
              ? fmt::format("  volume  {:.5g} m3{}\n",
                            shape::enclosed_volume(surface),
                            i.faults.intersections.empty() ? "" : ", what overlaps counted twice")
              : std::string("  volume  none: the surface is open, or its faces disagree\n");
  const auto n_closed = std::count_if(
      i.faults.shells.begin(), i.faults.shells.end(), [](const imported::Shell& s) { return s.is_closed; });
  text += fmt::format("  shells  {}, {} of them closed\n", i.faults.shells.size(), n_closed);
  return text;
}

std::string details(const imported::FaultRow& row) {
  std::string text = fmt::format("\n{}: {}\n", row.name, row.rule);
  for (std::size_t k = 0; k < std::min(printed_places, row.places.size()); ++k) {
    text += fmt::format("  {}{}{}\n",
                        stations(row.places[k].at),
                        row.places[k].detail.empty() ? "" : "   ",
                        row.places[k].detail);
  }
  if (row.count > printed_places) text += fmt::format("  and {} more\n", row.count - printed_places);
  return text;
}

nlohmann::ordered_json point(const base::Vec3& p) {
  return {p.x, p.y, p.z};
}

}  // namespace

std::string inspection_text(const Inspection& i) {
  std::string text = head(i);
  text += fmt::format("\n{:<26} {:>10}   {}\n", "faults", "count", "what cowlwright repair does");
  bool is_sound = true;
  for (const imported::FaultRow& row : i.rows) {
    text += fmt::format("  {:<24} {:>10}   {}\n",
                        row.name,
                        fmt::format("{}{}", row.is_at_least ? ">= " : "", row.count),
                        row.count > 0 ? row.remedy : "-");
    is_sound = is_sound && row.count == 0 && !row.is_at_least;
  }
  if (!is_sound)
    text +=
        "\nfirst places, in mm: FS aft of the propeller plane, BL to the pilot's right, WL above the "
        "crankshaft line\n";
  for (const imported::FaultRow& row : i.rows) {
    if (row.count > 0) text += details(row);
  }
  if (!i.faults.has_all_intersections) {
    text +=
        "\nThe search for self-intersections ended at its limit: there are more. Repair or wrap the surface "
        "first.\n";
  }
  text += is_sound ? "\nNo fault found.\n\n" : "\n";
  text +=
      "Open edges are faults only where they are no openings: only you know that. Corners that nearly meet "
      "are open too;\n"
      "cracks finer than --weld close in repair. Faces that lie close to each other without touching are not "
      "sought.\n";
  text += fmt::format("\nread in {:.2f} s, judged in {:.2f} s, {:.0f} MB of memory at most\n",
                      i.seconds_reading,
                      i.seconds_judging,
                      i.peak_megabytes);
  return text;
}

std::string inspection_json(const Inspection& i) {
  using nlohmann::ordered_json;
  const shape::Surface& surface = i.file.surface;
  const shape::Box box = shape::bounding_box(surface);
  ordered_json json;
  json["file"] = i.file_name;
  json["format"] = i.file.format;
  json["placement"] = {{"unit", i.unit}, {"axes", i.axes}, {"origin", i.origin}};
  json["triangles"] = surface.triangles.size();
  json["points"] = surface.points.size();
  json["patches"] = surface.patch_names;
  json["box_m"] = {{"low", point(box.low)}, {"high", point(box.high)}};
  json["area_m2"] = shape::surface_area(surface);
  json["volume_m3"] =
      has_volume(i.faults) ? ordered_json(shape::enclosed_volume(surface)) : ordered_json(nullptr);
  json["shells"] = i.faults.shells.size();
  json["notes"] = i.file.notes;
  for (const imported::FaultRow& row : i.rows) {
    ordered_json places = ordered_json::array();
    for (const imported::FaultPlace& place : row.places) {
      places.push_back({{"at_m", point(place.at)}, {"detail", place.detail}});
    }
    json["faults"][row.key] = {{"count", row.count},
                               {"at_least", row.is_at_least},
                               {"rule", row.rule},
                               {"repair", row.remedy},
                               {"first_places", places}};
  }
  json["seconds"] = {{"reading", i.seconds_reading}, {"judging", i.seconds_judging}};
  json["peak_memory_mb"] = i.peak_megabytes;
  return json.dump(2) + "\n";
}

}  // namespace cowlwright::verbs
