// SPDX-License-Identifier: GPL-3.0-or-later
//
// Fields are changed as raw numbers between their brackets; all else in the files stays as it is.
#include "cases/run/start_field.h"

#include "geometry/base/error.h"
#include "geometry/base/foam_reader.h"
#include "geometry/base/manifest.h"
#include "geometry/base/text_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>
#include <cstring>
#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::run {
namespace {

namespace fs = std::filesystem;

/// A field file and where the numbers of its inside begin.
class BinaryField {
 public:
  BinaryField(fs::path file, std::size_t components)
      : file_(std::move(file)), text_(base::read_text(file_)), components_(components) {
    const std::string_view type = components == 1 ? "List<scalar>" : "List<vector>";
    const std::size_t entry = text_.find("internalField");
    const std::size_t list = entry == std::string::npos ? entry : text_.find(type, entry);
    // Behind the type stand line ends, the count and a bracket.
    if (list == std::string::npos || list > entry + 80 || text_.find("format      binary") > entry) refuse();
    std::size_t at = list + type.size();
    while (at < text_.size() && std::isspace(static_cast<unsigned char>(text_[at])) != 0) ++at;
    const char* const end = text_.data() + text_.size();
    const auto [after, error] = std::from_chars(text_.data() + at, end, n_cells_);
    begin_ = static_cast<std::size_t>(after - text_.data());
    while (begin_ < text_.size() && std::isspace(static_cast<unsigned char>(text_[begin_])) != 0) ++begin_;
    if (error != std::errc() || begin_ >= text_.size() || text_[begin_] != '(') refuse();
    ++begin_;
    if (text_.size() - begin_ < n_cells_ * components_ * sizeof(double)) refuse();
  }

  std::size_t n_cells() const { return n_cells_; }

  /// value -> offset + factor * value, of all components of one cell.
  void change(std::size_t cell, double factor, double offset = 0.0) {
    for (std::size_t i = 0; i < components_; ++i) {
      char* const place = text_.data() + begin_ + (cell * components_ + i) * sizeof(double);
      double value = 0.0;
      std::memcpy(&value, place, sizeof value);
      value = offset + factor * value;
      std::memcpy(place, &value, sizeof value);
    }
  }
  void change_all(double factor, double offset = 0.0) {
    for (std::size_t cell = 0; cell < n_cells_; ++cell) change(cell, factor, offset);
  }
  void write() const { base::write_text(file_, text_); }

 private:
  [[noreturn]] void refuse() const {
    throw base::ResultError(fmt::format(
        "{}: no binary list of cell values inside: the start field cannot be fitted. Start from still air "
        "([grid] start = \"still\").",
        file_.string()));
  }

  fs::path file_;
  std::string text_;
  std::size_t components_ = 1;
  std::size_t n_cells_ = 0;
  std::size_t begin_ = 0;
};

std::map<std::string, std::vector<base::Label>> read_cell_zones(const fs::path& file) {
  std::map<std::string, std::vector<base::Label>> zones;
  base::FoamReader reader = base::FoamReader::open(file);
  reader.integer();
  reader.expect("(");
  while (reader.peek() != ")") {
    std::vector<base::Label>& cells = zones[std::string(reader.next())];
    reader.expect("{");
    while (reader.peek() != "}") {
      if (reader.next() == "cellLabels") {
        cells = reader.labels();
        reader.expect(";");
      } else {
        reader.skip_entry();
      }
    }
    reader.expect("}");
  }
  return zones;
}

std::map<std::string, double> read_start_speeds(const fs::path& file) {
  std::map<std::string, double> speeds;
  base::FoamReader reader = base::FoamReader::open(file);
  for (std::string_view word = reader.next(); !word.empty(); word = reader.next()) {
    if (word != "start_speed") {
      reader.skip_entry();
      continue;
    }
    reader.expect("{");
    while (reader.peek() != "}") {
      const std::string zone(reader.next());
      speeds[zone] = reader.number();
      reader.expect(";");
    }
    reader.expect("}");
  }
  return speeds;
}

/// What the fields are multiplied by, away from the passages.
struct Scales {
  double pressure = 1.0;
  double speed = 1.0;
  double temperature = 1.0;
};

/// What fit_start() knows of a case.
struct Case {
  base::Manifest manifest;
  std::map<std::string, double> speeds;  ///< in the passages between the decks, by zone [m/s]

  explicit Case(const fs::path& directory)
      : manifest(base::read_manifest(directory)),
        speeds(read_start_speeds(directory / "system" / "mapFieldsDict")) {}

  double heat() const {
    double sum = 0.0;
    for (const base::PassageRecord& passage : manifest.passages) sum += passage.heat;
    return sum;
  }

  /// Mass flow between the decks, at the free stream's density [kg/s].
  double flow() const {
    double sum = 0.0;
    for (const base::PassageRecord& passage : manifest.passages) {
      const auto speed = speeds.find(passage.zone);
      if (speed != speeds.end()) sum += passage.area * manifest.flight.density * speed->second;
    }
    return sum;
  }
};

Scales scales_of(const Case& source, const Case& own) {
  const base::FlightRecord& before = source.manifest.flight;
  const base::FlightRecord& after = own.manifest.flight;
  Scales scales;
  scales.pressure = after.reference_pressure / before.reference_pressure;
  scales.speed = std::sqrt(scales.pressure * before.density / after.density);
  const double rise_before = source.heat() / source.flow();
  const double rise_after = own.heat() / own.flow();
  if (rise_before > 0.0 && std::isfinite(rise_before) && rise_after > 0.0 && std::isfinite(rise_after))
    scales.temperature = rise_after / rise_before;
  return scales;
}

/// Start speed over that in the source, by zone; of passages that only one of them has, nothing.
std::map<std::string, double> passage_ratios(const Case& source, const Case& own) {
  std::map<std::string, double> ratios;
  for (const auto& [zone, speed] : own.speeds) {
    const auto other = source.speeds.find(zone);
    if (other != source.speeds.end() && speed > 0.0 && other->second > 0.0)
      ratios[zone] = speed / other->second;
  }
  return ratios;
}

void fit_velocity(const fs::path& case_dir, double speed, const std::map<std::string, double>& ratios) {
  BinaryField field(case_dir / "0" / "U", 3);
  field.change_all(speed);
  const auto zones = read_cell_zones(case_dir / "constant" / "polyMesh" / "cellZones");
  for (const auto& [zone, ratio] : ratios) {
    const auto found = zones.find(zone);
    if (found == zones.end()) continue;
    for (const base::Label cell : found->second) {
      const auto index = static_cast<std::size_t>(cell);
      if (cell < 0 || index >= field.n_cells())
        throw base::ResultError(
            fmt::format("{}: cell {} of zone {} is not in the start field of {} cells. "
                        "Remove the folder and run again.",
                        case_dir.string(),
                        cell,
                        zone,
                        field.n_cells()));
      field.change(index, ratio / speed);
    }
  }
  field.write();
}

}  // namespace

void fit_start(const fs::path& case_dir, const fs::path& source_dir) {
  const Case source(source_dir);
  const Case own(case_dir);
  const Scales scales = scales_of(source, own);
  const std::map<std::string, double> ratios = passage_ratios(source, own);
  const bool is_same_inside =
      std::all_of(ratios.begin(), ratios.end(), [](const auto& entry) { return entry.second == 1.0; });
  if (!is_same_inside || scales.speed != 1.0) fit_velocity(case_dir, scales.speed, ratios);
  const base::FlightRecord& before = source.manifest.flight;
  const base::FlightRecord& after = own.manifest.flight;
  const auto fit = [&](const char* name, double factor, double from = 0.0, double to = 0.0) {
    if (factor == 1.0 && from == to) return;
    BinaryField field(case_dir / "0" / name, 1);
    field.change_all(factor, to - factor * from);
    field.write();
  };
  fit("p", scales.pressure, before.pressure, after.pressure);
  fit("T", scales.temperature, before.temperature, after.temperature);
  fit("k", scales.speed * scales.speed);
  fit("omega", scales.speed);
  fit("nut", scales.speed);
  fit("alphat", scales.speed * after.density / before.density);
}

}  // namespace cowlwright::run
