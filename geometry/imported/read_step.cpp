// SPDX-License-Identifier: GPL-3.0-or-later
//
// STEP through the program `cowlstep` in a process of its own, with bounded time and memory. What it hands
// back is read by our own reader and trusted no more than any other file.
#include "geometry/base/error.h"
#include "geometry/base/temporary_folder.h"
#include "geometry/base/text_file.h"
#include "geometry/imported/readers.h"
#include "geometry/imported/tokens.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdlib>
#include <utility>

namespace cowlwright::imported {

namespace {

namespace fs = std::filesystem;

constexpr rlim_t most_seconds = 600;                           ///< of processor time
constexpr rlim_t most_bytes = rlim_t{4} * 1024 * 1024 * 1024;  ///< of address space

/// `cowlstep` stands beside the program that runs.
fs::path converter() {
  std::error_code failure;
  const fs::path self = fs::read_symlink("/proc/self/exe", failure);
  const fs::path program = self.parent_path() / "cowlstep";
  if (failure || ::access(program.c_str(), X_OK) != 0) {
    throw base::ExternalError(fmt::format(
        "{}: is missing; it reads STEP files. Build it, or export the surface as STL.", program.string()));
  }
  return program;
}

[[noreturn]] void become(const std::vector<std::string>& words, const fs::path& errors) {
  const int sink = ::open("/dev/null", O_WRONLY);
  const int log = ::open(errors.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
  if (sink < 0 || log < 0) ::_exit(126);
  ::dup2(sink, STDOUT_FILENO);
  ::dup2(log, STDERR_FILENO);
  const rlimit time{most_seconds, most_seconds};
  const rlimit memory{most_bytes, most_bytes};
  const rlimit no_core{0, 0};
  ::setrlimit(RLIMIT_CPU, &time);
  ::setrlimit(RLIMIT_AS, &memory);
  ::setrlimit(RLIMIT_CORE, &no_core);
  std::vector<char*> arguments;
  for (const std::string& word : words) arguments.push_back(const_cast<char*>(word.c_str()));
  arguments.push_back(nullptr);
  ::execv(arguments[0], arguments.data());
  ::_exit(127);
}

int run(const std::vector<std::string>& words, const fs::path& errors) {
  const pid_t child = ::fork();
  if (child < 0) throw base::ExternalError("cowlstep cannot be started. Close other programs.");
  if (child == 0) become(words, errors);
  int status = 0;
  while (::waitpid(child, &status, 0) < 0) {
    if (errno != EINTR) throw base::ExternalError("cowlstep cannot be waited for.");
  }
  return status;
}

[[noreturn]] void refuse(const fs::path& path, int status, const fs::path& errors) {
  std::string reason;
  if (WIFSIGNALED(status)) {
    reason = WTERMSIG(status) == SIGXCPU || WTERMSIG(status) == SIGKILL
                 ? fmt::format("took more than {} s", most_seconds)
                 : fmt::format("broke the geometry library (signal {})", WTERMSIG(status));
  } else if (WEXITSTATUS(status) == 2) {
    const std::string log = base::read_text(errors);
    // The library may have said something before; ours is the last line.
    const std::size_t at = log.rfind("cowlstep: ");
    reason =
        at == std::string::npos ? "could not be read" : log.substr(at + 10, log.find('\n', at) - at - 10);
  } else {
    throw base::ExternalError(fmt::format(
        "cowlstep {}: ended with {}. Is Open CASCADE installed?", path.string(), WEXITSTATUS(status)));
  }
  throw base::InputError(fmt::format(
      "{}: STEP: {}. Export it again, as STEP AP203 or AP214, or as STL.", path.string(), reason));
}

/// Metres per unit named in the converter's first line.
double stated_unit(std::string_view name) {
  constexpr std::array<std::pair<std::string_view, double>, 14> known{{{"millimetre", 1e-3},
                                                                       {"millimeter", 1e-3},
                                                                       {"mm", 1e-3},
                                                                       {"centimetre", 1e-2},
                                                                       {"centimeter", 1e-2},
                                                                       {"cm", 1e-2},
                                                                       {"metre", 1.0},
                                                                       {"meter", 1.0},
                                                                       {"m", 1.0},
                                                                       {"inch", 0.0254},
                                                                       {"in", 0.0254},
                                                                       {"foot", 0.3048},
                                                                       {"feet", 0.3048},
                                                                       {"ft", 0.3048}}};
  for (const auto& [word, length] : known) {
    if (is_word(name, word)) return length;
  }
  return 0.0;
}

}  // namespace

SurfaceFile read_step(const std::filesystem::path& path,
                      const Placement& placement,
                      const ReadOptions& options) {
  const base::TemporaryFolder folder("step");
  const fs::path triangles = folder.path() / "triangles.obj";
  const fs::path errors = folder.path() / "errors";
  const int status = run({converter().string(),
                          path.string(),
                          triangles.string(),
                          fmt::format("{:.9g}", 1e3 * options.step.deflection),
                          fmt::format("{:.9g}", options.step.angle),
                          std::to_string(options.limits.most_triangles)},
                         errors);
  if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) refuse(path, status, errors);

  ByteSource source(triangles);
  Tokens head(source.line());
  (void)head.next();  // "#"
  (void)head.next();  // "unit"
  const std::string unit(head.next());
  const double length = stated_unit(unit);
  if (options.check_step_unit && length != placement.unit) {
    throw base::InputError(fmt::format(
        "{}: STEP: its unit is stated in the file as {} ({} m), --unit as {} m: must agree. Give the file's "
        "unit.",
        path.string(),
        in_quotes(unit),
        length,
        placement.unit));
  }
  SurfaceFile file = read_obj(source, placement, options.limits);
  file.format = "STEP";
  for (const std::string& symbol : file_units()) {
    if (file_unit_length(symbol) == length) file.stated_unit = symbol;
  }
  file.notes.push_back(
      fmt::format("unit stated in the file: {}; curved faces as triangles within {:.3g} mm and {:.3g} rad",
                  unit,
                  1e3 * options.step.deflection,
                  options.step.angle));
  return file;
}

}  // namespace cowlwright::imported
