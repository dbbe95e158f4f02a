// SPDX-License-Identifier: GPL-3.0-or-later
//
// The environment OpenFOAM needs, and a probe that runs it: a program found on PATH still fails when its etc
// folder is not found.
#include "cases/run/openfoam.h"

#include "cases/run/process.h"
#include "geometry/base/error.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>
#include <fmt/std.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <regex>
#include <string_view>

namespace cowlwright::run {
namespace {

/// Project folder of Debian's openfoam package.
constexpr std::string_view packaged_project_dir = "/usr/share/openfoam";

bool names(const std::string& entry, std::string_view name) {
  return entry.size() > name.size() && entry.starts_with(name) && entry[name.size()] == '=';
}

class EnvironmentList {
 public:
  EnvironmentList() {
    for (char** entry = environ; *entry != nullptr; ++entry) entries_.emplace_back(*entry);
  }
  void set(std::string_view name, std::string_view value) {
    std::erase_if(entries_, [&](const std::string& entry) { return names(entry, name); });
    entries_.push_back(fmt::format("{}={}", name, value));
  }
  void set_if_absent(std::string_view name, std::string_view value) {
    for (const std::string& entry : entries_) {
      if (names(entry, name)) return;
    }
    set(name, value);
  }
  std::vector<std::string> take() && { return std::move(entries_); }

 private:
  std::vector<std::string> entries_;
};

/// A log file for one probe, removed afterwards.
class ProbeLog {
 public:
  ProbeLog() {
    std::string name = (std::filesystem::temp_directory_path() / "cowlwright-probe-XXXXXX").string();
    const int file = mkstemp(name.data());
    if (file < 0) throw base::ExternalError(fmt::format("{}: cannot be made. Is the disk full?", name));
    close(file);
    path_ = name;
  }
  ~ProbeLog() {
    std::error_code ignored;  // a left-over empty file in the temporary folder harms nobody
    std::filesystem::remove(path_, ignored);
  }
  ProbeLog(const ProbeLog&) = delete;
  ProbeLog& operator=(const ProbeLog&) = delete;
  const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

std::string find_version(const std::string& text) {
  std::smatch match;
  const std::regex number(R"(Using:\s*OpenFOAM-?\s*\(?([\w.]+))");
  if (!std::regex_search(text, match, number)) return "unknown";
  std::string version = match[1];
  if (std::regex_search(text, match, std::regex(R"(patch=(\d+))")))
    version += fmt::format(" (patch {})", match[1].str());
  return version;
}

}  // namespace

std::vector<std::string> openfoam_environment() {
  EnvironmentList list;
  if (const char* chosen = std::getenv("COWLWRIGHT_OPENFOAM"); chosen != nullptr && *chosen != '\0') {
    list.set("WM_PROJECT_DIR", chosen);
  }
  list.set_if_absent("WM_PROJECT_DIR", packaged_project_dir);
  list.set_if_absent("OMPI_MCA_hwloc_base_binding_policy", "none");
  list.set_if_absent("OMPI_MCA_btl_vader_single_copy_mechanism", "none");
  if (geteuid() == 0) {
    list.set_if_absent("OMPI_ALLOW_RUN_AS_ROOT", "1");
    list.set_if_absent("OMPI_ALLOW_RUN_AS_ROOT_CONFIRM", "1");
  }
  return std::move(list).take();
}

std::string probe_openfoam(const std::vector<std::string>& environment) {
  constexpr std::string_view remedy =
      "Install Debian's package `openfoam` (scripts/bootstrap does), or set COWLWRIGHT_OPENFOAM to the "
      "folder that "
      "holds OpenFOAM's `etc` and put its programs on PATH.";
  const ProbeLog log;
  Ending ending;
  try {
    ending = run_process({.words = {"blockMesh", "-help"}, .log = log.path(), .environment = environment});
  } catch (const base::ExternalError& error) {
    throw base::ExternalError(fmt::format("OpenFOAM does not run: {} {}", error.what(), remedy));
  }
  const std::string text = base::read_text(log.path());
  if (ending.exit_code != 0) {
    throw base::ExternalError(
        fmt::format("OpenFOAM does not run: `blockMesh -help` ended with exit code {}: {}. {}",
                    ending.exit_code,
                    text,
                    remedy));
  }
  return find_version(text);
}

}  // namespace cowlwright::run
