// SPDX-License-Identifier: GPL-3.0-or-later
//
// Air, turbulence model and start fields.
#include "cases/foam/parts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::foam {

namespace {

// The solver's universal gas constant [J/(kmol K)]; the molar mass follows so that R equals that of ISO 2533.
constexpr double solver_gas_constant = 8314.47;

}  // namespace

Dictionary thermophysical_properties() {
  Dictionary dictionary;
  dictionary.sub("thermoType",
                 {{"type", "hePsiThermo"},
                  {"mixture", "pureMixture"},
                  {"transport", "sutherland"},
                  {"thermo", "hConst"},
                  {"equationOfState", "perfectGas"},
                  {"specie", "specie"},
                  {"energy", "sensibleEnthalpy"}});
  Dictionary& air = dictionary.sub("mixture");
  air.sub("specie", {{"molWeight", solver_gas_constant / base::air::gas_constant}});
  air.sub("thermodynamics", {{"Cp", base::air::specific_heat}, {"Hf", 0}});
  air.sub("transport", {{"As", 1.458e-6}, {"Ts", 110.4}});  // ISO 2533
  return dictionary;
}

Dictionary turbulence_properties() {
  Dictionary dictionary{{"simulationType", "RAS"}};
  dictionary.sub("RAS", {{"RASModel", "kOmegaSST"}, {"turbulence", "on"}, {"printCoeffs", "off"}});
  return dictionary;
}

namespace {

/// A field: far field as given, every wall patch as given.
Field make_field(std::string name,
                 std::string foam_class,
                 const char* dimensions,
                 const Value& inside,
                 const Dictionary& far_field,
                 const Dictionary& wall,
                 const std::vector<std::string>& wall_patches) {
  Dictionary content{{"dimensions", dimensions}, {"internalField", uniform(inside)}};
  Dictionary& boundary = content.sub("boundaryField");
  boundary.sub("far_field", far_field);
  for (const std::string& patch : wall_patches) {
    boundary.sub(patch, wall);
  }
  return {std::move(name), std::move(foam_class), std::move(content)};
}

/// On the ground air comes in square to the far field with the wind's part along it.
Dictionary far_field_velocity(const base::Vec3& wind, bool is_in_flight) {
  if (is_in_flight) {
    return {{"type", "freestreamVelocity"}, {"freestreamValue", uniform(wind)}, {"value", uniform(wind)}};
  }
  return {{"type", "pressureInletOutletVelocity"},
          {"tangentialVelocity", uniform(wind)},
          {"value", uniform(wind)}};
}

Dictionary free_stream_scalar(double value) {
  return {{"type", "inletOutlet"}, {"inletValue", uniform(value)}, {"value", uniform(value)}};
}

}  // namespace

std::vector<Field> start_fields(const flight::FlightSpec& flight,
                                const flight::ReferencePressure& reference,
                                const std::vector<std::string>& wall_patches,
                                meshing::WallTreatment wall_treatment) {
  const base::Vec3 wind = flight::wind(flight);
  const double k = 1.5 * std::pow(flight.turbulence_intensity * reference.speed, 2);
  const double nu = base::dynamic_viscosity(flight.air.temperature) / flight.air.density;
  const double omega = k / (flight.eddy_viscosity_ratio * nu);
  const double nut = k / omega;
  const bool is_blended = wall_treatment == meshing::WallTreatment::Blended;
  std::vector<Field> fields;
  const auto add = [&](const char* name,
                       const char* foam_class,
                       const char* dimensions,
                       const Value& inside,
                       const Dictionary& far_field,
                       const Dictionary& wall) {
    fields.push_back(make_field(name, foam_class, dimensions, inside, far_field, wall, wall_patches));
  };
  add("U",
      "volVectorField",
      "[0 1 -1 0 0 0 0]",
      reference.is_in_flight ? wind : base::Vec3{reference.speed, 0, 0},
      far_field_velocity(wind, reference.is_in_flight),
      {{"type", "noSlip"}});
  const double p = flight.air.pressure;
  const double total = p + flight::dynamic_pressure(flight);
  add("p",
      "volScalarField",
      "[1 -1 -2 0 0 0 0]",
      p,
      reference.is_in_flight
          ? Dictionary{{"type", "freestreamPressure"}, {"freestreamValue", uniform(p)}, {"value", uniform(p)}}
          : Dictionary{{"type", "totalPressure"}, {"p0", uniform(total)}, {"value", uniform(total)}},
      {{"type", "zeroGradient"}});
  const double T = flight.air.temperature;
  add("T", "volScalarField", "[0 0 0 1 0 0 0]", T, free_stream_scalar(T), {{"type", "zeroGradient"}});
  add("k",
      "volScalarField",
      "[0 2 -2 0 0 0 0]",
      k,
      free_stream_scalar(k),
      {{"type", "kqRWallFunction"}, {"value", uniform(k)}});
  add("omega",
      "volScalarField",
      "[0 0 -1 0 0 0 0]",
      omega,
      free_stream_scalar(omega),
      {{"type", "omegaWallFunction"}, {"value", uniform(omega)}});
  add("nut",
      "volScalarField",
      "[0 2 -1 0 0 0 0]",
      nut,
      {{"type", "calculated"}, {"value", uniform(nut)}},
      {{"type", is_blended ? "nutUSpaldingWallFunction" : "nutkWallFunction"}, {"value", uniform(0)}});
  add("alphat",
      "volScalarField",
      "[1 -1 -1 0 0 0 0]",
      flight.air.density * nut / 0.85,
      {{"type", "calculated"}, {"value", uniform(flight.air.density * nut / 0.85)}},
      {{"type", "compressible::alphatWallFunction"}, {"value", uniform(0)}});
  return fields;
}

Dictionary still_air_inside(const base::Manifest& manifest, const std::map<std::string, double>& speeds) {
  std::vector<std::pair<std::string, Dictionary>> regions;
  for (const base::ZoneRecord& zone : manifest.zones) {
    if (zone.role == base::ZoneRole::PropellerDisk) {
      continue;
    }
    const auto passage = std::find_if(
        manifest.passages.begin(), manifest.passages.end(), [&](const base::PassageRecord& record) {
          return record.zone == zone.name;
        });
    const auto speed = speeds.find(zone.name);
    const Value velocity = speed != speeds.end() ? speed->second * passage->direction : base::Vec3{};
    const std::string values = "(volVectorFieldValue U " + velocity.text + ")";
    regions.push_back({"zoneToCell", {{"zone", zone.name}, {"fieldValues", values}}});
  }
  Dictionary dictionary{{"defaultFieldValues", "()"}};
  dictionary.sub_list("regions", std::move(regions));
  return dictionary;
}

Dictionary map_fields(const std::map<std::string, double>& speeds) {
  Dictionary dictionary{{"patchMap", "()"}, {"cuttingPatches", "()"}};
  Dictionary& start = dictionary.sub("start_speed");
  for (const auto& [zone, speed] : speeds) start.set(zone, speed);
  return dictionary;
}

}  // namespace cowlwright::foam
