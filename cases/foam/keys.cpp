// SPDX-License-Identifier: GPL-3.0-or-later
//
// Which of a case's files, and which of the study's values, decide which step.
#include "cases/foam/keys.h"

#include "cases/foam/parts.h"
#include "geometry/base/text_file.h"
#include "geometry/base/version.h"
#include "geometry/shape/own_cowl.h"

#include <fmt/format.h>

#include <array>
#include <string_view>

namespace cowlwright::foam {

namespace {

/// Of the program that runs, so that whoever builds a new one gets its files.
const std::string& program_hash() {
  static const std::string hash = base::sha256(base::read_text("/proc/self/exe"));
  return hash;
}

/// Bytes of a user's own surface as it is in our frame.
std::string surface_hash(const shape::OwnCowl& own) {
  const auto bytes = [](const auto& values) {
    return std::string_view(reinterpret_cast<const char*>(values.data()), values.size() * sizeof(values[0]));
  };
  return base::sha256(std::string(bytes(own.skin.points)) + std::string(bytes(own.skin.triangles)));
}

bool is_read_by_mesher(const std::string& path) {
  constexpr std::array dictionaries = std::to_array<std::string_view>({"system/blockMeshDict",
                                                                       "system/surfaceFeatureExtractDict",
                                                                       "system/snappyHexMeshDict",
                                                                       "system/topoSetDict"});
  for (const std::string_view name : dictionaries) {
    if (path == name) return true;
  }
  return path.starts_with("constant/triSurface/");
}

/// Neither what the mesher reads, nor the start field, the ranks, or how long the solver runs.
bool decides_solution(const std::string& path) {
  constexpr std::array others = std::to_array<std::string_view>({"Allrun",
                                                                 "system/controlDict",
                                                                 "system/decomposeParDict",
                                                                 "system/setFieldsDict",
                                                                 "system/mapFieldsDict"});
  for (const std::string_view name : others) {
    if (path == name) return false;
  }
  return !is_read_by_mesher(path);
}

/// controlDict as it is for a run of some fixed length.
std::string control_of_any_length(base::Manifest manifest) {
  manifest.last_iteration = 100;
  return foam_file("dictionary", "controlDict", control(manifest));
}

std::string hash_of_files(const Case& built, bool (*counts)(const std::string&), std::string head) {
  for (const auto& [path, text] : built.files) {
    if (counts(path)) head += path + "\n" + text;
  }
  return base::sha256(head);
}

}  // namespace

std::string source_key(const Study& study, std::size_t variant_index, const CasePlan& plan) {
  const VariantSpec& spec = study.variants.at(variant_index);
  std::string all =
      fmt::format("{}\n{} {}\n", program_hash(), meshing::level_name(plan.level), plan.is_reference);
  constexpr std::array<std::string_view, 1> left_out{"grid.ranks"};
  all += base::StudyFile::parse(study.text, study.file.string()).values_text(spec.variant, left_out);
  if (spec.shape.own) all += surface_hash(*spec.shape.own);
  return base::sha256(all);
}

base::StepKeys step_keys(const Study& study,
                         std::size_t variant_index,
                         const CasePlan& plan,
                         const Case& built) {
  base::StepKeys keys;
  keys.source = source_key(study, variant_index, plan);
  const std::string control_text = control_of_any_length(built.manifest);
  keys.mesh = hash_of_files(built, is_read_by_mesher, built.manifest.openfoam_version + "\n");
  keys.solve = hash_of_files(built, decides_solution, keys.mesh + "\n" + control_text);
  return keys;
}

std::string input_hash(const Case& built) {
  const base::Manifest& manifest = built.manifest;
  std::string all = fmt::format("{}\n{}\n", built.keys.solve, manifest.last_iteration);
  if (manifest.stop_when_held) all += fmt::format("stop {} {}\n", manifest.stop_tolerance, manifest.window);
  return base::sha256(all);
}

}  // namespace cowlwright::foam
