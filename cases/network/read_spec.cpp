// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading [estimate].
#include "cases/network/spec.h"

#include <fmt/format.h>

#include <system_error>

namespace cowlwright::network {

EstimateSpec read_estimate_spec(const base::StudyFile& file,
                                const base::Variant& variant,
                                base::Complaints& complaints) {
  base::SectionReader estimate = file.section("estimate", variant, complaints);
  EstimateSpec spec;
  const std::string name = estimate.text_or("solved_flow", "");
  if (estimate.has("solved_flow")) {
    const std::filesystem::path path = std::filesystem::path(file.name()).parent_path() / name;
    std::error_code ignored;
    if (name.empty() || !std::filesystem::is_regular_file(path, ignored)) {
      estimate.complain("solved_flow",
                        fmt::format("= \"{}\": no such file ({}). Write it with cowlpost from solved cases, "
                                    "mend the path, or take the key out.",
                                    name,
                                    path.string()));
    } else {
      spec.solved_flow = path;
    }
  }
  estimate.finish();
  return spec;
}

}  // namespace cowlwright::network
