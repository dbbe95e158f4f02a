// SPDX-License-Identifier: GPL-3.0-or-later
//
// What acts on the air beside walls: passages (pressure drop and heat), the propeller and a guard on
// temperature.
#include "cases/foam/parts.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace cowlwright::foam {

namespace {

double degrees(double angle) {
  return angle * 180.0 / std::numbers::pi;
}

/// A direction across the given one.
base::Vec3 across(const base::Vec3& direction) {
  return std::abs(direction.x) < 0.5 ? base::Vec3{1, 0, 0} : base::Vec3{0, 1, 0};
}

/// Air passes in one direction: across it the resistance is `transverse_ratio` times larger.
Dictionary resistance(const base::PassageRecord& passage) {
  const core::SinkCoefficients sink =
      core::sink_coefficients({passage.viscous, passage.inertial, 0.0}, passage.depth);
  const auto along_and_across = [&passage](double axial) {
    return list({axial, passage.transverse_ratio * axial, passage.transverse_ratio * axial});
  };
  Dictionary source{{"type", "explicitPorositySource"}, {"active", "yes"}};
  Dictionary& coefficients = source.sub("explicitPorositySourceCoeffs");
  coefficients.set("selectionMode", "cellZone").set("cellZone", passage.zone).set("type", "DarcyForchheimer");
  coefficients.set("d", along_and_across(sink.darcy)).set("f", along_and_across(sink.forchheimer));
  Dictionary& system = coefficients.sub("coordinateSystem", {{"origin", base::Vec3{}}});
  system.sub("rotation", {{"type", "axes"}, {"e1", passage.direction}, {"e2", across(passage.direction)}});
  return source;
}

Dictionary heat(const base::PassageRecord& passage) {
  Dictionary source{{"type", "scalarSemiImplicitSource"}, {"active", "yes"}};
  Dictionary& coefficients = source.sub("scalarSemiImplicitSourceCoeffs");
  coefficients.set("selectionMode", "cellZone").set("cellZone", passage.zone).set("volumeMode", "absolute");
  coefficients.sub("injectionRateSuSp", {{"h", list({passage.heat, 0})}});
  return source;
}

Dictionary rotor(const base::PropellerRecord& propeller,
                 const std::vector<propeller::DiskStation>& disk,
                 int n_blades) {
  Dictionary source{{"type", "rotorDisk"}, {"active", "yes"}};
  source.set("selectionMode", "cellZone").set("cellZone", propeller.zone);
  source.set("fields", "(U)").set("rhoRef", 1).set("nBlades", n_blades);
  source.set("tipEffect", 1);  // losses at the tip are in the blade tables
  source.set("inletFlowType", "local");
  source.set("geometryMode", "specified").set("origin", base::Vec3{});
  source.set("axis", base::Vec3{-1, 0, 0}).set("refDirection", base::Vec3{0, 0, 1});
  const double speed = propeller.rotational_speed * 30.0 / std::numbers::pi;
  source.set("rpm", propeller.clockwise ? speed : -speed);
  source.set("trimModel", "fixedTrim")
      .sub("fixedTrimCoeffs", {{"theta0", 0}, {"theta1c", 0}, {"theta1s", 0}});
  source.sub("flapCoeffs", {{"beta0", 0}, {"beta1c", 0}, {"beta2s", 0}});
  std::string rows = "(";
  Dictionary profiles;
  for (std::size_t i = 0; i < disk.size(); ++i) {
    const propeller::DiskStation& station = disk[i];
    const std::string name = fmt::format("station_{}", i + 1);
    rows +=
        fmt::format("\n        ({} ({} {} {}))", name, station.radius, degrees(station.twist), station.chord);
    std::string table = "(";
    for (std::size_t j = 0; j < station.angle_of_attack.size(); ++j) {
      table += fmt::format("\n            ({:.6g} {:.8g} {:.8g})",
                           degrees(station.angle_of_attack[j]),
                           station.tangential[j],
                           station.axial[j]);
    }
    profiles.sub(name, {{"type", "lookup"}, {"data", table + ")"}});
  }
  source.sub("blade", {{"data", rows + ")"}});
  source.sub("profiles", std::move(profiles));
  return source;
}

/// The same axial force on every part of the disk; thrust pushes the air aft.
Dictionary uniform_disk(const base::PropellerRecord& propeller) {
  Dictionary source{{"type", "vectorSemiImplicitSource"}, {"active", "yes"}};
  Dictionary& coefficients = source.sub("vectorSemiImplicitSourceCoeffs");
  coefficients.set("selectionMode", "cellZone").set("cellZone", propeller.zone);
  coefficients.set("volumeMode", "absolute");  // newtons on the whole disk
  coefficients.sub("injectionRateSuSp", {{"U", list({base::Vec3{propeller.thrust, 0, 0}, 0})}});
  return source;
}

}  // namespace

Dictionary sources(const base::Manifest& manifest,
                   const std::vector<propeller::DiskStation>& disk,
                   int n_blades) {
  Dictionary dictionary;
  for (const base::PassageRecord& passage : manifest.passages) {
    dictionary.sub("resistance_" + passage.zone, resistance(passage));
    if (passage.kind != base::PassageKind::Leak) {
      dictionary.sub("heat_" + passage.zone, heat(passage));
    }
  }
  if (manifest.propeller) {
    dictionary.sub(
        "propeller",
        disk.empty() ? uniform_disk(*manifest.propeller) : rotor(*manifest.propeller, disk, n_blades));
  }
  // A guard for the first iterations only: far outside what the cores reach.
  Dictionary limit{{"type", "limitTemperature"}, {"active", "yes"}};
  limit.set("selectionMode", "all").set("min", 0.7 * manifest.flight.temperature).set("max", 800);
  dictionary.sub("temperature_guard", std::move(limit));
  return dictionary;
}

}  // namespace cowlwright::foam
