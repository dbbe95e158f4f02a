// SPDX-License-Identifier: GPL-3.0-or-later
//
// Fills the template.
#include "post/report/page.h"

#include "geometry/base/error.h"
#include "geometry/base/text_file.h"
#include "geometry/base/version.h"
#include "post/report/embedded.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <stdexcept>
#include <utility>

namespace cowlwright::post {

namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

Json read_json(const fs::path& file) {
  try {
    return Json::parse(base::read_text(file));
  } catch (const Json::exception& error) {
    throw base::ResultError(fmt::format("{}: {}. Draw the pictures again.", file.string(), error.what()));
  }
}

std::string data_url(const fs::path& file) {
  const std::string kind = file.extension() == ".png" ? "png" : "jpeg";
  return fmt::format("data:image/{};base64,{}", kind, base::base64(base::read_text(file)));
}

/// What the page gets of one variant: bytes in place of file names.
struct VariantMedia {
  Json pictures;
  Json scene;  ///< null: none
};

VariantMedia nothing_of(const std::string& variant, const std::string& trouble) {
  return {{{"variant", variant},
           {"views", Json::array()},
           {"missing", {{{"id", "all"}, {"title", "All pictures"}, {"reason", trouble}}}},
           {"scene_reason", trouble}},
          nullptr};
}

VariantMedia media_of(const std::string& variant, const VariantFigures& figures) {
  if (!figures.trouble.empty()) {
    return nothing_of(variant, figures.trouble);
  }
  const Json record = read_json(figures.folder / "pictures.json");
  Json views = Json::array();
  for (const Json& one : record.at("views")) {
    Json view = one;
    view.erase("file");
    view["src"] = data_url(figures.folder / one.at("file").get<std::string>());
    views.push_back(std::move(view));
  }
  VariantMedia media{{{"variant", variant},
                      {"views", std::move(views)},
                      {"missing", record.at("missing")},
                      {"scene_reason", record.value("scene_reason", Json(nullptr))}},
                     nullptr};
  if (record.at("scene").is_string()) {
    fs::path file = figures.folder / record.at("scene").get<std::string>();
    media.scene = {{"variant", variant}, {"header", read_json(file)}};
    media.scene["data"] = base::base64(base::read_text(file.replace_extension(".bin")));
  }
  return media;
}

/// The page's word on itself; the number of bytes counts itself too.
std::string page_record(std::size_t rest, const std::string& written) {
  const auto record = [&written](std::size_t bytes) {
    return script_safe(Json{
        {"written", written}, {"bytes", bytes}, {"program", std::string("cowlpost ") + base::program_version}}
                           .dump());
  };
  std::size_t bytes = rest;
  while (rest + record(bytes).size() != bytes) {
    bytes = rest + record(bytes).size();
  }
  return record(bytes);
}

/// {"map": null or the file, "trouble": why there is none although there is a file}; nothing without a file.
std::string envelope_record(const EnvelopeFile& file) {
  if (file.text.empty() && file.trouble.empty()) return {};
  const Json map = file.text.empty() ? Json(nullptr) : Json::parse(file.text);
  return script_safe(Json{{"map", map}, {"trouble", file.trouble}}.dump());
}

/// The template with its marks replaced, in the order they stand in.
class FilledTemplate {
 public:
  explicit FilledTemplate(std::string_view text) : rest_(text) {}

  void fill(std::string_view mark, const std::string& text) {
    const std::size_t at = rest_.find(mark);
    if (at == std::string_view::npos) {
      throw std::logic_error(fmt::format("the page's template has no {} in its place", mark));
    }
    done_.append(rest_.substr(0, at)).append(text);
    rest_.remove_prefix(at + mark.size());
  }
  /// Without what is still to be filled.
  std::size_t size_but_for(std::string_view mark) const { return done_.size() + rest_.size() - mark.size(); }
  std::string text() && { return std::move(done_.append(rest_)); }

 private:
  std::string done_;
  std::string_view rest_;
};

}  // namespace

std::string script_safe(std::string json) {
  for (std::size_t at = json.find('<'); at != std::string::npos; at = json.find('<', at)) {
    json.replace(at, 1, "\\u003c");
  }
  return json;
}

std::string report_page(const PageInput& input) {
  Json pictures = Json::array();
  Json scenes = Json::array();
  for (std::size_t i = 0; i < input.variants.size(); ++i) {
    VariantMedia media = media_of(input.variants[i], input.figures[i]);
    pictures.push_back(std::move(media.pictures));
    if (!media.scene.is_null()) {
      scenes.push_back(std::move(media.scene));
    }
  }
  FilledTemplate page(page_template());
  page.fill("@COWLWRIGHT_RESULTS@", script_safe(input.results));
  page.fill("@COWLWRIGHT_ENVELOPE@", envelope_record(input.envelope));
  page.fill("@COWLWRIGHT_PICTURES@", script_safe(pictures.dump()));
  page.fill("@COWLWRIGHT_SCENES@", script_safe(scenes.dump()));
  constexpr std::string_view last = "@COWLWRIGHT_PAGE@";
  page.fill(last, page_record(page.size_but_for(last), input.written));
  return std::move(page).text();
}

}  // namespace cowlwright::post
