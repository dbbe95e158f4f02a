// SPDX-License-Identifier: GPL-3.0-or-later
//
// Running small cases and reading their fields.
#include "tests/support/openfoam.h"

#include "cases/run/log_scan.h"
#include "cases/run/openfoam.h"
#include "cases/run/process.h"
#include "geometry/base/error.h"

#include <fmt/format.h>

#include <filesystem>
#include <sstream>

namespace cowlwright::testing_support {
namespace {

/// The text after `internalField`; values start behind "uniform" or "List<...>".
std::istringstream internal_field(const std::string& text, const std::string& path) {
  const std::size_t at = text.find("internalField");
  if (at == std::string::npos) {
    throw base::ExternalError(
        fmt::format("{}: no internalField. Was the field written, and in ASCII?", path));
  }
  return std::istringstream(text.substr(at + std::string("internalField").size()));
}

char next_bracket(std::istream& stream) {
  char c = ' ';
  while (stream.get(c) && c != '(') {
  }
  return c;
}

/// Reads values with `read_one`, which takes the stream and returns one of them.
template <class ReadOne>
auto values(const std::string& text, const std::string& path, std::size_t n_cells, ReadOne read_one) {
  std::istringstream stream = internal_field(text, path);
  std::string kind;
  stream >> kind;
  using Type = decltype(read_one(stream));
  if (kind == "uniform") {
    return std::vector<Type>(n_cells, read_one(stream));
  }
  std::string list;
  std::size_t n = 0;
  stream >> list >> n;
  next_bracket(stream);
  std::vector<Type> result;
  for (std::size_t i = 0; i < n; ++i) {
    result.push_back(read_one(stream));
  }
  if (!stream) {
    throw base::ExternalError(fmt::format("{}: fewer than {} values. Was it written in ASCII?", path, n));
  }
  return result;
}

}  // namespace

const std::string& why_openfoam_does_not_run() {
  static const std::string reason = [] {
    try {
      run::probe_openfoam(run::openfoam_environment());
      return std::string{};
    } catch (const base::ExternalError& error) {
      return std::string(error.what());
    }
  }();
  return reason;
}

void SolverCase::write(const std::string& path, const foam::Dictionary& content) {
  const std::string object = std::filesystem::path(path).filename().string();
  folder_.write(path, foam::foam_file("dictionary", object, content));
}

void SolverCase::write_field(const std::string& name,
                             const std::string& foam_class,
                             const foam::Dictionary& content) {
  folder_.write("0/" + name, foam::foam_file(foam_class, name, content));
}

void SolverCase::run(const std::vector<std::string>& words) const {
  const run::Command command{.words = words,
                             .directory = folder_.path(),
                             .log = folder_.path() / ("log." + words.front()),
                             .environment = run::openfoam_environment()};
  run::require_success(command, run::run_process(command));
}

std::vector<double> SolverCase::scalars(const std::string& path, std::size_t n_cells) const {
  return values(text(path), path, n_cells, [](std::istream& stream) {
    double value = 0.0;
    stream >> value;
    return value;
  });
}

std::vector<base::Vec3> SolverCase::vectors(const std::string& path, std::size_t n_cells) const {
  return values(text(path), path, n_cells, [](std::istream& stream) {
    base::Vec3 value;
    next_bracket(stream);
    stream >> value.x >> value.y >> value.z;
    stream.ignore(1, ')');
    return value;
  });
}

foam::Dictionary steady_control(const std::string& application, int last) {
  return {{"application", application},
          {"startFrom", "startTime"},
          {"startTime", 0},
          {"stopAt", "endTime"},
          {"endTime", last},
          {"deltaT", 1},
          {"writeControl", "timeStep"},
          {"writeInterval", last},
          {"writeFormat", "ascii"},
          {"writePrecision", 10},
          {"timePrecision", 8},
          {"runTimeModifiable", "no"}};
}

}  // namespace cowlwright::testing_support
