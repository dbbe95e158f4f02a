// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verbs `report` and `schema`: the page of a study with its tables and pictures, and what describes its
// numbers.
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"
#include "post/report/embedded.h"
#include "post/report/page.h"
#include "post/report/paper.h"
#include "post/tables/solved_flow_file.h"
#include "post/tables/writers.h"
#include "post/verbs/given_cases.h"
#include "post/verbs/verbs.h"

#include <boost/program_options.hpp>
#include <fmt/chrono.h>
#include <fmt/format.h>

#include <chrono>
#include <cstdio>
#include <sstream>

namespace cowlwright::post {

namespace {

namespace fs = std::filesystem;
namespace options = boost::program_options;

constexpr const char* help_text =
    "cowlpost report STUDY|CASE... [-o DIR]\n"
    "\n"
    "Reads solved cases as `cowlpost extract` does and writes its tables and one page, report.html: the "
    "answer, plots,\n"
    "pictures and a 3-D view of every variant, all numbers, and where they come from. The page is one file, "
    "opens in\n"
    "any browser without a network and prints; with the browser chromium on the machine it is printed to "
    "report.pdf.\n"
    "Pictures lie in pictures/, a folder for each variant. What could not be drawn is said on the page.\n"
    "\n"
    "Examples\n"
    "  cowlpost report my-cowl-study                  all variants of a study; the page goes into its "
    "folder\n"
    "  cowlpost report study/base study/lip_30 -o out two of them; the page goes to out/\n"
    "  cowlpost report my-cowl-study --files          also surfaces.vtp and volume.vtu of each variant\n"
    "\n"
    "Exit codes: 0 done, 2 wrong use or input, 3 a file could not be written, 4 a case has no usable results "
    "(the page\n"
    "is written and says so).\n"
    "\n";

struct Request {
  Words names;
  std::string folder;
  FigureOptions figures;
  bool wants_pdf = true;
  bool wants_help = false;
};

options::options_description visible_options(Request& request) {
  options::options_description visible("Options");
  visible.add_options()(
      "output,o",
      options::value(&request.folder)->value_name("DIR"),
      "folder for page, tables and pictures; default: the folder that holds the first case")(
      "no-pictures", "draw nothing: the page has plots and tables only")("no-pdf", "print no PDF")(
      "files", "also write surfaces.vtp and volume.vtu of each variant, for other programs")(
      "help,h", "show this text");
  return visible;
}

Request parse(const Words& words) {
  Request request;
  options::options_description all;
  all.add(visible_options(request)).add_options()("case", options::value(&request.names));
  options::positional_options_description positions;
  positions.add("case", -1);
  options::variables_map values;
  options::store(options::command_line_parser(words).options(all).positional(positions).run(), values);
  options::notify(values);
  request.figures = {.draw = values.count("no-pictures") == 0, .other_files = values.count("files") != 0};
  request.wants_pdf = values.count("no-pdf") == 0;
  request.wants_help = values.count("help") != 0;
  return request;
}

std::string now() {
  return fmt::format("{:%Y-%m-%dT%H:%M:%SZ}", fmt::gmtime(std::chrono::system_clock::now()));
}

/// What was not drawn, a line for each variant.
std::string troubles(const Comparison& comparison, const std::vector<VariantFigures>& figures) {
  std::string text;
  for (std::size_t i = 0; i < figures.size(); ++i) {
    if (!figures[i].trouble.empty()) {
      text += fmt::format("No pictures of {}: {}.\n", comparison.labels[i], figures[i].trouble);
    }
  }
  return text;
}

}  // namespace

int report(const Words& words) {
  const Request request = parse(words);
  if (request.wants_help) {
    Request unused;
    fmt::print("{}{}", help_text, (std::ostringstream() << visible_options(unused)).str());
    return 0;
  }
  const std::vector<fs::path> cases = given_cases(request.names, "report");
  const Extraction extraction = extract_cases(cases);
  const Comparison& comparison = extraction.comparison;
  const fs::path output = output_folder(cases, request.folder);
  write_summary(comparison, output);
  fmt::print(
      "{}\n{}{}", screen_table(comparison), written_text(output), write_solved_flow(comparison, output));
  std::fflush(stdout);

  const std::vector<VariantFigures> figures = draw_figures(comparison, output / "pictures", request.figures);
  const fs::path page = output / "report.html";
  const EnvelopeFile envelope = read_envelope(output);
  const std::string text = report_page({.results = base::read_text(output / json_file_name),
                                        .variants = comparison.labels,
                                        .figures = figures,
                                        .written = now(),
                                        .envelope = envelope});
  base::write_text(page, text);
  fmt::print("         {}  ({:.1f} MB)\n", page.string(), static_cast<double>(text.size()) / 1e6);
  if (request.wants_pdf) {
    const std::string trouble = print_pdf(page, output / "report.pdf");
    fmt::print(
        "{}\n",
        trouble.empty() ? "         " + (output / "report.pdf").string() : "No report.pdf: " + trouble + ".");
  }
  fmt::print("{}", troubles(comparison, figures));
  if (!envelope.trouble.empty()) fmt::print("{}.\n", envelope.trouble);
  if (!extraction.failures.empty()) {
    std::fflush(stdout);
    throw base::ResultError(extraction.failures +
                            (extraction.has_results ? "The other rows were written." : "The page says so."));
  }
  return 0;
}

int schema(const Words& words) {
  const std::string word = words.empty() ? "results" : words.front();
  if (word == "results") {
    fmt::print("{}", results_schema());
  } else if (word == "solved_flow") {
    fmt::print("{}", solved_flow_schema());
  } else if (word == "--help") {
    fmt::print(
        "cowlpost schema [results|solved_flow]\n\nPrints the JSON Schema (draft 2020-12) that every "
        "results.json or solved_flow.json keeps to.\n");
  } else {
    throw base::InputError(fmt::format(
        "schema: {}: must be results or solved_flow. Example: cowlpost schema > results.schema.json", word));
  }
  return 0;
}

}  // namespace cowlwright::post
