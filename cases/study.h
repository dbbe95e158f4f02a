// SPDX-License-Identifier: GPL-3.0-or-later
//
// A whole study: one set of specs per variant, read and checked in one go.
#pragma once

#include "cases/core/spec.h"
#include "cases/flight/spec.h"
#include "cases/network/spec.h"
#include "cases/propeller/spec.h"
#include "cases/readings/reading.h"
#include "cases/temperature/spec.h"
#include "geometry/shape/spec.h"
#include "meshing/spec.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright {

struct VariantSpec {
  base::Variant variant;
  flight::FlightSpec flight;
  shape::ShapeSpec shape;
  propeller::PropellerSpec propeller;
  core::CoreSpec core;
  std::optional<core::CoolerSpec> oil_cooler;  ///< when the shape has one
  meshing::GridSpec grid;
  temperature::TemperatureSpec temperatures;
  network::EstimateSpec estimate;
  std::vector<readings::Reading> readings;  ///< of flight; what estimates are calibrated on
};

struct Study {
  std::string title;
  std::string question;
  std::filesystem::path file;
  std::string text;
  std::vector<VariantSpec> variants;  ///< at least one; the first is the baseline
};

/// Reads a study file and every variant of it.
/// @throws InputError  with all complaints about the file, each "file:line:column: ...", when there are any.
Study read_study(const std::filesystem::path& file);

/// The same from text; `name` stands for the file in messages.
Study parse_study(std::string_view text, const std::string& name);

}  // namespace cowlwright
