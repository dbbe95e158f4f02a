// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `moldcheck`: what a mold maker needs to know of a surface.
#include "cases/study.h"
#include "cases/verbs/cost.h"
#include "cases/verbs/moldcheck_options.h"
#include "cases/verbs/study_selection.h"
#include "cases/verbs/verbs.h"
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"
#include "geometry/imported/read_surface.h"
#include "geometry/mold/report.h"
#include "geometry/mold/view.h"
#include "geometry/shape/cowl_skin.h"
#include "geometry/shape/installation.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <numbers>

namespace cowlwright::verbs {
namespace {

namespace fs = std::filesystem;
using shape::Surface;

/// What is to be checked and what stands near it.
struct MoldSubject {
  Surface surface;
  std::vector<mold::NearBody> bodies;
  std::string title;
};

/// The triangles of some patches.
Surface patches_of(const Surface& surface, std::initializer_list<const char*> names) {
  Surface part;
  part.points = surface.points;
  part.patch_names = surface.patch_names;
  for (std::size_t i = 0; i < surface.triangles.size(); ++i) {
    const std::string& name = surface.patch_names[surface.patch[i]];
    if (std::none_of(names.begin(), names.end(), [&](const char* n) { return name == n; })) continue;
    part.triangles.push_back(surface.triangles[i]);
    part.patch.push_back(surface.patch[i]);
  }
  return part;
}

/// How far the blades reach ahead of and behind the propeller plane, both together: the widest station's
/// chord times the sine of its pitch angle at the blades' own setting [m].
double blade_depth(const propeller::PropellerSpec& spec) {
  double depth = 0.0;
  for (const propeller::BladeStation& s : spec.blade.empty() ? propeller::default_blade() : spec.blade) {
    const double angle = std::atan2(s.pitch_ratio, std::numbers::pi * s.radius_ratio);
    depth = std::max(depth, spec.diameter * s.chord_ratio * std::sin(angle));
  }
  return depth;
}

std::vector<mold::NearBody> study_bodies(const VariantSpec& spec, double least, double skin) {
  const Surface wetted = shape::build_installation(spec.shape).wetted;
  std::vector<mold::NearBody> bodies;
  const auto add = [&](const char* name, Surface surface, bool may_touch) {
    if (!surface.triangles.empty()) bodies.push_back({name, std::move(surface), least, skin, may_touch});
  };
  add("engine", patches_of(wetted, {"core_wall", "crankcase", "alternator"}), false);
  add("baffles", patches_of(wetted, {"baffle", "centre_wall", "oil_cooler_wall"}), true);
  add("spinner", patches_of(wetted, {"spinner"}), true);
  if (spec.propeller.present) {
    add("propeller",
        shape::propeller_disk(
            spec.propeller.hub_diameter, spec.propeller.diameter, blade_depth(spec.propeller))
            .surface,
        false);
  }
  return bodies;
}

MoldSubject subject_of_study(const MoldRequest& request) {
  const Study study = read_study(request.file);
  const std::vector<std::string> wanted =
      request.variant.empty() ? std::vector<std::string>{} : std::vector<std::string>{request.variant};
  const VariantSpec& spec = study.variants[selected_variants(study, wanted).front()];
  const double skin = request.skin.value_or(spec.shape.cowl.skin_thickness);
  return {shape::cowl_skin(spec.shape),
          study_bodies(spec, request.options.limits.clearance, skin),
          fmt::format("{}, variant {}", request.file.filename().string(), spec.variant.name)};
}

MoldSubject subject_of_file(const MoldRequest& request) {
  MoldSubject subject{
      imported::read_surface(request.file, *request.placement), {}, request.file.filename().string()};
  for (const fs::path& file : request.near) {
    subject.bodies.push_back({file.filename().string(),
                              imported::read_surface(file, *request.placement),
                              request.options.limits.clearance,
                              request.skin.value_or(0.0),
                              false});
  }
  return subject;
}

}  // namespace

int check_mold(const Words& words) {
  const MoldRequest request = parse_mold_request(words);
  if (request.wants_help) {
    fmt::print("{}", mold_help());
    return 0;
  }
  const auto start = std::chrono::steady_clock::now();
  const MoldSubject subject = request.placement ? subject_of_file(request) : subject_of_study(request);
  const double read_seconds = seconds_since(start);
  const mold::Sheet sheet = mold::make_sheet(subject.surface, request.options.side);
  const mold::MoldReport report = mold::check_mold(sheet, request.options, subject.bodies);
  const double check_seconds = seconds_since(start) - read_seconds;
  make_folder(request.output);
  base::write_text(request.output / "report.json", mold::report_json(report, sheet, request.options));
  mold::write_check_vtp(sheet, report, request.output / "check.vtp");
  mold::write_views(sheet, report, request.options, subject.title, request.output);
  fmt::print("{}\n{}", subject.title, mold::report_text(report));
  fmt::print("{} triangles; read {:.1f} s, checked {:.1f} s, written {:.1f} s; {:.0f} MB at most\n{}\n",
             sheet.n_faces(),
             read_seconds,
             check_seconds,
             seconds_since(start) - read_seconds - check_seconds,
             peak_megabytes(),
             (request.output / "report.json, check.vtp, draft, halves and radii as .png and .svg").string());
  if (report.worst() == mold::Verdict::Fail) {
    throw base::ResultError("cowlwright moldcheck: something fails, see FAIL above.");
  }
  return 0;
}

}  // namespace cowlwright::verbs
