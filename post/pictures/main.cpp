// SPDX-License-Identifier: GPL-3.0-or-later
//
// cowlpicture: pictures and the 3-D scene of one solved case.
//   xvfb-run -a cowlpicture study/base --output pictures
//   cowlpicture study/base --output pictures --no-render --files
#include "geometry/base/error.h"
#include "geometry/base/version.h"
#include "post/pictures/display.h"
#include "post/pictures/series.h"

#include <boost/program_options.hpp>
#include <fmt/format.h>

#include <cstdio>
#include <optional>
#include <sstream>
#include <string>
#include <vector>

namespace {

namespace options = boost::program_options;
using namespace cowlwright;

constexpr int exit_input_error = 2;
constexpr int exit_external_error = 3;
constexpr int exit_result_error = 4;

constexpr const char* help =
    "cowlpicture CASE --output DIR\n"
    "\n"
    "Draws fixed, comparable pictures of a solved case and packs its 3-D scene: DIR/pictures.json, a PNG a "
    "view,\n"
    "scene.json and scene.bin. A picture that cannot be drawn is listed with its reason. Needs an X display; "
    "without\n"
    "one start it under xvfb-run, or leave the pictures out with --no-render.\n"
    "\n"
    "Examples\n"
    "  xvfb-run -a cowlpicture study/base --output pictures/base\n"
    "  xvfb-run -a cowlpicture study/lip_30 --like study/base --output pictures/lip_30\n"
    "  cowlpicture study/base --output fields --no-render --files\n"
    "\n"
    "Exit codes: 0 done (also when single pictures are missing), 2 wrong use or input, 3 no display or a "
    "file\n"
    "could not be written, 4 the case has no usable results.\n"
    "\n";

struct CommandLine {
  post::SeriesRequest request{};
  bool no_render = false;
  bool is_answered = false;
};

CommandLine read_command_line(const std::vector<std::string>& arguments) {
  std::string case_dir;
  std::string output;
  std::string like;
  options::options_description visible("Options");
  visible.add_options()(
      "output,o", options::value(&output)->value_name("DIR"), "folder for everything; is made")(
      "like",
      options::value(&like)->value_name("CASE"),
      "take cameras and ranges from this case's manifest, so that variants compare")(
      "no-render", "no pictures: the scene and the files only; needs no display")(
      "files", "also surfaces.vtp and volume.vtu, for other programs")("version", "show the version")(
      "help,h", "show this text");
  options::options_description all;
  all.add(visible).add_options()("case", options::value(&case_dir));
  options::positional_options_description positions;
  positions.add("case", 1);
  options::variables_map values;
  options::store(options::command_line_parser(arguments).options(all).positional(positions).run(), values);
  options::notify(values);
  if (values.count("help") != 0) {
    fmt::print("{}{}", help, (std::ostringstream() << visible).str());
    return {.is_answered = true};
  }
  if (values.count("version") != 0) {
    fmt::print("cowlpicture {}\n", base::program_version);
    return {.is_answered = true};
  }
  if (case_dir.empty() || output.empty()) {
    throw base::InputError(
        "no case folder or no --output given. Example: cowlpicture study/base --output pictures");
  }
  return {
      .request = {.case_dir = case_dir, .output = output, .like = like, .files = values.count("files") != 0},
      .no_render = values.count("no-render") != 0};
}

int run(const std::vector<std::string>& arguments) {
  const CommandLine line = read_command_line(arguments);
  if (line.is_answered) {
    return 0;
  }
  if (!line.no_render) {
    const std::string fault = post::display_fault();
    if (!fault.empty()) {
      throw base::ExternalError(fault);
    }
  }
  std::optional<post::Studio> studio;
  post::Painter painter;
  if (!line.no_render) {
    studio.emplace();
    painter = [&studio](const auto&... parts) { studio->paint(parts...); };
  }
  const post::PictureRecord record =
      post::make_series(line.request, painter, "Pictures were left out on demand (--no-render).");
  fmt::print("{}: {} pictures, {} missing{}\n",
             record.case_name,
             record.views.size(),
             record.missing.size(),
             record.scene.empty() ? ", no 3-D scene" : "");
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    return run({argv + 1, argv + argc});
  } catch (const options::error& error) {
    fmt::print(stderr, "cowlpicture: {}. See cowlpicture --help.\n", error.what());
    return exit_input_error;
  } catch (const base::InputError& error) {
    fmt::print(stderr, "cowlpicture: {}\n", error.what());
    return exit_input_error;
  } catch (const base::ExternalError& error) {
    fmt::print(stderr, "cowlpicture: {}\n", error.what());
    return exit_external_error;
  } catch (const base::ResultError& error) {
    fmt::print(stderr, "cowlpicture: {}\n", error.what());
    return exit_result_error;
  } catch (const std::exception& error) {
    fmt::print(stderr, "cowlpicture: internal fault: {}\n", error.what());
    return 1;
  }
}
