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

#include <algorithm>
#include <cstdint>
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
  return fmt::format("data:image/{};base64,{}", kind, base64(base::read_text(file)));
}

/// A variant's pictures as the page takes them: bytes in place of file names.
Json pictures_of(const std::string& variant, const VariantFigures& figures) {
  if (!figures.trouble.empty()) {
    return {{"variant", variant},
            {"views", Json::array()},
            {"missing", {{{"id", "all"}, {"title", "All pictures"}, {"reason", figures.trouble}}}},
            {"scene_reason", figures.trouble}};
  }
  const Json record = read_json(figures.folder / "pictures.json");
  Json views = Json::array();
  for (const Json& one : record.at("views")) {
    Json view = one;
    view.erase("file");
    view["src"] = data_url(figures.folder / one.at("file").get<std::string>());
    views.push_back(std::move(view));
  }
  return {{"variant", variant},
          {"views", views},
          {"missing", record.at("missing")},
          {"scene_reason", record.value("scene_reason", Json(nullptr))}};
}

/// Null when the variant has none.
Json scene_of(const std::string& variant, const VariantFigures& figures) {
  if (!figures.trouble.empty()) {
    return nullptr;
  }
  const Json record = read_json(figures.folder / "pictures.json");
  if (!record.at("scene").is_string()) {
    return nullptr;
  }
  fs::path header = figures.folder / record.at("scene").get<std::string>();
  const Json scene = read_json(header);
  return {{"variant", variant},
          {"header", scene},
          {"data", base64(base::read_text(header.replace_extension(".bin")))}};
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

std::string base64(std::string_view bytes) {
  constexpr std::string_view digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string text;
  text.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    const std::size_t n = std::min<std::size_t>(3, bytes.size() - i);
    std::uint32_t group = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      group = group << 8U | (k < n ? static_cast<unsigned char>(bytes[i + k]) : 0U);
    }
    for (std::size_t k = 0; k < 4; ++k) {
      text += k <= n ? digits[group >> (18U - 6U * k) & 63U] : '=';
    }
  }
  return text;
}

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
    pictures.push_back(pictures_of(input.variants[i], input.figures[i]));
    if (Json scene = scene_of(input.variants[i], input.figures[i]); !scene.is_null()) {
      scenes.push_back(std::move(scene));
    }
  }
  FilledTemplate page(page_template());
  page.fill("@COWLWRIGHT_RESULTS@", script_safe(input.results));
  page.fill("@COWLWRIGHT_PICTURES@", script_safe(pictures.dump()));
  page.fill("@COWLWRIGHT_SCENES@", script_safe(scenes.dump()));
  constexpr std::string_view last = "@COWLWRIGHT_PAGE@";
  page.fill(last, page_record(page.size_but_for(last), input.written));
  return std::move(page).text();
}

}  // namespace cowlwright::post
