// SPDX-License-Identifier: GPL-3.0-or-later
//
// Dictionaries of the mesh: background block, feature edges, snapped surface, zones and decomposition.
#include "cases/foam/parts.h"

#include <fmt/format.h>

namespace cowlwright::foam {

Dictionary block_mesh(const meshing::MeshPlan& plan) {
  const base::Vec3& a = plan.far_field.low;
  const base::Vec3& b = plan.far_field.high;
  Dictionary dictionary;
  dictionary.set("scale", 1);
  dictionary.set("vertices",
                 list({base::Vec3{a.x, a.y, a.z},
                       base::Vec3{b.x, a.y, a.z},
                       base::Vec3{b.x, b.y, a.z},
                       base::Vec3{a.x, b.y, a.z},
                       base::Vec3{a.x, a.y, b.z},
                       base::Vec3{b.x, a.y, b.z},
                       base::Vec3{b.x, b.y, b.z},
                       base::Vec3{a.x, b.y, b.z}}));
  const Value cells = list({plan.n_cells[0], plan.n_cells[1], plan.n_cells[2]});
  dictionary.set("blocks", fmt::format("(hex (0 1 2 3 4 5 6 7) {} simpleGrading (1 1 1))", cells.text));
  dictionary.set("edges", "()");
  dictionary.sub_list(
      "boundary",
      {{"far_field",
        {{"type", "patch"}, {"faces", "((0 4 7 3) (1 2 6 5) (0 1 5 4) (3 7 6 2) (0 3 2 1) (4 5 6 7))"}}}});
  return dictionary;
}

Dictionary surface_features(const std::string& surface_file) {
  Dictionary dictionary;
  Dictionary& surface = dictionary.sub(surface_file);
  surface.set("extractionMethod", "extractFromSurface");
  // Edges sharper than 30 deg between neighbouring faces, and borders between patches.
  surface.sub("extractFromSurfaceCoeffs", {{"includedAngle", 150}});
  surface.set("writeObj", "no");
  return dictionary;
}

namespace {

Value level_pair(int level) {
  return list({level, level});
}

void add_geometry(Dictionary& snappy, const meshing::MeshPlan& plan) {
  Dictionary& geometry = snappy.sub("geometry");
  Dictionary& wetted = geometry.sub("wetted.stl", {{"type", "triSurfaceMesh"}, {"name", "wetted"}});
  Dictionary& regions = wetted.sub("regions");
  for (const meshing::NamedLevel& patch : plan.patches) {
    regions.sub(patch.name, {{"name", patch.name}});
  }
  for (const meshing::NamedLevel& zone : plan.zones) {
    geometry.sub(zone.name + ".stl", {{"type", "triSurfaceMesh"}, {"name", zone.name}});
  }
  for (const meshing::BoxLevel& box : plan.boxes) {
    geometry.sub(box.name, {{"type", "searchableBox"}, {"min", box.box.low}, {"max", box.box.high}});
  }
}

void add_castellation(Dictionary& snappy, const meshing::MeshPlan& plan) {
  Dictionary& settings = snappy.sub("castellatedMeshControls");
  settings.set("maxLocalCells", 20000000);
  settings.set("maxGlobalCells", 40000000);
  settings.set("minRefinementCells", 0);
  settings.set("maxLoadUnbalance", 0.10);
  settings.set("nCellsBetweenLevels", 2);
  settings.set("features", fmt::format("({{ file \"wetted.eMesh\"; level {}; }})", plan.feature_level));
  Dictionary& surfaces = settings.sub("refinementSurfaces");
  Dictionary& wetted = surfaces.sub("wetted", {{"level", level_pair(2)}});
  wetted.sub("patchInfo", {{"type", "wall"}});
  Dictionary& regions = wetted.sub("regions");
  for (const meshing::NamedLevel& patch : plan.patches) {
    regions.sub(patch.name, {{"level", level_pair(patch.level)}}).sub("patchInfo", {{"type", "wall"}});
  }
  settings.set("resolveFeatureAngle", 30);
  Dictionary& boxes = settings.sub("refinementRegions");
  for (const meshing::BoxLevel& box : plan.boxes) {
    boxes.sub(box.name, {{"mode", "inside"}, {"levels", fmt::format("((1e15 {}))", box.level)}});
  }
  for (const meshing::NamedLevel& zone : plan.zones) {
    boxes.sub(zone.name, {{"mode", "inside"}, {"levels", fmt::format("((1e15 {}))", zone.level)}});
  }
  settings.set("locationInMesh", plan.point_in_air);
  settings.set("allowFreeStandingZoneFaces", "false");
}

void add_quality(Dictionary& snappy) {
  snappy
      .sub("meshQualityControls",
           {{"maxNonOrtho", 65},
            {"maxBoundarySkewness", 4},
            {"maxInternalSkewness", 3.5},
            {"maxConcave", 80},
            {"minVol", 1e-15},
            {"minTetQuality", 1e-15},
            {"minArea", -1},
            {"minTwist", 0.02},
            {"minDeterminant", 0.001},
            {"minFaceWeight", 0.05},
            {"minVolRatio", 0.01},
            {"minTriangleTwist", -1},
            {"nSmoothScale", 4},
            {"errorReduction", 0.75}})
      .sub("relaxed", {{"maxNonOrtho", 70}});
}

}  // namespace

Dictionary snappy(const meshing::MeshPlan& plan) {
  Dictionary dictionary{{"castellatedMesh", "true"}, {"snap", "true"}, {"addLayers", "false"}};
  add_geometry(dictionary, plan);
  add_castellation(dictionary, plan);
  dictionary.sub("snapControls",
                 {{"nSmoothPatch", 3},
                  {"tolerance", 2.0},
                  {"nSolveIter", 50},
                  {"nRelaxIter", 5},
                  {"nFeatureSnapIter", 10},
                  {"implicitFeatureSnap", "false"},
                  {"explicitFeatureSnap", "true"},
                  {"multiRegionFeatureSnap", "false"}});
  dictionary
      .sub("addLayersControls",
           {{"relativeSizes", "true"},
            {"expansionRatio", 1.0},
            {"finalLayerThickness", 0.3},
            {"minThickness", 0.1},
            {"nGrow", 0},
            {"featureAngle", 60},
            {"nRelaxIter", 3},
            {"nSmoothSurfaceNormals", 1},
            {"nSmoothNormals", 3},
            {"nSmoothThickness", 10},
            {"maxFaceThicknessRatio", 0.5},
            {"maxThicknessToMedialRatio", 0.3},
            {"minMedianAxisAngle", 90},
            {"nBufferCellsNoExtrude", 0},
            {"nLayerIter", 50}})
      .sub("layers");
  add_quality(dictionary);
  dictionary.set("mergeTolerance", 1e-6);
  return dictionary;
}

namespace {

using Actions = std::vector<std::pair<std::string, Dictionary>>;

Dictionary set_action(const std::string& name, const char* type, const char* action) {
  return {{"name", name}, {"type", type}, {"action", action}};
}

/// The cells whose centres lie inside a closed surface of constant/triSurface.
Dictionary cells_inside(const std::string& surface) {
  Dictionary cells = set_action(surface, "cellSet", "new");
  cells.set("source", "searchableSurfaceToCell").set("surfaceType", "triSurfaceMesh");
  return cells.set("surfaceName", surface + ".stl");
}

void add_cell_zone(Actions& actions, const std::string& name) {
  actions.emplace_back("", cells_inside(name));
  Dictionary zone = set_action(name, "cellZoneSet", "new");
  zone.set("source", "setToCellZone").set("set", name);
  actions.emplace_back("", std::move(zone));
  actions.emplace_back("", set_action(name, "cellSet", "remove"));
}

/// The faces between the cells before and the cells behind a measurement plane: a closed cut through the
/// passage, whatever snapping did to the cells beside the wall. The plane's rim is in the solid, so every
/// cell of the passage near the plane has its centre in one of the two prisms.
void add_face_zone(Actions& actions, const std::string& name) {
  for (const char* suffix : {"_before", "_behind"}) {
    actions.emplace_back("", cells_inside(name + suffix));
  }
  for (const auto& [suffix, action] : {std::pair{"_before", "new"}, std::pair{"_behind", "subset"}}) {
    Dictionary faces = set_action(name, "faceSet", action);
    faces.set("source", "cellToFace").set("set", name + suffix).set("option", "all");
    actions.emplace_back("", std::move(faces));
  }
  Dictionary zone = set_action(name, "faceZoneSet", "new");
  zone.set("source", "setsToFaceZone").set("faceSet", name).set("cellSet", name + "_before");
  actions.emplace_back("", std::move(zone));
  for (const char* suffix : {"_before", "_behind"}) {
    actions.emplace_back("", set_action(name + suffix, "cellSet", "remove"));
  }
  actions.emplace_back("", set_action(name, "faceSet", "remove"));
}

}  // namespace

Dictionary zones(const shape::Installation& installation) {
  Actions actions;
  for (const shape::Zone& zone : installation.zones) {
    add_cell_zone(actions, zone.record.name);
  }
  for (const shape::MeasurementPlane& plane : installation.planes) {
    add_face_zone(actions, plane.record.name);
  }
  Dictionary dictionary;
  dictionary.sub_list("actions", std::move(actions));
  return dictionary;
}

Dictionary decomposition(int ranks) {
  Dictionary dictionary{{"numberOfSubdomains", ranks}, {"method", "hierarchical"}};
  // Left from right first (equal halves), then along the fuselage.
  const int across = ranks % 2 == 0 ? 2 : 1;
  dictionary.sub("coeffs", {{"n", list({ranks / across, across, 1})}, {"order", "yxz"}});
  return dictionary;
}

}  // namespace cowlwright::foam
