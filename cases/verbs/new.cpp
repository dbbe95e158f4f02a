// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `new`: a starter study with a comment on every key.
#include "cases/starter.h"
#include "cases/verbs/command_line.h"
#include "cases/verbs/verbs.h"
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>

namespace cowlwright::verbs {
namespace {

VerbText verb_text() {
  return {
      .name = "new",
      .argument = "FILE",
      .purpose =
          "Writes a study of an invented cowl with a comment on every key, to be changed into your own. An "
          "existing file is\nleft alone.",
      .examples = "  cowlwright new my-cowl.toml\n"};
}

}  // namespace

int new_study(const Words& words) {
  const std::optional<Request> asked = request_or_help(verb_text(), words);
  if (!asked) return 0;
  const Request& request = *asked;
  if (std::filesystem::exists(request.file)) {
    throw base::InputError(
        fmt::format("{}: is there already and is left alone. Choose another name.", request.file.string()));
  }
  base::write_text(request.file, starter_study_text());
  fmt::print("{} written. Next: put your numbers in, then\n  cowlwright check {}\n",
             request.file.string(),
             request.file.string());
  return 0;
}

}  // namespace cowlwright::verbs
