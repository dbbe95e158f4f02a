// SPDX-License-Identifier: GPL-3.0-or-later
//
// Variants asked for, folders written to, and folders left alone.
#include "cases/verbs/study_selection.h"

#include "geometry/base/case_state.h"
#include "geometry/base/error.h"
#include "geometry/base/folder_lock.h"
#include "geometry/base/manifest.h"
#include "geometry/base/text_file.h"
#include "geometry/base/time_folders.h"

#include <fmt/format.h>

#include <algorithm>

namespace cowlwright::verbs {
namespace {

namespace fs = std::filesystem;

/// True when a solver has been at work: a time folder beyond the start, or folders of ranks.
bool has_results(const fs::path& case_dir) {
  for (const fs::directory_entry& entry : fs::directory_iterator(case_dir)) {
    const std::string name = entry.path().filename().string();
    if (name.starts_with("processor") || name == "postProcessing") return true;
    if (base::time_of(name).value_or(0.0) > 0.0) return true;
  }
  return false;
}

}  // namespace

std::vector<std::size_t> selected_variants(const Study& study, const std::vector<std::string>& names) {
  std::vector<bool> is_wanted(study.variants.size(), names.empty());
  for (const std::string& name : names) {
    const auto found = std::find_if(study.variants.begin(),
                                    study.variants.end(),
                                    [&](const VariantSpec& spec) { return spec.variant.name == name; });
    if (found == study.variants.end()) {
      std::string known;
      for (const VariantSpec& spec : study.variants) known += "\n  " + spec.variant.name;
      throw base::InputError(
          fmt::format("--variant {}: {} has no such variant. It has:{}", name, study.file.string(), known));
    }
    is_wanted[static_cast<std::size_t>(found - study.variants.begin())] = true;
  }
  std::vector<std::size_t> indices;
  for (std::size_t i = 0; i < is_wanted.size(); ++i) {
    if (is_wanted[i]) indices.push_back(i);
  }
  return indices;
}

fs::path output_folder(const Request& request, const std::string& suffix) {
  if (request.output) return *request.output;
  return request.file.parent_path() / fmt::format("{}-{}", request.file.stem().string(), suffix);
}

void make_folder(const std::filesystem::path& folder) {
  std::error_code failure;
  std::filesystem::create_directories(folder, failure);
  if (failure)
    throw base::ExternalError(fmt::format("{}: cannot be made ({}).", folder.string(), failure.message()));
}

void keep_study(const Study& study, const fs::path& output) {
  const fs::path copy = output / study.file.filename();
  make_folder(output);
  if (fs::weakly_canonical(copy) != fs::weakly_canonical(study.file)) {
    base::write_text(copy, study.text);
  }
}

void require_replaceable(const fs::path& case_dir, bool fresh) {
  if (!fs::exists(case_dir)) return;
  if (!fs::is_directory(case_dir)) {
    throw base::InputError(
        fmt::format("{}: is a file, but a case folder is to be written there. Move it or use "
                    "another --output.",
                    case_dir.string()));
  }
  if (fs::is_empty(case_dir)) return;
  // A run that was killed while it wrote the case leaves its lock and its state before the manifest.
  const auto has = [&](const char* name) { return fs::exists(case_dir / name); };
  if (!has(base::manifest_file_name) && !has(base::case_state_file_name) && !has(base::case_lock_name)) {
    throw base::InputError(
        fmt::format("{}: is not a case folder of this program (no {}), so it is left alone. Move it "
                    "or use another --output.",
                    case_dir.string(),
                    base::manifest_file_name));
  }
  if (!fresh && !fs::exists(case_dir / base::case_state_file_name) && has_results(case_dir)) {
    throw base::InputError(
        fmt::format("{}: holds results of a run by hand. Use --fresh to replace them, or another "
                    "--output; `cowlpost extract` reads them as they are.",
                    case_dir.string()));
  }
}

}  // namespace cowlwright::verbs
