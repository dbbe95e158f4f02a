// SPDX-License-Identifier: GPL-3.0-or-later
//
// The postprocessor's numbers against those the solver itself printed, on a heated duct that OpenFOAM solves
// within seconds: on one rank, on two, reconstructed, in every format.
#include "post/extract/case_layout.h"
#include "post/quantities/variant_result.h"
#include "tests/support/openfoam.h"
#include "tests/support/solved_duct.h"
#include "tests/support/validation.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <utility>

namespace cowlwright {
namespace {

using testing_support::CheckSubject;
using testing_support::DuctRun;
using testing_support::ScratchFolder;
using testing_support::solve_duct;
using testing_support::ValidationCheck;

class FlowRoutes : public testing_support::OpenFoamTest {};

/// Value of a history at an iteration.
double at(const base::History& history, double iteration) {
  for (std::size_t i = 0; i < history.time.size(); ++i) {
    if (history.time[i] == iteration) {
      return history.value[i];
    }
  }
  return std::nan("");
}

void expect_agreement(const DuctRun& duct, CheckSubject subject) {
  subject.group = "Postprocessing";
  subject.source = "the solver's own monitors of the same run";
  subject.unit.push_back('-');  // assignment trips a false warning of GCC 12 about overlapping memory
  subject.reason =
      "fluxes: the monitors' 13 digits and rounding of sums; from fields: density and velocity "
      "interpolated to the faces lack the pressure correction of the solver's flux, 1 % on a sound grid";
  ValidationCheck check(std::move(subject));
  const ScratchFolder folder;
  const base::Manifest manifest = solve_duct(folder.path(), duct);
  const post::RawResults raw = post::read_raw_results(folder.path(), manifest);
  EXPECT_EQ(raw.iteration, duct.iterations);
  for (std::size_t i = 0; i < manifest.planes.size(); ++i) {
    const double monitor = at(raw.monitors[i].history, raw.iteration);
    const double own = raw.fluxes[i].mass_flow;
    EXPECT_GT(own, 0.1) << manifest.planes[i].name;  // along the normal: air goes down the duct
    const std::string& plane = manifest.planes[i].name;
    check.expect_near(plane + ", from face fluxes", own / std::abs(monitor), 1.0, 1e-6);
    check.expect_near(plane + ", from fields", raw.fields.planes[i].mass_flow / std::abs(monitor), 1.0, 0.01);
    EXPECT_NEAR(raw.fluxes[i].area, manifest.planes[i].area, 1e-9);  // the planes are mesh planes: rounding
  }
  for (std::size_t i = 0; i < raw.monitors.size(); ++i) {
    const std::string& monitored = manifest.monitors[i].subject;
    for (const post::ZoneMean& zone : raw.fields.zones) {
      if (manifest.monitors[i].quantity == "mean_pressure" && zone.zone == monitored) {
        // VTK stores single precision: 90000 Pa to 0.004 Pa.
        EXPECT_NEAR(zone.static_pressure, at(raw.monitors[i].history, raw.iteration), 0.005) << monitored;
      }
    }
  }
}

constexpr const char* title = "Mass flow through each plane over that of the solver's monitor";

TEST_F(FlowRoutes, AgreeOnOneRank) {
  expect_agreement({}, {.id = "post.one_rank", .title = title, .condition = "heated duct, one rank, binary"});
}

TEST_F(FlowRoutes, AgreeOnAMeshWithPolyhedra) {
  expect_agreement({.with_polyhedra = true},
                   {.id = "post.polyhedra", .title = title, .condition = "heated duct, mesh with polyhedra"});
}

TEST_F(FlowRoutes, AgreeInCompressedText) {
  expect_agreement({.write_format = "ascii", .compressed = true},
                   {.id = "post.compressed", .title = title, .condition = "heated duct, compressed text"});
}

// The cut goes through the cores' mid planes, whose faces both ranks hold.
TEST_F(FlowRoutes, AgreeOnTwoRanksNotReconstructed) {
  expect_agreement(
      {.ranks = 2},
      {.id = "post.two_ranks", .title = title, .condition = "heated duct, two ranks, not reconstructed"});
}

TEST_F(FlowRoutes, AgreeWhenReconstructed) {
  expect_agreement(
      {.ranks = 2, .reconstruct = true},
      {.id = "post.reconstructed", .title = title, .condition = "heated duct, two ranks, reconstructed"});
}

TEST_F(FlowRoutes, EnergyAndContinuityCloseWhenSettled) {
  const ScratchFolder folder;
  solve_duct(folder.path(), {.iterations = 600});
  const post::VariantResult result = post::extract_case(folder.path());
  ASSERT_FALSE(result.has_failed()) << result.judgement.reason;
  EXPECT_EQ(result.judgement.status, post::Status::Settled) << result.judgement.reason;
  EXPECT_THAT(result.flags, testing::IsEmpty());
  ValidationCheck check(
      {.id = "post.closure",
       .group = "Postprocessing",
       .title = "What is missing in the balances of a settled run",
       .source = "exact: conservation of mass and energy, 20 kW in each of two cores",
       .condition = "heated duct, 600 iterations",
       .unit = "%",
       .reason = "mass: what a settled run leaves; energy: the solver's balance closes far better "
                 "than 1 %, our reading of it has the temperature interpolated to the faces"});
  const auto value = [&](const char* name) {
    const auto* found = result.find(name);
    return found == nullptr ? std::nan("") : found->value;
  };
  check.expect_near("mass, inlets to exit", value("continuity_closure"), 0.0, 0.01);
  check.expect_near("mass, cores", value("core_closure"), 0.0, 0.01);
  check.expect_near("energy", value("energy_closure"), 0.0, 1.0);
  EXPECT_GT(result.find("inlet_imbalance")->value, 5.0);  // 6 against 5 m/s: about 9 %
}

}  // namespace
}  // namespace cowlwright
