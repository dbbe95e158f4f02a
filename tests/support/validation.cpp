// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/support/validation.h"

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <exception>
#include <filesystem>
#include <fstream>
#include <limits>
#include <utility>

namespace cowlwright::testing_support {
namespace {

using Json = nlohmann::ordered_json;

constexpr double none = std::numeric_limits<double>::quiet_NaN();

void fail(std::source_location where, const std::string& text) {
  ADD_FAILURE_AT(where.file_name(), static_cast<int>(where.line())) << text;
}

bool is_id(const std::string& text) {
  return !text.empty() && std::all_of(text.begin(), text.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_' || c == '.';
  });
}

/// Suite and name of the running test: two tests must not write the same record.
std::string running_test() {
  const testing::TestInfo* info = testing::UnitTest::GetInstance()->current_test_info();
  return info == nullptr ? "" : fmt::format("{}.{}", info->test_suite_name(), info->name());
}

const char* name_of(SeriesKind kind) {
  return kind == SeriesKind::Expected ? "expected" : kind == SeriesKind::Computed ? "computed" : "limit";
}

Json json_of(const Curve& curve) {
  Json series = Json::array();
  for (const Series& one : curve.series) {
    series.push_back({{"name", one.name},
                      {"kind", name_of(one.kind)},
                      {"x", one.x},
                      {"y", one.y},
                      {"error", one.error},
                      {"colour_with", one.colour_with}});
  }
  return {{"file", curve.file},
          {"title", curve.title},
          {"x_axis", curve.x_axis},
          {"y_axis", curve.y_axis},
          {"series", series}};
}

/// What is wrong with a curve; empty when nothing is.
std::string fault_of(const Curve& curve) {
  if (!is_id(curve.file)) return "file must be of a-z, 0-9, _ and dots";
  for (const std::string* axis : {&curve.x_axis, &curve.y_axis}) {
    if (axis->find('[') == std::string::npos) return fmt::format("axis \"{}\" has no [unit]", *axis);
  }
  for (const Series& one : curve.series) {
    const bool has_errors = one.error.empty() || one.error.size() == one.x.size();
    if (one.x.empty() || one.x.size() != one.y.size() || !has_errors) {
      return fmt::format("series \"{}\" has {} x, {} y, {} error: must be as many of each, at least one",
                         one.name,
                         one.x.size(),
                         one.y.size(),
                         one.error.size());
    }
  }
  return curve.series.empty() ? "no series" : "";
}

}  // namespace

std::vector<Series> expected_and_computed(const std::string& source,
                                          const std::vector<double>& x,
                                          const std::vector<double>& expected,
                                          const std::vector<double>& computed,
                                          const std::vector<double>& tolerance) {
  return {{.name = source, .kind = SeriesKind::Expected, .x = x, .y = expected, .error = tolerance},
          {.name = "computed", .kind = SeriesKind::Computed, .x = x, .y = computed}};
}

ValidationCheck::ValidationCheck(CheckSubject subject, std::source_location where)
    : subject_(std::move(subject)), where_(where), exceptions_at_start_(std::uncaught_exceptions()) {
  if (!is_id(subject_.id)) {
    fail(where, fmt::format("check id \"{}\": must be of a-z, 0-9, _ and dots", subject_.id));
  }
  for (const std::string* text : {&subject_.group,
                                  &subject_.title,
                                  &subject_.source,
                                  &subject_.condition,
                                  &subject_.unit,
                                  &subject_.reason}) {
    if (text->empty()) fail(where, fmt::format("check {}: every text of its subject is needed", subject_.id));
  }
}

ValidationCheck::~ValidationCheck() {
  const bool is_broken_off =
      std::uncaught_exceptions() > exceptions_at_start_ || testing::Test::HasFatalFailure();
  if (points_.empty() && !is_broken_off) {
    fail(where_, fmt::format("check {}: compared nothing", subject_.id));
  }
  write(!points_.empty() && !is_broken_off);
}

bool ValidationCheck::expect_near(
    std::string_view point, double computed, double expected, double tolerance, std::source_location where) {
  const bool pass = std::abs(computed - expected) <= tolerance;
  return add({std::string(point), "near", computed, expected, tolerance, none, none, pass},
             fmt::format("{} +- {}", expected, tolerance),
             where);
}

bool ValidationCheck::expect_below(std::string_view point,
                                   double computed,
                                   double bound,
                                   std::source_location where) {
  return add({std::string(point), "below", computed, none, none, none, bound, computed < bound},
             fmt::format("less than {}", bound),
             where);
}

bool ValidationCheck::expect_above(std::string_view point,
                                   double computed,
                                   double bound,
                                   std::source_location where) {
  return add({std::string(point), "above", computed, none, none, bound, none, computed > bound},
             fmt::format("more than {}", bound),
             where);
}

bool ValidationCheck::expect_between(
    std::string_view point, double computed, double low, double high, std::source_location where) {
  const bool pass = computed > low && computed < high;
  return add({std::string(point), "between", computed, none, none, low, high, pass},
             fmt::format("between {} and {}", low, high),
             where);
}

void ValidationCheck::add_curve(Curve curve, std::source_location where) {
  if (const std::string fault = fault_of(curve); !fault.empty()) {
    fail(where, fmt::format("curve {}: {}", curve.file, fault));
    return;
  }
  curves_.push_back(std::move(curve));
}

bool ValidationCheck::add(Point point, const std::string& rule, std::source_location where) {
  const bool pass = point.pass;
  if (!pass) {
    fail(where,
         fmt::format("check {} ({}), {}: computed {} {}: must be {}",
                     subject_.id,
                     subject_.title,
                     point.name,
                     point.computed,
                     subject_.unit,
                     rule));
  }
  points_.push_back(std::move(point));
  return pass;
}

void ValidationCheck::write(bool finished) const {
  const char* folder = std::getenv("COWLWRIGHT_VALIDATION_DIR");
  if (folder == nullptr || *folder == '\0' || !is_id(subject_.id)) return;
  Json points = Json::array();
  for (const Point& point : points_) {
    points.push_back({{"point", point.name},
                      {"kind", point.kind},
                      {"computed", point.computed},
                      {"expected", point.expected},
                      {"tolerance", point.tolerance},
                      {"low", point.low},
                      {"high", point.high},
                      {"pass", point.pass}});
  }
  Json curves = Json::array();
  for (const Curve& curve : curves_) curves.push_back(json_of(curve));
  const Json record{{"id", subject_.id},
                    {"group", subject_.group},
                    {"title", subject_.title},
                    {"source", subject_.source},
                    {"condition", subject_.condition},
                    {"unit", subject_.unit},
                    {"reason", subject_.reason},
                    {"test", running_test()},
                    {"version", COWLWRIGHT_VERSION},
                    {"finished", finished},
                    {"points", points},
                    {"curves", curves}};
  const std::filesystem::path path = std::filesystem::path(folder) / (subject_.id + ".json");
  if (std::ifstream old(path); old) {
    const Json before = Json::parse(old, nullptr, false);
    if (before.is_object() && before.value("test", "") != record.at("test")) {
      fail(where_,
           fmt::format("check id {}: used by another test too, {}", subject_.id, before.value("test", "")));
      return;
    }
  }
  std::ofstream file(path);
  file << record.dump(1) << '\n';
  if (!file.flush()) fail(where_, fmt::format("{}: cannot be written", path.string()));
}

}  // namespace cowlwright::testing_support
