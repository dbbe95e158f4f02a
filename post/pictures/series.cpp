// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reads a case once and makes everything from it.
#include "post/pictures/series.h"

#include "geometry/base/error.h"
#include "post/extract/case_layout.h"
#include "post/pictures/air_mesh.h"
#include "post/pictures/field_files.h"
#include "post/pictures/scene_pieces.h"
#include "post/pictures/thin_out.h"

#include <fmt/format.h>
#include <vtkAppendPolyData.h>
#include <vtkDataArray.h>
#include <vtkNew.h>
#include <vtkPointData.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <set>

namespace cowlwright::post {

namespace {

namespace fs = std::filesystem;

constexpr int n_seeds = 24;           // streamlines from each inlet
constexpr double longest_line = 6.0;  // times the cowl's length
// What the scene's pieces may be off by; loosened when the scene becomes too large.
constexpr double surface_tolerance = 0.0005;      // [m]
constexpr double line_tolerance = 0.0015;         // [m]
constexpr double value_tolerance = 0.01;          // of coefficients; of the pictures' temperature range
constexpr std::size_t wished_bytes = 600 * 1000;  // deflated

/// Patches that make one piece of the scene.
struct PatchGroup {
  const char* id;
  const char* title;
  std::vector<std::string> names;
};

std::vector<PatchGroup> patch_groups() {
  return {{"cowl", "Cowl", {"cowl"}},
          {"inlets", "Inlet rings and ducts", {"inlet_left", "inlet_right", "ring_left", "ring_right"}},
          {"exit", "Exit and lip", {"exit_wall", "exit_lip", "side_plate", "strut", "exhaust"}},
          {"engine",
           "Engine and baffles",
           {"baffle", "core_wall", "crankcase", "centre_wall", "oil_cooler_wall", "leak_wall", "alternator"}},
          {"inside", "Inner walls of the cowl and firewall", {"upper_deck", "lower_deck", "firewall"}},
          {"spinner", "Spinner", {"spinner"}},
          {"fuselage", "Fuselage", {"fuselage"}}};
}

Box grown(const Box& box, double by) {
  const base::Vec3 margin{by, by, by};
  return {box.low - margin, box.high + margin};
}

std::vector<std::string> wall_names(const base::Manifest& manifest) {
  std::vector<std::string> names;
  std::transform(
      manifest.patches.begin(), manifest.patches.end(), std::back_inserter(names), [](const auto& patch) {
        return patch.name;
      });
  return names;
}

std::optional<Box> patch_bounds(const VtkCase& vtk_case, const std::string& name) {
  vtkPolyData* patch = vtk_case.patch(name);
  if (patch == nullptr) {
    return std::nullopt;
  }
  std::array<double, 6> bounds{};
  patch->GetBounds(bounds.data());
  return Box{{bounds[0], bounds[2], bounds[4]}, {bounds[1], bounds[3], bounds[5]}};
}

/// Whether there is such a field; one that the case lacks is no number everywhere.
bool has_field(vtkPolyData& data, const std::string& name) {
  vtkDataArray* array = data.GetPointData()->GetArray(name.c_str());
  return array != nullptr && std::isfinite(array->GetComponent(0, 0));
}

/// A view's title without where it is seen from.
std::string scene_title(const View& view) {
  return view.title.substr(0, view.title.find(", from"));
}

/// What is known and made of one case.
class Series {
 public:
  explicit Series(const SeriesRequest& request)
      : request_(request),
        manifest_(base::read_manifest(request.case_dir)),
        layout_(find_results(request.case_dir)),
        names_(wall_names(manifest_)),
        vtk_case_(read_vtk_case(layout_, std::vector<std::string>{"p", "U", "T", "rho"}, names_)),
        like_(request.like.empty() ? manifest_ : base::read_manifest(request.like)),
        scales_(scales_of(manifest_)),
        frame_(frame_of(like_, patch_bounds(vtk_case_, "cowl"))),
        places_(places_of(manifest_)) {
    scales_.temperature_range = temperature_range(like_);
    const double around = 0.35 * frame_.length;
    air_ = make_air_mesh(*vtk_case_.internal_mesh(), manifest_, scales_, grown(frame_.box, around));
    walls_ = wall_surface(vtk_case_, names_, scales_);
    slip_along_walls(*air_, *walls_);
    zones_ = zone_surfaces({base::ZoneRole::Core, base::ZoneRole::Cooler, base::ZoneRole::Leak});
    disk_ = zone_surfaces({base::ZoneRole::PropellerDisk});
    views_ = picture_views(places_, frame_, scales_);
  }

  PictureRecord first_record() const {
    PictureRecord record{
        .case_name = fs::weakly_canonical(fs::absolute(request_.case_dir)).filename().string(),
        .variant = manifest_.variant,
        .iteration = static_cast<int>(std::lround(layout_.time))};
    record.colours =
        "Colours run along curves through CIELAB (CIE 15, sRGB after IEC 61966-2-1) in equal steps of "
        "perceived "
        "difference, with lightness falling or rising all along; the curves are our own.";
    return record;
  }

  void write_scene_files(PictureRecord& record) {
    try {
      PackedScene packed = pack(scene(1.0));
      for (const double looseness : {2.0, 4.0}) {
        if (packed.bytes.size() > wished_bytes) {
          packed = pack(scene(looseness));
        }
      }
      write_scene(packed, request_.output);
      record.scene = scene_header_name;
    } catch (const base::ExternalError&) {
      throw;
    } catch (const std::exception& error) {
      record.scene_reason = fmt::format("The 3-D scene could not be made: {}", error.what());
    }
  }

  void write_field_files() {
    write_surfaces(*walls_, names_, scales_, request_.output / surfaces_file_name);
    write_volume(*vtk_case_.internal_mesh(), manifest_, scales_, request_.output / volume_file_name);
  }

  /// Draws one view; the reason when it cannot be.
  std::string draw(const View& view, const Painter& painter, const std::string& file) {
    if (!view.missing.empty()) {
      return view.missing;
    }
    try {
      const Painting painting = painting_of(view);
      if (painting.coloured == nullptr || painting.coloured->GetNumberOfCells() == 0) {
        return "There is nothing of the mesh in this view.";
      }
      const FieldScale scale = view_scale(view, scales_);
      if (!has_field(*painting.coloured, scale.id)) {
        return fmt::format("The case has no field for the {}.", scale.title);
      }
      painter(view, scale, painting, {label()}, request_.output / file);
      return {};
    } catch (const std::exception& error) {
      return fmt::format("It could not be drawn: {}", error.what());
    }
  }

  const std::vector<View>& views() const { return views_; }
  FieldScale scale_of(const View& view) const { return view_scale(view, scales_); }

 private:
  std::string label() const { return fmt::format("{}, {} grid", manifest_.variant, manifest_.grid_level); }

  /// Outer surfaces of zones with one of these roles.
  PolyData zone_surfaces(const std::set<base::ZoneRole>& roles) const {
    vtkNew<vtkAppendPolyData> all;
    all->AddInputData(vtkSmartPointer<vtkPolyData>::New());
    for (const base::ZoneRecord& zone : manifest_.zones) {
      vtkUnstructuredGrid* cells = roles.count(zone.role) > 0 ? vtk_case_.cell_zone(zone.name) : nullptr;
      if (cells != nullptr) {
        all->AddInputData(zone_surface(*cells));
      }
    }
    all->Update();
    return all->GetOutput();
  }

  vtkPolyData& paths() {
    if (paths_ == nullptr) {
      paths_ = streamlines(*air_, manifest_, n_seeds, longest_line * frame_.length);
    }
    return *paths_;
  }

  /// The walls of some patches, cut off behind the frame.
  PolyData walls_of(const std::vector<std::string>& patches) const {
    std::vector<int> chosen;
    for (std::size_t i = 0; i < names_.size(); ++i) {
      if (std::find(patches.begin(), patches.end(), names_[i]) != patches.end()) {
        chosen.push_back(static_cast<int>(i));
      }
    }
    return clipped(*faces_of(*walls_, chosen), wall_box());
  }

  /// The frame's box, open to the front so that the spinner stays whole.
  Box wall_box() const {
    Box box = frame_.box;
    box.low.x -= frame_.length;
    return box;
  }

  Painting painting_of(const View& view) {
    switch (view.kind) {
      case ViewKind::Surface:
        return surface_painting();
      case ViewKind::Streamlines:
        return {lines_within(paths(), frame_.box),
                walls_of({"cowl",
                          "inlet_left",
                          "inlet_right",
                          "ring_left",
                          "ring_right",
                          "exit_lip",
                          "spinner",
                          "fuselage"}),
                zones_};
      case ViewKind::Slice:
        break;
    }
    vtkNew<vtkAppendPolyData> thin_lines;
    thin_lines->AddInputData(cut_surface(*zones_, view.cuts));
    thin_lines->AddInputData(cut_surface(*disk_, view.cuts));
    thin_lines->Update();
    return {cut_air(*air_, view.cuts), cut_surface(*walls_, view.cuts), thin_lines->GetOutput()};
  }

  Painting surface_painting() const {
    const PolyData walls = clipped(*walls_, wall_box());
    return {walls, sharp_edges(*walls), nullptr};
  }

  void add_surfaces(Scene& scene, double looseness) const {
    for (const PatchGroup& group : patch_groups()) {
      add_thinned(scene,
                  triangle_piece({group.id, group.title, "surface", "cp"}, *walls_of(group.names), scales_),
                  looseness);
    }
  }

  void add_thinned(Scene& scene, const ScenePiece& full, double looseness) const {
    if (full.triangles.empty()) {
      return;
    }
    ThinningLimits limits{.distance = looseness * surface_tolerance, .values = {}};
    for (const ScenePiece::Values& values : full.values) {
      const bool is_temperature = values.names.front().id == "rise";
      limits.values.push_back(looseness * value_tolerance *
                              (is_temperature ? scales_.temperature_range : 1.0));
    }
    scene.pieces.push_back(thinned_out(full, limits));
    scene.tolerance = std::max(scene.tolerance, largest_deviation(full, scene.pieces.back()));
  }

  void add_slices(Scene& scene, double looseness) const {
    for (const View& view : views_) {
      if (view.kind != ViewKind::Slice || view.id == "exit_speed" || !view.missing.empty()) {
        continue;  // the exit's close-up lies in the centre plane
      }
      const PolyData cut = clipped(*cut_air(*air_, view.cuts), frame_.box);
      add_thinned(scene,
                  triangle_piece(
                      {"slice_" + view.id, scene_title(view), "slice", field_scale(view.field, scales_).id},
                      *cut,
                      scales_),
                  looseness);
    }
  }

  Scene scene(double looseness) {
    Scene scene;
    add_surfaces(scene, looseness);
    add_slices(scene, looseness);
    if (places_.inlet_left && places_.inlet_right) {
      ScenePiece piece = line_piece({"streamlines", "Paths of the cooling air", "streamlines", "rise"},
                                    *lines_within(paths(), frame_.box),
                                    scales_,
                                    looseness * line_tolerance);
      if (!piece.lines.empty()) {
        scene.pieces.push_back(std::move(piece));
      }
    }
    return scene;
  }

  const SeriesRequest& request_;
  base::Manifest manifest_;
  CaseLayout layout_;
  std::vector<std::string> names_;
  VtkCase vtk_case_;
  base::Manifest like_;
  Scales scales_;
  Frame frame_;
  Places3d places_;
  vtkSmartPointer<vtkUnstructuredGrid> air_;
  PolyData walls_;
  PolyData zones_;  ///< what resists the air: drawn as thin lines where it is cut
  PolyData disk_;   ///< the propeller's
  PolyData paths_;
  std::vector<View> views_;
};

}  // namespace

PictureRecord make_series(const SeriesRequest& request,
                          const Painter& painter,
                          const std::string& no_painter_reason) {
  Series series(request);
  std::error_code error;
  fs::create_directories(request.output, error);
  PictureRecord record = series.first_record();
  series.write_scene_files(record);
  if (request.files) {
    series.write_field_files();
  }
  const std::vector<View>& views = series.views();
  std::vector<PictureRecord::Missing> failed;
  // What has failed, and every view from `next` on for another reason.
  const auto missing_from = [&](std::size_t next, const std::string& reason) {
    std::vector<PictureRecord::Missing> missing = failed;
    for (std::size_t i = next; i < views.size(); ++i) {
      missing.push_back({views[i].id, views[i].title, reason});
    }
    return missing;
  };
  for (std::size_t i = 0; painter && i < views.size(); ++i) {
    record.missing = missing_from(i, "The program ended before this picture was drawn.");
    write_record(record, request.output);
    const std::string file = views[i].id + ".png";
    const std::string reason = series.draw(views[i], painter, file);
    if (reason.empty()) {
      record.views.push_back({views[i], series.scale_of(views[i]), file});
    } else {
      failed.push_back({views[i].id, views[i].title, reason});
    }
  }
  record.missing = missing_from(painter ? views.size() : 0, no_painter_reason);
  write_record(record, request.output);
  return record;
}

}  // namespace cowlwright::post
