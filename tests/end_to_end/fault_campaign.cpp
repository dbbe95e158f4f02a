// SPDX-License-Identifier: GPL-3.0-or-later
//
// Strikes a running study.
#include "tests/end_to_end/fault_campaign.h"

#include "cases/run/seal.h"
#include "geometry/base/manifest.h"
#include "geometry/base/monitor_history.h"
#include "tests/end_to_end/program_run.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <csignal>
#include <set>
#include <sstream>
#include <string_view>
#include <thread>

namespace cowlwright::testing_support {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

constexpr const char* mark = "COWLWRIGHT_STRUCK_RUN=";

std::size_t draw(std::mt19937& random, std::size_t n) {
  return std::uniform_int_distribution<std::size_t>(0, n - 1)(random);
}

/// Words of /proc/<id>/<file>, which ends each with a zero.
std::vector<std::string> words_of(const fs::path& file) {
  const std::string text = text_of(file);
  std::vector<std::string> words;
  for (std::size_t begin = 0; begin < text.size();) {
    const std::size_t end = std::min(text.find('\0', begin), text.size());
    words.push_back(text.substr(begin, end - begin));
    begin = end + 1;
  }
  return words;
}

Victim role_of(const std::vector<std::string>& words) {
  const bool is_ours = words.size() > 1 && fs::path(words[0]).filename() == "cowlwright";
  if (is_ours && words[1] == "run") return Victim::Driver;
  return is_ours && words[1] == "task" ? Victim::Task : Victim::Solver;
}

void cut_at_random(const fs::path& file, std::mt19937& random) {
  std::error_code error;
  const std::uintmax_t size = fs::file_size(file, error);
  if (!error && size > 1) fs::resize_file(file, draw(random, size));
}

/// Newest iteration with a seal on any number of ranks; -1: none.
int newest_seal(const fs::path& case_dir) {
  int newest = -1;
  for (const run::SealSet& set : run::read_seals(case_dir)) {
    if (!set.seals.empty()) newest = std::max(newest, set.seals.back().iteration);
  }
  return newest;
}

void cut_unsealed_fields(const fs::path& case_dir, std::mt19937& random) {
  const int sealed = newest_seal(case_dir);
  if (sealed < 0) return;  // no start field yet: nothing of it is relied upon
  for (const char* folder : {".", "processor0", "processor1"}) {
    for (const int time : run::iterations_in(case_dir / folder)) {
      if (time <= sealed) continue;
      const std::vector<std::string> files =
          run::files_below(case_dir, fs::path(folder) / std::to_string(time));
      if (!files.empty()) cut_at_random(case_dir / files[draw(random, files.size())], random);
    }
  }
}

/// Rows of a CSV text by their number of cells; quotes may hold commas and line ends.
std::vector<std::size_t> row_widths(const std::string& text) {
  std::vector<std::size_t> widths;
  bool is_quoted = false;
  std::size_t width = 1;
  for (const char c : text) {
    if (c == '"') is_quoted = !is_quoted;
    if (is_quoted) continue;
    if (c == ',') ++width;
    if (c != '\n') continue;
    widths.push_back(width);
    width = 1;
  }
  return widths;
}

std::string csv_fault(const fs::path& file) {
  if (!fs::exists(file)) return {};
  const std::string text = text_of(file);
  const std::vector<std::size_t> widths = row_widths(text);
  if (text.empty() || text.back() != '\n' || widths.size() < 2) return file.string() + " is cut short";
  for (const std::size_t width : widths) {
    if (width != widths.front())
      return fmt::format("{}: a row of {} cells under a head of {}", file.string(), width, widths.front());
  }
  return {};
}

const Json* find_variant(const Json& results, const std::string& name) {
  for (const Json& variant : results["variants"]) {
    if (variant["case"] == name) return &variant;
  }
  return nullptr;
}

}  // namespace

std::string victim_name(Victim victim) {
  constexpr std::array names{"solver", "task", "driver", "everything"};
  return names.at(static_cast<std::size_t>(victim));
}

StruckRun::StruckRun(fs::path folder, std::string study_file, std::vector<std::string> environment)
    : folder_(std::move(folder)), study_file_(std::move(study_file)), environment_(std::move(environment)) {}

void StruckRun::start(const std::vector<std::string>& options, const std::vector<std::string>& extra) {
  run::Command command{.words = {program("cowlwright"), "run", "--tables-only", study_file_},
                       .directory = folder_,
                       .log = folder_ / "driver_output"};
  command.words.insert(command.words.end(), options.begin(), options.end());
  command.environment = {mark + folder_.string()};
  const auto add = [&](const std::string& entry) {
    const std::string name = entry.substr(0, entry.find('=') + 1);
    const auto is_same = [&](const std::string& other) { return other.starts_with(name); };
    if (std::none_of(command.environment.begin(), command.environment.end(), is_same))
      command.environment.push_back(entry);
  };
  for (const std::string& entry : extra) add(entry);
  for (const std::string& entry : environment_) add(entry);
  for (char** entry = environ; *entry != nullptr; ++entry) add(*entry);
  driver_ = std::make_unique<run::Child>(command);
}

std::optional<run::Ending> StruckRun::poll() {
  return driver_->poll();
}

std::string StruckRun::output() const {
  return text_of(folder_ / "driver_output");
}

std::vector<RunProcess> StruckRun::processes() const {
  std::vector<RunProcess> found;
  const std::string wanted = mark + folder_.string();
  for (const fs::directory_entry& entry : fs::directory_iterator("/proc")) {
    const std::string name = entry.path().filename().string();
    pid_t id = 0;
    const auto [end, error] = std::from_chars(name.data(), name.data() + name.size(), id);
    if (error != std::errc() || end != name.data() + name.size()) continue;
    const std::vector<std::string> environment = words_of(entry.path() / "environ");  // a zombie has none
    if (std::find(environment.begin(), environment.end(), wanted) == environment.end()) continue;
    const std::vector<std::string> words = words_of(entry.path() / "cmdline");
    if (!words.empty()) found.push_back({id, role_of(words), run::command_text(words)});
  }
  return found;
}

bool StruckRun::strike(Victim victim, std::mt19937& random) {
  std::vector<RunProcess> targets = processes();
  if (victim != Victim::Everything) {
    std::erase_if(targets, [&](const RunProcess& process) { return process.role != victim; });
    if (targets.empty()) return false;
    targets = {targets[draw(random, targets.size())]};
  }
  // Held first, so that none sees another's end: a power cut comes for all at once.
  for (const int signal : {SIGSTOP, SIGKILL}) {
    for (const RunProcess& process : targets) kill(process.id, signal);
  }
  return !targets.empty();
}

bool StruckRun::wait_until_gone(std::chrono::seconds patience) const {
  const auto deadline = std::chrono::steady_clock::now() + patience;
  while (!processes().empty()) {
    if (std::chrono::steady_clock::now() > deadline) return false;
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
  }
  return true;
}

fs::path StruckRun::output_folder() const {
  return folder_ / (fs::path(study_file_).stem().string() + "-study");
}

void lose_unsynced_bytes(const fs::path& output, std::mt19937& random) {
  for (const fs::directory_entry& entry : fs::directory_iterator(output)) {
    if (!fs::exists(entry.path() / base::manifest_file_name)) continue;
    cut_unsealed_fields(entry.path(), random);
    cut_at_random(entry.path() / "log.solve", random);
    for (const std::string& table : run::files_below(entry.path(), "postProcessing"))
      std::ofstream(entry.path() / table, std::ios::app) << "12  \t3.4";
  }
}

std::string TableWatch::look() {
  if (!fs::exists(output_ / "results.json")) return {};
  const std::string text = text_of(output_ / "results.json");
  if (text == last_results_) return {};
  last_results_ = text;
  ++n_looks_;
  const Json results = Json::parse(text, nullptr, false);
  if (results.is_discarded() || !results.contains("variants")) return "results.json is cut short";
  for (const char* table : {"summary.csv", "summary_tidy.csv"}) {
    std::string fault = csv_fault(output_ / table);
    if (!fault.empty()) return fault;
  }
  for (const Json& variant : results["variants"]) {
    std::string fault = fault_of(variant);
    if (!fault.empty()) return fault;
  }
  return {};
}

std::string TableWatch::fault_of(const Json& variant) const {
  const std::string name = variant["case"];
  if (!variant.contains("fields_iteration") || !variant["fields_iteration"].is_number()) return {};
  if (!before_.is_null()) {
    const Json* before = find_variant(before_, name);
    if (before != nullptr && difference(variant, *before, 0.0).empty()) return {};
  }
  const Json* after = find_variant(after_, name);
  if (after == nullptr) return name + " is no variant of the study";
  const std::string found = difference(variant, *after, share_);
  return found.empty() ? found : name + ": " + found;
}

namespace {

/// Largest value of a variant in a unit: what a small difference of large values is judged by.
double largest_in_unit(const Json& quantities, const Json& unit) {
  double largest = 0.0;
  for (const Json& quantity : quantities) {
    if (quantity["unit"] == unit && quantity["value"].is_number())
      largest = std::max(largest, std::abs(quantity["value"].get<double>()));
  }
  return largest;
}

}  // namespace

std::string difference(const Json& variant, const Json& undisturbed, double share) {
  if (variant["fields_iteration"] != undisturbed["fields_iteration"]) {
    return fmt::format("fields of iteration {}, undisturbed {}",
                       variant["fields_iteration"].dump(),
                       undisturbed["fields_iteration"].dump());
  }
  const Json& all = undisturbed["quantities"];
  if (variant["quantities"].size() != all.size())
    return fmt::format("{} quantities of {}", variant["quantities"].size(), all.size());
  for (std::size_t i = 0; i < all.size(); ++i) {
    const Json& mine = variant["quantities"][i];
    if (mine["id"] != all[i]["id"] || mine["value"].is_number() != all[i]["value"].is_number())
      return fmt::format("{} in place of {}", mine["id"].dump(), all[i]["id"].dump());
    if (!mine["value"].is_number()) continue;
    const double value = mine["value"];
    const double expected = all[i]["value"];
    const double half_band = all[i]["half_band"].is_number() ? all[i]["half_band"].get<double>() : 0.0;
    if (std::isinf(share) && std::isfinite(value)) continue;
    const double allowed = std::max(half_band, share * largest_in_unit(all, all[i]["unit"]));
    if (!(std::abs(value - expected) <= allowed)) {
      return fmt::format("{} = {}, undisturbed {} +- {}", mine["id"].dump(), value, expected, allowed);
    }
  }
  return {};
}

std::string iterations_fault(const fs::path& case_dir, int last) {
  const base::Manifest manifest = base::read_manifest(case_dir);
  for (const base::MonitorRecord& monitor : manifest.monitors) {
    if (monitor.quantity == "y_plus") continue;  // of written iterations only
    std::multiset<double> rows;
    for (const fs::path& table : base::monitor_tables(case_dir, monitor)) {
      const base::History history = base::parse_history(text_of(table), table.string(), monitor.column);
      rows.insert(history.time.begin(), history.time.end());
    }
    for (int i = 1; i <= last; ++i) {
      if (rows.count(i) != 1)
        return fmt::format("{}: iteration {} counts {} times", monitor.function_object, i, rows.count(i));
    }
    if (rows.size() != static_cast<std::size_t>(last))
      return fmt::format("{}: {} rows of {}", monitor.function_object, rows.size(), last);
  }
  return {};
}

}  // namespace cowlwright::testing_support
