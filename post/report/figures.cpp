// SPDX-License-Identifier: GPL-3.0-or-later
//
// Starts cowlpicture for each variant.
#include "post/report/figures.h"

#include "geometry/base/error.h"
#include "geometry/base/sister_program.h"
#include "post/report/children.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <thread>

namespace cowlwright::post {

namespace {

namespace fs = std::filesystem;

constexpr std::chrono::seconds patience{600};

/// The words before the program's own that give it an X display. A virtual one draws the same on every
/// machine, so the user's own is only used where there is no other.
std::vector<std::string> display_words() {
  const char* display = std::getenv("DISPLAY");
  const bool has_display = display != nullptr && *display != '\0';
  if (has_display && !is_there("xvfb-run")) {
    return {};
  }
  return {"xvfb-run", "--auto-servernum", "--server-args=-screen 0 1280x1024x24"};
}

void make_folder(const fs::path& folder) {
  std::error_code error;
  fs::create_directories(folder, error);
  if (error) {
    throw base::ExternalError(fmt::format(
        "{}: folder cannot be made: {}. Choose another one with -o.", folder.string(), error.message()));
  }
}

std::string reason_not_to_draw(const std::vector<std::string>& words) {
  for (const std::string& program : {words.front(), base::sister_program("cowlpicture")}) {
    if (!is_there(program)) {
      return fmt::format("the program {} is not there", program);
    }
  }
  return {};
}

}  // namespace

std::vector<VariantFigures> draw_figures(const Comparison& comparison,
                                         const fs::path& folder,
                                         const FigureOptions& options) {
  std::vector<VariantFigures> figures(comparison.variants.size());
  std::vector<std::string> words = display_words();
  words.push_back(base::sister_program("cowlpicture"));
  const std::string reason = options.draw ? reason_not_to_draw(words) : "pictures were not asked for";
  std::vector<Child> children;
  std::vector<std::size_t> variant_of;
  for (std::size_t i = 0; i < figures.size(); ++i) {
    const VariantResult& variant = comparison.variants[i];
    figures[i].trouble = variant.has_failed() ? "the variant has no usable results" : reason;
    if (!figures[i].trouble.empty()) {
      continue;
    }
    figures[i].folder = folder / fs::weakly_canonical(fs::absolute(variant.case_dir)).filename();
    make_folder(figures[i].folder);
    fs::remove(figures[i].folder / "pictures.json");
    Child child{words, figures[i].folder / "log.pictures"};
    child.words.insert(child.words.end(),
                       {variant.case_dir.string(), "--output", figures[i].folder.string()});
    if (!comparison.is_baseline(i)) {  // the same eye and ranges for all
      child.words.insert(child.words.end(),
                         {"--like", comparison.variants[comparison.baseline].case_dir.string()});
    }
    if (options.other_files) {
      child.words.emplace_back("--files");
    }
    children.push_back(std::move(child));
    variant_of.push_back(i);
  }
  const std::size_t n_cores = std::max(1U, std::thread::hardware_concurrency());
  const std::vector<std::string> failures = run_children(children, n_cores, patience);
  for (std::size_t k = 0; k < failures.size(); ++k) {
    VariantFigures& one = figures[variant_of[k]];
    if (!fs::exists(one.folder / "pictures.json")) {
      one.trouble = failures[k].empty() ? "cowlpicture wrote no pictures.json" : failures[k];
      one.folder.clear();
    }
  }
  return figures;
}

}  // namespace cowlwright::post
