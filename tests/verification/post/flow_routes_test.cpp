// SPDX-License-Identifier: GPL-3.0-or-later
//
// The postprocessor's numbers against those the solver itself printed, on a heated duct that OpenFOAM solves
// within seconds: on one rank, on two, reconstructed, in every format.
#include "post/extract/case_layout.h"
#include "post/quantities/variant_result.h"
#include "tests/support/openfoam.h"
#include "tests/support/solved_duct.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

namespace cowlwright {
namespace {

using testing_support::DuctRun;
using testing_support::ScratchFolder;
using testing_support::solve_duct;

class FlowRoutes : public testing_support::OpenFoamTest {};

/// Value of a history at an iteration.
double at(const post::History& history, double iteration) {
  for (std::size_t i = 0; i < history.time.size(); ++i) {
    if (history.time[i] == iteration) {
      return history.value[i];
    }
  }
  return std::nan("");
}

void expect_agreement(const DuctRun& duct) {
  const ScratchFolder folder;
  const base::Manifest manifest = solve_duct(folder.path(), duct);
  const post::RawResults raw = post::read_raw_results(folder.path(), manifest);
  EXPECT_EQ(raw.iteration, duct.iterations);
  for (std::size_t i = 0; i < manifest.planes.size(); ++i) {
    const double monitor = at(raw.monitors[i].history, raw.iteration);
    const double own = raw.fluxes[i].mass_flow;
    EXPECT_GT(own, 0.1) << manifest.planes[i].name;  // along the normal: air goes down the duct
    // Six digits. The monitors print 13; the sums differ by rounding.
    EXPECT_NEAR(own, std::abs(monitor), 1e-6 * own) << manifest.planes[i].name;
    // Density and velocity interpolated to the faces are not the solver's flux, which carries a pressure
    // correction: within 1 % on a sound grid.
    EXPECT_NEAR(raw.fields.planes[i].mass_flow, own, 0.01 * own) << manifest.planes[i].name;
    EXPECT_NEAR(raw.fluxes[i].area, manifest.planes[i].area, 1e-9);  // the planes are mesh planes: rounding
  }
  for (std::size_t i = 0; i < raw.monitors.size(); ++i) {
    const std::string& subject = manifest.monitors[i].subject;
    for (const post::ZoneMean& zone : raw.fields.zones) {
      if (manifest.monitors[i].quantity == "mean_pressure" && zone.zone == subject) {
        // VTK stores single precision: 90000 Pa to 0.004 Pa.
        EXPECT_NEAR(zone.static_pressure, at(raw.monitors[i].history, raw.iteration), 0.005) << subject;
      }
    }
  }
}

TEST_F(FlowRoutes, AgreeOnOneRank) {
  expect_agreement({});
}

TEST_F(FlowRoutes, AgreeOnAMeshWithPolyhedra) {
  expect_agreement({.with_polyhedra = true});
}

TEST_F(FlowRoutes, AgreeInCompressedText) {
  expect_agreement({.write_format = "ascii", .compressed = true});
}

// The cut goes through the cores' mid planes, whose faces both ranks hold.
TEST_F(FlowRoutes, AgreeOnTwoRanksNotReconstructed) {
  expect_agreement({.ranks = 2});
}

TEST_F(FlowRoutes, AgreeWhenReconstructed) {
  expect_agreement({.ranks = 2, .reconstruct = true});
}

// 20 kW in each of two cores; the solver's own enthalpy balance closes far better than 1 %, our reading of it
// has the interpolation of T to the faces in it.
TEST_F(FlowRoutes, EnergyAndContinuityCloseWhenSettled) {
  const ScratchFolder folder;
  solve_duct(folder.path(), {.iterations = 600});
  const post::VariantResult result = post::extract_case(folder.path());
  ASSERT_FALSE(result.has_failed()) << result.judgement.reason;
  EXPECT_EQ(result.judgement.status, post::Status::Settled) << result.judgement.reason;
  EXPECT_THAT(result.flags, testing::IsEmpty());
  ASSERT_NE(result.find("energy_closure"), nullptr);
  EXPECT_LT(std::abs(result.find("energy_closure")->value), 1.0);       // percent
  EXPECT_LT(std::abs(result.find("continuity_closure")->value), 0.01);  // percent, of a settled run
  EXPECT_LT(std::abs(result.find("core_closure")->value), 0.01);
  EXPECT_GT(result.find("inlet_imbalance")->value, 5.0);  // 6 against 5 m/s: about 9 %
}

}  // namespace
}  // namespace cowlwright
