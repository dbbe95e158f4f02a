// SPDX-License-Identifier: GPL-3.0-or-later
//
// Sections of the study file, then the file they name.
#include "geometry/imported/own_cowls.h"

#include "geometry/base/error.h"
#include "geometry/imported/placement.h"
#include "geometry/imported/read_surface.h"

#include <fmt/format.h>

#include <filesystem>

namespace cowlwright::imported {

struct OwnCowls::Wanted {
  std::filesystem::path file;
  std::string unit;
  std::string axes;
  std::string origin;
  shape::NamedOpening inlet_left;
  shape::NamedOpening inlet_right;
  shape::NamedOpening exit;

  std::string surface_key() const { return fmt::format("{}|{}|{}|{}", file.string(), unit, axes, origin); }
};

namespace {

constexpr base::Range everywhere{-20.0, 20.0, false, false, "within 20 m of the propeller"};

std::optional<base::Vec3> read_place(base::SectionReader& reader, std::string_view key) {
  if (!reader.has(key)) return std::nullopt;
  const std::vector<double> values = reader.quantities(key, base::Dimension::Length, everywhere);
  if (values.size() != 3) {
    reader.complain(
        key,
        fmt::format("has {} values: must be three, [fuselage station, butt line, waterline]. Write for "
                    "example [\"300 mm\", \"-280 mm\", \"20 mm\"].",
                    values.size()));
    return std::nullopt;
  }
  return base::Vec3{values[0], values[1], values[2]};
}

/// Exactly one of a point and a box; a cut needs the box.
shape::NamedOpening read_opening(const base::StudyFile& file,
                                 const base::Variant& variant,
                                 base::Complaints& complaints,
                                 std::string_view section) {
  base::SectionReader reader = file.section(section, variant, complaints);
  shape::NamedOpening opening;
  opening.near_point = read_place(reader, "near");
  const std::optional<base::Vec3> low = read_place(reader, "box_low");
  const std::optional<base::Vec3> high = read_place(reader, "box_high");
  opening.cut_station = reader.optional_quantity("cut_station", base::Dimension::Length, everywhere);
  const bool has_box = reader.has("box_low") || reader.has("box_high");
  if (reader.n_complaints() == 0) {
    if (has_box == opening.near_point.has_value()) {
      reader.complain(
          "",
          "must name the opening's edge either by near = [station, butt line, waterline], a point "
          "near it, or by box_low and box_high, a box that holds it.");
    } else if (has_box && !(low && high)) {
      reader.complain(low ? "box_low" : "box_high", "needs the box's other corner too.");
    } else if (has_box && !(low->x < high->x && low->y < high->y && low->z < high->z)) {
      reader.complain("box_high", "must be greater than box_low in all three values.");
    } else if (has_box) {
      opening.box = shape::Box{*low, *high};
    } else if (opening.cut_station) {
      reader.complain("cut_station",
                      "needs box_low and box_high in place of near, so that only what lies in the box "
                      "is cut off.");
    }
  }
  reader.finish();
  return opening;
}

std::string read_word(base::SectionReader& reader, std::string_view key, std::string_view how) {
  const std::string text = reader.text_or(key, "");
  if (text.empty()) reader.complain(key, fmt::format("is missing: {}", how));
  return text;
}

}  // namespace

std::shared_ptr<const shape::OwnCowl> OwnCowls::fit(const Wanted& wanted, const shape::OwnCowlRoom& room) {
  std::shared_ptr<const shape::Surface>& surface = surfaces_[wanted.surface_key()];
  if (!surface) {
    const Placement placement = read_placement(wanted.unit, wanted.axes, wanted.origin);
    surface = std::make_shared<shape::Surface>(read_surface(wanted.file, placement));
  }
  const auto shown = [](const shape::NamedOpening& o) {
    const auto place = [](const base::Vec3& p) { return fmt::format("{} {} {}", p.x, p.y, p.z); };
    return fmt::format("{}/{}/{}/{}",
                       o.near_point ? place(*o.near_point) : "",
                       o.box ? place(o.box->low) : "",
                       o.box ? place(o.box->high) : "",
                       o.cut_station.value_or(-1.0e9));
  };
  const std::string key = fmt::format("{}|{}|{}|{}",
                                      wanted.surface_key(),
                                      shown(wanted.inlet_left),
                                      shown(wanted.inlet_right),
                                      shown(wanted.exit));
  std::vector<std::shared_ptr<const shape::OwnCowl>>& fits = fits_[key];
  for (const auto& known : fits) {
    if (known->room == room) return known;
  }
  fits.push_back(shape::fit_own_cowl(
      {wanted.file.filename().string(), *surface, wanted.inlet_left, wanted.inlet_right, wanted.exit}, room));
  return fits.back();
}

shape::OwnCowlSource OwnCowls::source(const base::StudyFile& file,
                                      const base::Variant& variant,
                                      base::Complaints& complaints) {
  base::SectionReader reader = file.section("own_cowl", variant, complaints);
  if (!reader.section_present()) {
    for (const std::string_view section : {"own_inlet_left", "own_inlet_right", "own_exit"}) {
      base::SectionReader opening = file.section(section, variant, complaints);
      if (opening.section_present()) {
        opening.complain(
            "", "names an opening of an own cowl, but there is no [own_cowl]. Add it or take this out.");
      }
    }
    return {};
  }
  Wanted wanted;
  wanted.file = std::filesystem::path(file.name()).parent_path() /
                read_word(reader, "file", "name the surface's file, for example \"cowl.stl\".");
  wanted.unit = read_word(reader, "unit", "say in what unit the file's numbers are, for example \"mm\".");
  wanted.axes = read_word(
      reader, "axes", "say which of the file's axes point aft, right and up, for example \"x y z\".");
  wanted.origin = reader.text_or("origin", "0 0 0");
  wanted.inlet_left = read_opening(file, variant, complaints, "own_inlet_left");
  wanted.inlet_right = read_opening(file, variant, complaints, "own_inlet_right");
  wanted.exit = read_opening(file, variant, complaints, "own_exit");
  reader.finish();
  const bool is_sound = complaints.empty();
  return [this, wanted, is_sound, &file, &variant, &complaints](
             const shape::OwnCowlRoom& room) -> std::shared_ptr<const shape::OwnCowl> {
    if (!is_sound) return nullptr;
    base::SectionReader own = file.section("own_cowl", variant, complaints);
    try {
      return fit(wanted, room);
    } catch (const base::InputError& error) {
      own.complain("file", fmt::format(": {}", error.what()));
    } catch (const base::ExternalError& error) {
      own.complain("file", fmt::format(": {}", error.what()));
    }
    return nullptr;
  };
}

}  // namespace cowlwright::imported
