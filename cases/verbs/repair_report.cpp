// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/verbs/repair_report.h"

#include "geometry/base/version.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>

namespace cowlwright::verbs {
namespace {

using base::Vec3;
using imported::DeviationFigures;
using imported::SurfaceCondition;
using nlohmann::json;

constexpr double mm = 1e3;
/// Rows of a list before it is cut; the JSON has all.
constexpr std::size_t most_rows = 12;

std::string place(const Vec3& p) {
  return fmt::format("FS {:.0f}, BL {:.0f}, WL {:.0f}", mm * p.x, mm * p.y, mm * p.z);
}

std::string number_or_dash(double value, int digits) {
  return std::isfinite(value) ? fmt::format("{:.{}f}", value, digits) : "-";
}

std::string condition_table(const SurfaceCondition& before, const SurfaceCondition& after) {
  std::string text = fmt::format("{:<36} {:>14} {:>14}\n", "", "before", "after");
  const auto row = [&](const char* what, const std::string& a, const std::string& b) {
    text += fmt::format("{:<36} {:>14} {:>14}\n", what, a, b);
  };
  const auto count = [&](const char* what, std::size_t a, std::size_t b) {
    row(what, fmt::format("{}", a), fmt::format("{}", b));
  };
  const auto crossings = [](const SurfaceCondition& c) {
    return c.n_crossings ? fmt::format("{}", *c.n_crossings) : std::string("-");
  };
  count("points", before.n_points, after.n_points);
  count("triangles", before.n_triangles, after.n_triangles);
  count("shells", before.n_shells, after.n_shells);
  count("open edges", before.n_open_edges, after.n_open_edges);
  count("edges with more than two triangles", before.n_crowded_edges, after.n_crowded_edges);
  count("edges whose triangles disagree", before.n_opposed_edges, after.n_opposed_edges);
  row("crossing pairs of triangles", crossings(before), crossings(after));
  row("area [m²]", number_or_dash(before.area, 6), number_or_dash(after.area, 6));
  // The column is counted in bytes: the raised digit takes two.
  row("volume [m³]", number_or_dash(before.volume, 6), number_or_dash(after.volume, 6));
  return text;
}

std::string step_table(const imported::RepairedSurface& repaired) {
  std::string text = fmt::format("\n{:<11} {:>9} {:>13} {:>11} {:>12}  {}\n",
                                 "step",
                                 "count",
                                 "greatest [mm]",
                                 "area [m2]",
                                 "volume [m3]",
                                 "");
  for (const imported::RepairStep& step : repaired.steps) {
    text += fmt::format("{:<11} {:>9} {:>13} {:>11.6f} {:>12}  {}{}\n",
                        step.name,
                        step.count,
                        step.greatest > 0.0 ? fmt::format("{:.4f}", mm * step.greatest) : "-",
                        step.area,
                        number_or_dash(step.volume, 6),
                        step.did,
                        step.note.empty() ? "" : " (" + step.note + ")");
  }
  return text + "Volumes are taken with a flat lid over every hole that is still open.\n";
}

std::string crumb_list(const std::vector<imported::Crumb>& crumbs) {
  if (crumbs.empty()) return "";
  std::string text = fmt::format("\n{} loose pieces left out\n", crumbs.size());
  for (std::size_t i = 0; i < crumbs.size() && i < most_rows; ++i) {
    text += fmt::format("  {} triangles, {:.2f} cm², {:.1f} mm across, at {} mm\n",
                        crumbs[i].n_triangles,
                        1e4 * crumbs[i].area,
                        mm * crumbs[i].extent,
                        place(crumbs[i].centre));
  }
  if (crumbs.size() > most_rows) text += fmt::format("  and {} smaller ones\n", crumbs.size() - most_rows);
  return text;
}

std::string opening_list(const std::vector<imported::Opening>& openings) {
  if (openings.empty()) return "\nNo opening is left: the surface is closed.\n";
  std::string text = fmt::format("\n{} openings stay\n", openings.size());
  for (std::size_t i = 0; i < openings.size() && i < most_rows; ++i) {
    text += fmt::format("  {:.1f} mm across, {:.1f} mm round, {:.1f} cm², at {} mm\n",
                        mm * openings[i].extent,
                        mm * openings[i].perimeter,
                        1e4 * openings[i].area,
                        place(openings[i].centre));
  }
  if (openings.size() > most_rows)
    text += fmt::format("  and {} smaller ones\n", openings.size() - most_rows);
  return text;
}

std::string deviation_row(const std::string& what, const DeviationFigures& d) {
  return fmt::format("{:<34} {:>9.4f} {:>9.4f} {:>9.4f} {:>9.4f} {:>9.4f}\n",
                     what,
                     mm * d.outward,
                     mm * d.inward,
                     mm * d.mean,
                     mm * d.rms,
                     mm * d.percentile_95);
}

std::string deviation_table(const RepairOutcome& outcome) {
  const auto& repaired = outcome.repaired;
  std::string text = fmt::format("\n{:<34} {:>9} {:>9} {:>9} {:>9} {:>9}\n",
                                 "deviation [mm]",
                                 "outward",
                                 "inward",
                                 "mean",
                                 "rms",
                                 "95 %");
  text += deviation_row("repaired, from the original", repaired.deviation.figures);
  text += deviation_row("original, from the repaired", repaired.coverage);
  if (outcome.wrapped) {
    text += deviation_row("wrap, from the repaired", outcome.wrapped->deviation.figures);
    text += deviation_row("repaired, from the wrap", outcome.wrapped->coverage);
  }
  return text + fmt::format("limit {:.4f}; 95 % of the area lies within the last column\n",
                            mm * outcome.settings.tolerance);
}

std::string wrap_text(const imported::WrappedSurface& wrap) {
  std::string text = fmt::format("\nWrap with a ball of {:.2f} mm radius, {:.2f} mm off the surface: ",
                                 mm * wrap.alpha,
                                 mm * wrap.offset);
  if (wrap.kind == imported::WrapKind::Body) {
    return text +
           fmt::format(
               "the body given, larger by the offset all round: {:.6f} m³ from {:.6f} m³, {} triangles.\n",
               wrap.after.volume,
               wrap.before.volume,
               wrap.after.n_triangles);
  }
  return text + fmt::format(
                    "A SHELL, both sides of an open sheet: a thin solid {:.2f} mm thick, {:.6f} m³, {} "
                    "triangles. It is "
                    "not the body the sheet surrounds.\n",
                    mm * wrap.thickness,
                    wrap.after.volume,
                    wrap.after.n_triangles);
}

json to_json(const Vec3& p) {
  return {p.x, p.y, p.z};
}

json to_json(const DeviationFigures& d) {
  return {{"outward", d.outward},
          {"outward_at", to_json(d.outward_at)},
          {"inward", d.inward},
          {"inward_at", to_json(d.inward_at)},
          {"mean", d.mean},
          {"rms", d.rms},
          {"percentile_95", d.percentile_95},
          {"places", d.n}};
}

json to_json(const SurfaceCondition& c) {
  json object{{"points", c.n_points},
              {"triangles", c.n_triangles},
              {"shells", c.n_shells},
              {"open_edges", c.n_open_edges},
              {"crowded_edges", c.n_crowded_edges},
              {"opposed_edges", c.n_opposed_edges},
              {"area", c.area},
              {"closed", c.is_closed()}};
  object["volume"] = std::isfinite(c.volume) ? json(c.volume) : json(nullptr);
  object["crossings"] = c.n_crossings ? json(*c.n_crossings) : json(nullptr);
  return object;
}

json to_json(const imported::WrappedSurface& w) {
  return {{"kind", w.kind == imported::WrapKind::Body ? "body" : "shell"},
          {"ball_radius", w.alpha},
          {"offset", w.offset},
          {"shell_thickness", w.kind == imported::WrapKind::Shell ? json(w.thickness) : json(nullptr)},
          {"before", to_json(w.before)},
          {"after", to_json(w.after)},
          {"deviation", to_json(w.deviation.figures)},
          {"coverage", to_json(w.coverage)}};
}

}  // namespace

std::string report_text(const RepairOutcome& outcome) {
  const auto& repaired = outcome.repaired;
  std::string text = fmt::format("{} ({}), placed in our frame, in metres\n\n", outcome.file, outcome.format);
  text += condition_table(repaired.before, repaired.after);
  text += step_table(repaired);
  text += crumb_list(repaired.crumbs);
  text += opening_list(repaired.openings);
  if (outcome.wrapped) text += wrap_text(*outcome.wrapped);
  text += deviation_table(outcome);
  for (const std::string& fault : repaired.faults) text += fmt::format("Still wrong: {}.\n", fault);
  return text;
}

std::string report_json(const RepairOutcome& outcome, const std::string& refusal) {
  const auto& repaired = outcome.repaired;
  json root{{"program", fmt::format("cowlwright {}", base::program_version)},
            {"file", outcome.file},
            {"format", outcome.format},
            {"units", "m, m2, m3; x aft, y to the pilot's right, z up"},
            {"tolerance", outcome.settings.tolerance},
            {"before", to_json(repaired.before)},
            {"after", to_json(repaired.after)},
            {"deviation", to_json(repaired.deviation.figures)},
            {"coverage", to_json(repaired.coverage)},
            {"faults", repaired.faults},
            {"refused", refusal.empty() ? json(nullptr) : json(refusal)}};
  for (const imported::RepairStep& s : repaired.steps) {
    root["steps"].push_back({{"step", s.name},
                             {"did", s.did},
                             {"count", s.count},
                             {"greatest", s.greatest},
                             {"area", s.area},
                             {"volume", std::isfinite(s.volume) ? json(s.volume) : json(nullptr)},
                             {"note", s.note}});
  }
  root["openings"] = root["crumbs"] = json::array();
  for (const imported::Opening& o : repaired.openings) {
    root["openings"].push_back(
        {{"extent", o.extent}, {"perimeter", o.perimeter}, {"area", o.area}, {"centre", to_json(o.centre)}});
  }
  for (const imported::Crumb& c : repaired.crumbs) {
    root["crumbs"].push_back({{"triangles", c.n_triangles},
                              {"area", c.area},
                              {"extent", c.extent},
                              {"centre", to_json(c.centre)}});
  }
  if (outcome.wrapped) root["wrap"] = to_json(*outcome.wrapped);
  return root.dump(2) + "\n";
}

}  // namespace cowlwright::verbs
