// SPDX-License-Identifier: GPL-3.0-or-later
//
// What a verification test checked, asserted and recorded in one call, so that the validation page holds
// what the tests computed and nothing else. One check is one quantity compared at one or more points:
//
//   testing_support::ValidationCheck loss({
//       .id = "inlet_loss.flush",  // a literal on this line: the page's list of checks is compared with it
//       .group = "Inlets",
//       .title = "Entrance loss of a round inlet flush in a wall",
//       .source = "Idelchik, Handbook of Hydraulic Resistance, 3rd ed. 1994, diagram 3-4 b",
//       .condition = "axisymmetric wedge, Reynolds number 2e5, 5,200 cells",
//       .unit = "dynamic pressures of the duct",
//       .reason = "10 %: the accuracy the handbook states",
//   });
//   loss.expect_near("r/D 0.00", computed, 0.50, 0.05);
//   loss.expect_between("r/D 0.10", computed, 0.03, 0.20);
//   loss.add_curve({.file = "inlet_loss.flush", .title = "Entrance loss, flush inlet",
//                   .x_axis = "lip radius over diameter r/D [-]", .y_axis = "loss coefficient [-]",
//                   .series = {{.name = "Idelchik 3-4 b", .kind = SeriesKind::Expected, .x = r, .y = table},
//                              {.name = "computed", .kind = SeriesKind::Computed, .x = r, .y = found}}});
//
// The record <id>.json is written when the object ends, to the folder that the environment variable
// COWLWRIGHT_VALIDATION_DIR names; without it the checks only assert. scripts/validation sets it, runs the
// tests and makes the page. Plain assertions stay right for what is no comparison of a number.
#pragma once

#include <source_location>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::testing_support {

/// What all points of one check share. Every text is needed; it stands on the page as it is here.
struct CheckSubject {
  std::string id = {};         ///< unique among all tests: a-z, 0-9, _ and dots; written as a literal
  std::string group = {};      ///< heading of the page
  std::string title = {};      ///< the quantity and where, in one line
  std::string source = {};     ///< citation, or how the exact value follows; say when it is from memory
  std::string condition = {};  ///< grid, Reynolds number, case
  std::string unit = {};       ///< of expected, computed and tolerance; "-" for a ratio
  std::string reason = {};     ///< why the tolerances or bounds are as wide as they are
};

/// How a series is drawn: markers; line; dashed line that the others must not cross.
enum class SeriesKind { Expected, Computed, Limit };

struct Series {
  std::string name;  ///< in the legend: the source or "computed", with what tells it from the others
  SeriesKind kind = SeriesKind::Expected;
  std::vector<double> x, y;        ///< same size, at least one point
  std::vector<double> error = {};  ///< tolerance of each point, drawn as a bar; empty: none
  std::string colour_with = "";    ///< name of another series whose colour this one takes
};

/// What most plots hold: the source's points, with their tolerances where given, and the computed ones.
std::vector<Series> expected_and_computed(const std::string& source,
                                          const std::vector<double>& x,
                                          const std::vector<double>& expected,
                                          const std::vector<double>& computed,
                                          const std::vector<double>& tolerance = {});

/// One plot of the page. Axis titles carry their unit in brackets.
struct Curve {
  std::string file;  ///< name of the plot without its ending: a-z, 0-9, _ and dots; unique among curves
  std::string title;
  std::string x_axis, y_axis;
  std::vector<Series> series;
};

/// Asserts like EXPECT_NEAR, EXPECT_GT, EXPECT_LT at the caller's line, and keeps what it saw. NaN fails.
class ValidationCheck {
 public:
  explicit ValidationCheck(CheckSubject subject,
                           std::source_location where = std::source_location::current());
  /// Writes the record. One without points, or of a test that ended early, is marked unfinished and fails.
  ~ValidationCheck();
  ValidationCheck(const ValidationCheck&) = delete;
  ValidationCheck& operator=(const ValidationCheck&) = delete;

  /// |computed - expected| <= tolerance; tolerance >= 0. Returns whether it holds.
  bool expect_near(std::string_view point,
                   double computed,
                   double expected,
                   double tolerance,
                   std::source_location where = std::source_location::current());
  /// computed < bound.
  bool expect_below(std::string_view point,
                    double computed,
                    double bound,
                    std::source_location where = std::source_location::current());
  /// computed > bound.
  bool expect_above(std::string_view point,
                    double computed,
                    double bound,
                    std::source_location where = std::source_location::current());
  /// low < computed < high.
  bool expect_between(std::string_view point,
                      double computed,
                      double low,
                      double high,
                      std::source_location where = std::source_location::current());
  void add_curve(Curve curve, std::source_location where = std::source_location::current());

 private:
  struct Point {
    std::string name, kind;
    double computed, expected, tolerance;  ///< of "near"
    double low, high;                      ///< of the others; NaN where there is none
    bool pass;
  };
  bool add(Point point, const std::string& rule, std::source_location where);
  void write(bool finished) const;

  CheckSubject subject_;
  std::source_location where_;
  int exceptions_at_start_;
  std::vector<Point> points_;
  std::vector<Curve> curves_;
};

}  // namespace cowlwright::testing_support
