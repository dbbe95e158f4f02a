// SPDX-License-Identifier: GPL-3.0-or-later
//
// The list as text and as JSON.
#include "geometry/mold/report.h"

#include "geometry/mold/findings.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>

namespace cowlwright::mold {
namespace {

constexpr const char* caution =
    "These are estimates from facets, not an approval. Limits are common practice, no source; the mold maker "
    "decides.";

nlohmann::json stations(const Vec3& p) {
  return {{"fs_mm", in_mm(p.x)}, {"bl_mm", in_mm(p.y)}, {"wl_mm", in_mm(p.z)}};
}

nlohmann::json finding_json(const Finding& finding) {
  nlohmann::json json{{"key", finding.key},
                      {"title", finding.title},
                      {"verdict", verdict_name(finding.verdict)},
                      {"text", finding.text}};
  if (std::isfinite(finding.value)) json["value"] = finding.value;
  if (!finding.unit.empty()) json["unit"] = finding.unit;
  if (!finding.limit.empty()) json["limit"] = finding.limit;
  json["places"] = nlohmann::json::array();
  for (const Place& place : finding.places) {
    nlohmann::json entry = stations(place.point);
    entry["number"] = place.number;
    entry["text"] = place.text;
    json["places"].push_back(entry);
  }
  return json;
}

/// A text of several lines with the later ones moved in.
std::string indented(const std::string& text, std::size_t width) {
  std::string result;
  for (const char c : text) {
    result += c;
    if (c == '\n') result.append(width, ' ');
  }
  return result;
}

}  // namespace

const char* verdict_name(Verdict verdict) {
  switch (verdict) {
    case Verdict::Info:
      return "info";
    case Verdict::Pass:
      return "pass";
    case Verdict::Warn:
      return "WARN";
    case Verdict::Fail:
      return "FAIL";
  }
  return "";
}

std::string report_text(const MoldReport& report) {
  constexpr std::size_t title_width = 24;
  std::string text;
  for (const Finding& finding : report.findings) {
    text += fmt::format("{:<4}  {:<{}}  {}",
                        verdict_name(finding.verdict),
                        finding.title,
                        title_width,
                        indented(finding.text, title_width + 8));
    if (!finding.limit.empty()) text += fmt::format("  [{}]", finding.limit);
    text += '\n';
    for (const Place& place : finding.places) {
      text += fmt::format("{:>{}}  {}: {}\n",
                          fmt::format("({})", place.number),
                          title_width + 6,
                          place_text(place.point),
                          place.text);
    }
  }
  return text + caution + "\n";
}

std::string report_json(const MoldReport& report, const Sheet& sheet, const Options& options) {
  const Limits& limits = options.limits;
  nlohmann::json json{{"faces", sheet.n_faces()},
                      {"closed", sheet.is_closed},
                      {"side", options.side == MoldSide::Outside ? "outside" : "inside"},
                      {"verdict", verdict_name(report.worst())},
                      {"caution", caution}};
  for (const Vec3& pull : report.pulls) json["pulls"].push_back({pull.x, pull.y, pull.z});
  json["split"] = options.split ? options.split->text : report.pulls.size() > 1 ? "proposed" : "none";
  json["limits"] = {{"source", "common practice, no source"},
                    {"draft_warning_deg", in_degrees(limits.draft_warning)},
                    {"draft_error_deg", in_degrees(limits.draft_error)},
                    {"wall_height_mm", in_mm(limits.wall_height)},
                    {"least_area_mm2", 1e6 * limits.least_area},
                    {"inside_radius_mm", in_mm(limits.inside_radius)},
                    {"outside_radius_mm", in_mm(limits.outside_radius)},
                    {"flange_warning_mm", in_mm(limits.flange_warning)},
                    {"flange_error_mm", in_mm(limits.flange_error)},
                    {"thickness_mm", in_mm(limits.thickness)}};
  for (const Finding& finding : report.findings) json["findings"].push_back(finding_json(finding));
  json["parting_line"] = nlohmann::json::array();
  for (const auto& piece : report.parting.pieces) {
    nlohmann::json line = nlohmann::json::array();
    for (const Vec3& p : piece) line.push_back({in_mm(p.x), in_mm(p.y), in_mm(p.z)});
    json["parting_line"].push_back(line);
  }
  return json.dump(1) + "\n";
}

}  // namespace cowlwright::mold
