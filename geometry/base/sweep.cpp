// SPDX-License-Identifier: GPL-3.0-or-later
//
// The sweep as JSON.
#include "geometry/base/sweep.h"

#include "geometry/base/json_archive.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>

#include <array>
#include <string_view>

namespace cowlwright::base {

namespace {

constexpr std::string_view format_name = "cowlwright sweep";
constexpr int format_version = 1;
constexpr std::string_view remedy = "run `cowlwright run` again, which writes it anew";

}  // namespace

constexpr std::array<EnumName<TaskKind>, 2> task_kind_names{
    {{TaskKind::Mesh, "mesh"}, {TaskKind::Solve, "solve"}}};

constexpr const auto& names_of(TaskKind) {
  return task_kind_names;
}

template <typename Archive>
void fields(Archive& member, Task& r) {
  member("case_folder", r.case_folder);
  member("kind", r.kind);
  member("after", r.after);
  member("ranks", r.ranks);
  member("start_from", r.start_from);
  member("is_done", r.is_done);
  member("reason", r.reason);
  member("expected_cells", r.expected_cells);
  member("expected_seconds", r.expected_seconds);
  member("expected_memory", r.expected_memory);
  member("expected_disk", r.expected_disk);
}

template <typename Archive>
void fields(Archive& member, Sweep& r) {
  member("study", r.study);
  member("study_file", r.study_file);
  member("program_version", r.program_version);
  member("launcher", r.launcher);
  member("cores", r.cores);
  member("tasks", r.tasks);
}

namespace {

[[noreturn]] void refuse(const std::string& where, const std::string& what) {
  throw InputError(
      fmt::format("{}: {}. The file is damaged or from another version; {}.", where, what, remedy));
}

/// What the readers of a sweep rely on beyond the types: an order of the tasks, folders inside the output.
void check(const Sweep& sweep, const std::string& file) {
  if (sweep.cores < 0) refuse(fmt::format("{}: cores = {}", file, sweep.cores), "must be 0 or more");
  for (std::size_t i = 0; i < sweep.tasks.size(); ++i) {
    const Task& task = sweep.tasks[i];
    const std::string where = fmt::format("{}: tasks[{}]", file, i);
    for (const std::size_t before : task.after) {
      if (before >= i)
        refuse(fmt::format("{}.after = {}", where, before), fmt::format("must be below {}", i));
    }
    if (task.ranks < 1) refuse(fmt::format("{}.ranks = {}", where, task.ranks), "must be 1 or more");
    for (const std::string& folder : {task.case_folder, task.start_from}) {
      if (folder.find('/') != std::string::npos || folder == "..") {
        refuse(fmt::format("{}: folder \"{}\"", where, folder), "must be the name of a case folder");
      }
    }
    if (task.case_folder.empty()) refuse(where + ".case_folder", "must not be empty");
  }
}

}  // namespace

std::string task_name(const Task& task) {
  return task.kind == TaskKind::Mesh ? "mesh of " + task.case_folder : task.case_folder;
}

void write_sweep(const Sweep& sweep, const std::filesystem::path& output) {
  Sweep copy = sweep;  // the archives share one signature, which reading needs to be non-const
  Writer writer;
  fields(writer, copy);
  Json object{{"format", format_name}, {"format_version", format_version}, {"units", "s, bytes"}};
  object.update(writer.take());
  write_text(output / sweep_file_name, object.dump(2, ' ', false, Json::error_handler_t::replace) + "\n");
}

std::optional<Sweep> read_sweep(const std::filesystem::path& output) {
  const std::filesystem::path path = output / sweep_file_name;
  if (!std::filesystem::exists(path)) return std::nullopt;
  Json object;
  try {
    object = Json::parse(read_text(path));
  } catch (const Json::parse_error& error) {
    refuse(path.string(), fmt::format("not valid JSON (byte {})", error.byte));
  }
  const Reader reader(object, path.string() + ": ", remedy);
  std::string format;
  int version = 0;
  reader("format", format);
  reader("format_version", version);
  if (format != format_name || version != format_version) {
    refuse(
        path.string(),
        fmt::format(
            "format = \"{}\", version {}: must be \"{}\", {}", format, version, format_name, format_version));
  }
  Sweep sweep;
  fields(reader, sweep);
  check(sweep, path.string());
  return sweep;
}

}  // namespace cowlwright::base
