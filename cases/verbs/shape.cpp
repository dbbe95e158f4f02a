// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `shape`: the surfaces of each variant as files.
#include "cases/verbs/command_line.h"
#include "cases/verbs/study_selection.h"
#include "cases/verbs/verbs.h"
#include "geometry/base/error.h"
#include "geometry/shape/cowl_skin.h"
#include "geometry/shape/installation.h"
#include "meshing/plan.h"

#include <fmt/format.h>

namespace cowlwright::verbs {
namespace {

namespace fs = std::filesystem;

VerbText verb_text() {
  return {.name = "shape",
          .argument = "STUDY",
          .purpose =
              "Writes the surfaces of each variant, in metres, and proves them closed and free of "
              "self-intersections:\n"
              "wetted.stl (one solid per patch) and wetted.vtp, cowl_skin.stl (the outer skin alone, an open "
              "sheet),\n"
              "zones/*.stl (closed volumes), planes/*.stl (measurement planes). They may be replaced by the "
              "next call; no other file in the folder is touched.",
          .examples =
              "  cowlwright shape my-cowl.toml\n"
              "  cowlwright shape my-cowl.toml -o surfaces --variant lip_angle_30_deg\n",
          .takes_output = true,
          .takes_variants = true,
          .default_output = "STUDY's name + \"-shape\", beside it"};
}

void add_propeller(shape::Installation& installation, const VariantSpec& spec) {
  if (!spec.propeller.present) return;
  const meshing::DiskSize disk{spec.propeller.diameter, spec.propeller.hub_diameter};
  const double thickness =
      meshing::plan_mesh(spec.shape, disk, spec.grid.level, spec.grid.domain_size).disk_thickness;
  installation.zones.push_back(shape::propeller_disk(disk.hub_diameter, disk.diameter, thickness));
}

void write_surfaces(const shape::Installation& installation,
                    const shape::Surface& skin,
                    const fs::path& folder) {
  make_folder(folder / "zones");
  make_folder(folder / "planes");
  shape::write_stl(installation.wetted, folder / "wetted.stl");
  shape::write_vtp(installation.wetted, folder / "wetted.vtp");
  shape::write_stl(skin, folder / "cowl_skin.stl");
  for (const shape::Zone& zone : installation.zones) {
    shape::write_stl(zone.surface, folder / "zones" / (zone.record.name + ".stl"));
  }
  for (const shape::MeasurementPlane& plane : installation.planes) {
    shape::write_stl(plane.surface, folder / "planes" / (plane.record.name + ".stl"));
  }
}

}  // namespace

int write_shapes(const Words& words) {
  const std::optional<Request> asked = request_or_help(verb_text(), words);
  if (!asked) return 0;
  const Request& request = *asked;
  const Study study = read_study(request.file);
  const fs::path output = output_folder(request, "shape");
  for (const std::size_t index : selected_variants(study, request.variants)) {
    const VariantSpec& spec = study.variants[index];
    shape::Installation installation = shape::build_installation(spec.shape);
    add_propeller(installation, spec);
    const fs::path folder = output / spec.variant.name;
    write_surfaces(installation, shape::cowl_skin(spec.shape), folder);
    fmt::print("{}  {} triangles in {} patches, {} zones, {} planes; closed, no self-intersection\n",
               (folder / "wetted.stl").string(),
               installation.proof.n_triangles,
               installation.wetted.patch_names.size(),
               installation.zones.size(),
               installation.planes.size());
  }
  return 0;
}

}  // namespace cowlwright::verbs
