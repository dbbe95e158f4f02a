// SPDX-License-Identifier: GPL-3.0-or-later
//
// pictures.json: which pictures there are, what they show, and why one is missing.
#pragma once

#include "post/pictures/view.h"

#include <filesystem>
#include <string>
#include <vector>

namespace cowlwright::post {

struct PictureRecord {
  std::string case_name;  ///< the case's folder
  std::string variant;
  int iteration = 0;
  struct Drawn {
    View view;
    FieldScale scale;
    std::string file;
  };
  struct Missing {
    std::string id;
    std::string title;
    std::string reason;  ///< one sentence
  };
  std::vector<Drawn> views{};
  std::vector<Missing> missing{};
  std::string scene{};         ///< file name; empty: none
  std::string scene_reason{};  ///< why there is none
  std::string colours{};       ///< what the colour maps are
};

inline constexpr const char* record_file_name = "pictures.json";

std::string record_text(const PictureRecord& record);

/// @throws ExternalError  when it cannot be written.
void write_record(const PictureRecord& record, const std::filesystem::path& folder);

}  // namespace cowlwright::post
