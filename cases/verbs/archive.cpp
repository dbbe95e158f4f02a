// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verbs `export` and `verify`: a study in one file, and whether such a file is whole.
#include "cases/keep/archive.h"

#include "cases/keep/tidy.h"
#include "cases/verbs/verbs.h"
#include "cases/verbs/words.h"
#include "geometry/base/error.h"
#include "geometry/base/folder_lock.h"

#include <boost/program_options.hpp>
#include <fmt/format.h>

namespace cowlwright::verbs {
namespace {

namespace fs = std::filesystem;
namespace options = boost::program_options;

constexpr const char* export_purpose =
    "cowlwright export OUT [options]\n\n"
    "Packs a study with its results into one file: OUT is the output folder of `cowlwright run`. Study, "
    "tables,\n"
    "report, and of each case its manifest, logs, monitors, dictionaries and surfaces. The file unpacks into "
    "one\n"
    "folder with the SHA-256 of everything in it (SHA256SUMS). `cowlwright verify` checks it; so do, "
    "anywhere,\n"
    "`tar xf FILE.tar.gz` and, in that folder, `sha256sum -c SHA256SUMS`.\n\n"
    "Logs name the computer and its folders: look before you publish. Files outside of OUT that the study "
    "names\n"
    "are not packed.\n\n";

constexpr const char* export_examples =
    "\nExamples\n"
    "  cowlwright export my-cowl-study\n"
    "  cowlwright export my-cowl-study --fields -o lip-2026.tar.gz\n";

constexpr const char* verify_purpose =
    "cowlwright verify FILE.tar.gz\n\n"
    "Checks a file made by `cowlwright export` without unpacking it and names every file in it that differs, "
    "is\n"
    "missing, or was added. It finds damage, and changes made without also changing the list of hashes; for "
    "the\n"
    "others compare the contents' hash with the one that `export` printed.\n\n";

constexpr const char* verify_examples =
    "\nExamples\n"
    "  cowlwright verify my-cowl-study.tar.gz\n";

options::options_description export_options() {
  options::options_description visible("Options", 100);
  auto add = visible.add_options();
  add("help,h", "print this and end");
  add("output,o",
      options::value<std::string>()->value_name("FILE"),
      "file to write, \".tar.gz\" (default: OUT's name + \".tar.gz\", beside it)");
  add("fields", "also each case's mesh, start fields and last fields; makes it some ten times larger");
  return visible;
}

options::options_description verify_options() {
  options::options_description visible("Options", 100);
  visible.add_options()("help,h", "print this and end");
  return visible;
}

}  // namespace

int export_study(const Words& words) {
  const options::options_description visible = export_options();
  const options::variables_map values = read_words("export", visible, words);
  if (has_told_help(values, export_purpose, visible, export_examples)) return 0;
  const fs::path output = required_file("export", values, "OUT");
  fs::path archive = fs::weakly_canonical(fs::absolute(output));
  if (archive.filename().empty()) archive = archive.parent_path();  // "study/"
  archive += ".tar.gz";
  if (values.count("output") > 0) archive = values["output"].as<std::string>();

  const std::string driver = base::lock_holder(output, base::driver_lock_name);
  const keep::Packed packed = keep::pack_study(output, archive, values.count("fields") > 0);
  fmt::print("{}: {} files, {} packed into {}\ncontents {}\n",
             archive.string(),
             packed.n_files,
             keep::size_text(packed.bytes),
             keep::size_text(packed.archive_bytes),
             packed.sums_hash);
  for (const std::string& name : packed.left_out) fmt::print("left out: {} is a link or no file\n", name);
  if (!driver.empty()) fmt::print("Still at work there: {}. What it brings is not in the file.\n", driver);
  return 0;
}

int verify_archive(const Words& words) {
  const options::options_description visible = verify_options();
  const options::variables_map values = read_words("verify", visible, words);
  if (has_told_help(values, verify_purpose, visible, verify_examples)) return 0;
  const fs::path archive = required_file("verify", values, "FILE");
  const keep::Verified verified = keep::verify_archive(archive);
  if (verified.differences.empty()) {
    fmt::print("{}: {} files, {}, all agree with their hashes\ncontents {}\n",
               archive.string(),
               verified.n_files,
               keep::size_text(verified.bytes),
               verified.sums_hash);
    return 0;
  }
  for (const std::string& difference : verified.differences) fmt::print("{}\n", difference);
  std::fflush(stdout);
  throw base::ResultError(
      fmt::format("{}: {} differences, {} files agree. Get the file again from where it came.",
                  archive.string(),
                  verified.differences.size(),
                  verified.n_files));
}

}  // namespace cowlwright::verbs
