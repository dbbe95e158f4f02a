// SPDX-License-Identifier: GPL-3.0-or-later
//
// Makes the pages that the browser tests open, from an invented engine bay without a solver:
//   make_report_pages DIR     writes DIR/<page>/report.html and results.json; what each page holds stands in
//   tests/browser/support.mjs
#include "geometry/base/text_file.h"
#include "post/quantities/grid_family.h"
#include "post/report/page.h"
#include "post/tables/writers.h"
#include "tests/unit/post/picture_case.h"
#include "tests/unit/post/sample_bay.h"
#include "tests/unit/post/sample_envelope.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <array>
#include <cmath>
#include <numbers>

namespace {

namespace fs = std::filesystem;
using namespace cowlwright;
using namespace cowlwright::post;
using namespace cowlwright::post::synthetic;

constexpr int n_iterations = 400;

/// What makes a variant of the bay.
struct Wish {
  std::vector<base::Setting> settings{};
  double flow = 1.0;     ///< factor of all flows
  double swing = 0.002;  ///< of all monitors, as a share
  double drift = 0.0;    ///< of all monitors over the run, as a share
  std::string level = "draft";
  double cell_size = 0.02;  ///< [m]
  int n_grids = 1;
};

/// Where the bay's planes lie, so that the engine can be drawn.
void place(base::Manifest& manifest) {
  for (base::PlaneRecord& plane : manifest.planes) {
    const double y = plane.side == base::Side::Left ? -0.27 : plane.side == base::Side::Right ? 0.27 : 0.0;
    const double x = plane.role == base::PlaneRole::Inlet  ? 0.25
                     : plane.role == base::PlaneRole::Exit ? 1.3
                                                           : 0.6;
    plane.origin = {x, y, 0.0};
  }
}

void scale_flows(RawResults& raw, double factor) {
  for (PlaneFlux& flux : raw.fluxes) {
    flux.mass_flow *= factor;
    flux.flip_map_flow *= factor;
    flux.absolute_flow *= factor;
  }
  for (PlaneMean& plane : raw.fields.planes) {
    plane.mass_flow *= factor;
  }
}

/// A transient that dies out, a swing and a drift, all of which are nil at the last iteration.
double at_iteration(const Wish& wish, int iteration, double value) {
  const double transient = 0.2 * (std::exp(-iteration / 25.0) - std::exp(-n_iterations / 25.0));
  const double swing = wish.swing * std::sin(2.0 * std::numbers::pi * (n_iterations - iteration) / 20.0);
  const double drift = wish.drift * (n_iterations - iteration) / n_iterations;
  return value * (1.0 + transient + swing + drift);
}

void add_total_pressure(VariantResult& result, const std::string& side, double value) {
  Quantity quantity = empty_quantity("inlet_total_pressure_" + side);
  quantity.value = value;
  result.quantities.push_back(quantity);
}

std::string name_of(const std::vector<base::Setting>& settings) {
  std::string name;
  for (const base::Setting& setting : settings) {
    const std::string key = setting.key.substr(setting.key.find('.') + 1);
    name += fmt::format("{}{}_{}", name.empty() ? "" : "_", key, setting.text);
  }
  std::replace(name.begin(), name.end(), ' ', '_');
  return name.empty() ? "base" : name;
}

VariantResult solved(const Wish& wish, int index) {
  base::Manifest manifest = bay_manifest();
  place(manifest);
  manifest.study = "Exit lip of an invented engine bay";
  manifest.question = "Does a lip at the exit pull more air through the cylinders?";
  manifest.study_file = "bay.toml";
  manifest.study_hash = base::sha256("bay");
  manifest.variant = name_of(wish.settings);
  manifest.settings = wish.settings;
  manifest.is_baseline = index == 0;
  manifest.variant_index = index;
  manifest.grid_level = wish.level;
  manifest.cell_size = wish.cell_size;
  manifest.n_grids = wish.n_grids;
  RawResults raw = bay_results();
  scale_flows(raw, wish.flow);
  add_monitors(raw, manifest, n_iterations, [&wish](const std::string&, int iteration, double value) {
    const double free_stream = value > 1000.0 ? 90000.0 : 0.0;  // pressures swing about it, not about nothing
    return free_stream + at_iteration(wish, iteration, value - free_stream);
  });
  VariantResult result = evaluate(manifest, raw);
  result.case_dir = manifest.variant + "-" + wish.level;
  add_total_pressure(result, "left", 1.12);
  add_total_pressure(result, "right", 1.21);
  result.provenance = {
      .study_text = "[study]\ntitle = \"Exit lip of an invented engine bay\"\n",
      .settings = {{"system/fvSchemes", base::sha256("schemes")}},
      .state = base::CaseState{.finished = {{"snap", 20.0}, {"solve", 97.5}}},
      .solver_end = std::nullopt};
  return result;
}

VariantResult failed(const std::vector<base::Setting>& settings, int index, const std::string& reason) {
  VariantResult result = solved({.settings = settings}, index);
  result.judgement = {Status::Failed, reason};
  result.quantities.clear();
  result.balances.clear();
  result.histories = {};
  return result;
}

std::vector<base::Setting> lip(const std::string& angle) {
  return {{"exit.lip_angle", angle}};
}

std::vector<VariantResult> sweep() {
  std::vector<VariantResult> results;
  for (const auto& [angle, flow] : {std::pair("0 deg", 1.0),
                                    std::pair("15 deg", 1.03),
                                    std::pair("30 deg", 1.06),
                                    std::pair("45 deg", 1.061)}) {
    results.push_back(solved({.settings = lip(angle), .flow = flow}, static_cast<int>(results.size())));
  }
  return results;
}

/// Of second order over grids of ratio 1.5.
std::vector<VariantResult> grids() {
  std::vector<VariantResult> cases;
  for (const auto& [level, h] :
       {std::pair("medium", 1.0), std::pair("coarse", 1.5), std::pair("draft", 2.25)}) {
    for (int i = 0; i < 2; ++i) {
      cases.push_back(solved({.settings = lip(i == 0 ? "0 deg" : "30 deg"),
                              .flow = (i == 0 ? 1.0 : 1.06) - 0.004 * h * h,
                              .level = level,
                              .cell_size = 0.01 * h,
                              .n_grids = 3},
                             i));
    }
  }
  return group_grids(std::move(cases));
}

std::vector<VariantResult> unsettled() {
  std::vector<VariantResult> results{solved({.settings = lip("0 deg"), .drift = 0.2}, 0),
                                     solved({.settings = lip("30 deg"), .flow = 1.06, .drift = 0.2}, 1)};
  results[1].flags.emplace_back("continuity closure +3.00 %: limit 1.00 %");
  return results;
}

std::vector<VariantResult> all_failed() {
  return {failed(lip("0 deg"), 0, "the solver diverged"),
          failed(lip("30 deg"), 1, "no results yet: the solver has not started")};
}

std::vector<VariantResult> many() {
  std::vector<VariantResult> results;
  for (const char* kind : {"shared", "split"}) {
    for (const auto& [angle, flow] : {std::pair("0 deg", 1.0),
                                      std::pair("15 deg", 1.02),
                                      std::pair("30 deg", 1.05),
                                      std::pair("45 deg", 1.07)}) {
      const std::vector<base::Setting> settings{{"exit.lip_angle", angle}, {"plenum.kind", kind}};
      const int index = static_cast<int>(results.size());
      results.push_back(index == 6 ? failed(settings, index, "the mesh has leaked into the solid")
                                   : solved({.settings = settings, .flow = flow}, index));
    }
  }
  return results;
}

void write_page(const fs::path& folder,
                const Comparison& comparison,
                const VariantFigures& figures,
                const std::string& envelope = "") {
  std::vector<VariantFigures> all;
  for (const VariantResult& variant : comparison.variants) {
    all.push_back(variant.has_failed() ? VariantFigures{{}, "the variant has no usable results"} : figures);
  }
  write_summary(comparison, folder);
  if (!envelope.empty()) base::write_text(folder / "envelope.json", envelope);
  base::write_text(folder / "report.html",
                   report_page({.results = results_json(comparison),
                                .variants = comparison.labels,
                                .figures = all,
                                .written = "2001-02-03T04:05:06Z",
                                .envelope = read_envelope(folder)}));
}

/// A study nothing of which is there: no variant at all.
void write_empty_page(const fs::path& folder) {
  auto results = nlohmann::ordered_json::parse(results_json(Comparison(all_failed())));
  results["variants"] = nlohmann::ordered_json::array();
  results["varied"] = nlohmann::ordered_json::array();
  results["answer"]["sentences"] = {"There is no variant."};
  results["answer"]["reasons"] = nlohmann::ordered_json::array();
  results["answer"]["quantities"] = nlohmann::ordered_json::array();
  fs::create_directories(folder);
  base::write_text(folder / json_file_name, results.dump(2));
  base::write_text(
      folder / "report.html",
      report_page(
          {.results = results.dump(2), .variants = {}, .figures = {}, .written = "2001-02-03T04:05:06Z"}));
}

/// Pictures and scene of one case of known fields, for all pages.
VariantFigures draw(const fs::path& folder) {
  write_picture_case(folder / "block");
  std::vector<VariantResult> results{solved({}, 0)};
  results.front().case_dir = folder / "block";
  const VariantFigures figures =
      draw_figures(Comparison(std::move(results)), folder / "pictures", {}).front();
  if (!figures.trouble.empty()) {
    throw std::runtime_error("no pictures: " + figures.trouble);
  }
  return figures;
}

/// The same figures, as if their surfaces had been thinned out within a tolerance [m].
VariantFigures thinned(const VariantFigures& figures, double tolerance, const fs::path& folder) {
  fs::copy(figures.folder, folder, fs::copy_options::recursive);
  auto scene = nlohmann::ordered_json::parse(base::read_text(folder / "scene.json"));
  scene["tolerance"] = tolerance;
  base::write_text(folder / "scene.json", scene.dump());
  return {folder, {}};
}

void make_pages(const fs::path& folder) {
  fs::remove_all(folder);
  const VariantFigures figures = draw(folder);
  write_page(folder / "sweep", Comparison(sweep()), figures, sample_envelope().dump());
  write_page(folder / "grids", Comparison(grids()), figures);
  write_page(folder / "single", Comparison({solved({}, 0)}), thinned(figures, 4.996e-4, folder / "thinned"));
  write_page(folder / "unsettled", Comparison(unsettled()), figures, "{}");
  write_page(folder / "failed", Comparison(all_failed()), figures);
  write_page(folder / "many", Comparison(many()), figures);
  write_empty_page(folder / "empty");
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 2) {
    fmt::print(stderr, "make_report_pages: one argument is needed: the folder to write to\n");
    return 2;
  }
  try {
    make_pages(argv[1]);
    return 0;
  } catch (const std::exception& error) {
    fmt::print(stderr, "make_report_pages: {}\n", error.what());
    return 1;
  }
}
