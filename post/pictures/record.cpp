// SPDX-License-Identifier: GPL-3.0-or-later
//
// pictures.json.
#include "post/pictures/record.h"

#include "geometry/base/text_file.h"

#include <nlohmann/json.hpp>

namespace cowlwright::post {

namespace {

using Json = nlohmann::ordered_json;

Json drawn_json(const PictureRecord::Drawn& drawn) {
  return {{"id", drawn.view.id},
          {"title", drawn.view.title},
          {"caption", drawn.view.caption},
          {"file", drawn.file},
          {"width", picture_width},
          {"height", picture_height},
          {"field", drawn.scale.title},
          {"unit", drawn.scale.unit},
          {"range", {drawn.scale.low, drawn.scale.high}},
          {"step", drawn.scale.step},
          {"alt", drawn.view.alt}};
}

}  // namespace

std::string record_text(const PictureRecord& record) {
  Json json{{"format", "cowlwright pictures"},
            {"version", 1},
            {"case", record.case_name},
            {"variant", record.variant},
            {"iteration", record.iteration},
            {"views", Json::array()},
            {"missing", Json::array()}};
  for (const PictureRecord::Drawn& drawn : record.views) {
    json["views"].push_back(drawn_json(drawn));
  }
  for (const PictureRecord::Missing& missing : record.missing) {
    json["missing"].push_back({{"id", missing.id}, {"title", missing.title}, {"reason", missing.reason}});
  }
  json["scene"] = record.scene.empty() ? Json() : Json(record.scene);
  json["scene_reason"] = record.scene_reason;
  json["colours"] = record.colours;
  return json.dump(1) + "\n";
}

void write_record(const PictureRecord& record, const std::filesystem::path& folder) {
  base::write_text(folder / record_file_name, record_text(record));
}

}  // namespace cowlwright::post
