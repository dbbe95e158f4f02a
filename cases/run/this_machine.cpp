// SPDX-License-Identifier: GPL-3.0-or-later
//
// What this process may use: affinity, the kernel's control groups (both versions), memory, disk.
#include "cases/run/packing.h"

#include <fmt/format.h>
#include <sched.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <limits>
#include <sstream>
#include <string>

namespace cowlwright::run {
namespace {

namespace fs = std::filesystem;

int cores_by_affinity() {
  cpu_set_t set;
  CPU_ZERO(&set);
  return sched_getaffinity(0, sizeof set, &set) == 0 ? CPU_COUNT(&set) : 1;
}

/// COWLWRIGHT_CORES, for whoever shares a machine with others; without bound when it says nothing.
int cores_by_environment() {
  const char* text = std::getenv("COWLWRIGHT_CORES");
  const int cores = text == nullptr ? 0 : std::atoi(text);
  return cores > 0 ? cores : std::numeric_limits<int>::max();
}

/// Memory that is free or can be freed [bytes]; without bound when unknown.
double available_memory(const fs::path& root) {
  std::ifstream file(root / "proc/meminfo");
  for (std::string line; std::getline(file, line);) {
    std::istringstream words(line);
    std::string name;
    double kibibytes = 0.0;
    if (words >> name >> kibibytes && name == "MemAvailable:") return 1024.0 * kibibytes;
  }
  return INFINITY;
}

/// First number of a file; NaN when it has none ("max").
double first_number(const fs::path& path) {
  std::ifstream file(path);
  double number = 0.0;
  return file >> number ? number : NAN;
}

/// Our group's folder of one controller, below sys/fs/cgroup; version 2 has an empty controller name.
fs::path group_folder(const fs::path& root, const std::string& controller) {
  const fs::path base = root / "sys/fs/cgroup" / controller;
  std::ifstream file(root / "proc/self/cgroup");
  for (std::string line; std::getline(file, line);) {  // number:controllers:/path
    const std::size_t first = line.find(':');
    const std::size_t second = line.find(':', first + 1);
    if (first == std::string::npos || second == std::string::npos) continue;
    const std::string names = "," + line.substr(first + 1, second - first - 1) + ",";
    const bool is_ours =
        controller.empty() ? names == ",," : names.find("," + controller + ",") != std::string::npos;
    const fs::path folder = base / line.substr(std::min(line.size(), second + 2));
    if (is_ours && fs::exists(folder)) return folder;
  }
  return base;
}

/// A limit holds for all groups below the one that has it.
template <typename Limit>
double smallest_limit(const fs::path& root, const std::string& controller, const Limit& limit) {
  double smallest = INFINITY;
  const fs::path top = root / "sys/fs/cgroup" / controller;
  for (fs::path folder = group_folder(root, controller);; folder = folder.parent_path()) {
    const double value = limit(folder);
    if (value > 0.0) smallest = std::min(smallest, value);
    if (folder == top || folder == folder.parent_path() || !folder.string().starts_with(top.string())) break;
  }
  return smallest;
}

double core_limit(const fs::path& root) {
  const double second_version = smallest_limit(root, "", [](const fs::path& folder) {
    std::ifstream file(folder / "cpu.max");
    double quota = 0.0;
    double period = 0.0;
    return file >> quota >> period ? quota / period : 0.0;
  });
  const double first_version = smallest_limit(root, "cpu", [](const fs::path& folder) {
    return first_number(folder / "cpu.cfs_quota_us") / first_number(folder / "cpu.cfs_period_us");
  });
  return std::min(first_version, second_version);
}

/// What a group may still take: its limit less what it holds and cannot drop.
double memory_limit(const fs::path& root) {
  const auto left = [](const fs::path& folder, const char* limit, const char* usage, const char* cache) {
    double dropped = 0.0;
    std::ifstream file(folder / "memory.stat");
    std::string name;
    for (double value = 0.0; file >> name >> value;) {
      if (name == cache) dropped = value;
    }
    const double most = first_number(folder / limit);
    const double held = first_number(folder / usage);
    return std::isfinite(held) ? most - held + dropped : most;
  };
  const double second_version = smallest_limit(root, "", [&](const fs::path& folder) {
    return left(folder, "memory.max", "memory.current", "inactive_file");
  });
  const double first_version = smallest_limit(root, "memory", [&](const fs::path& folder) {
    return left(folder, "memory.limit_in_bytes", "memory.usage_in_bytes", "total_inactive_file");
  });
  return std::min(first_version, second_version);
}

double free_disk(fs::path folder) {
  folder = fs::absolute(folder);
  while (!fs::exists(folder) && folder != folder.parent_path()) folder = folder.parent_path();
  std::error_code failure;
  const fs::space_info space = fs::space(folder, failure);
  return failure ? 0.0 : static_cast<double>(space.available);
}

}  // namespace

Machine limited_by_files(Machine machine, const fs::path& root) {
  const double cores = core_limit(root);
  if (cores < machine.cores) machine.cores = std::max(1, static_cast<int>(cores + 1e-6));
  machine.memory = std::min(available_memory(root), memory_limit(root));
  return machine;
}

Machine this_machine(const fs::path& output) {
  const int cores = std::min(cores_by_affinity(), cores_by_environment());
  return limited_by_files({.cores = cores, .disk = free_disk(output)}, "/");
}

}  // namespace cowlwright::run
