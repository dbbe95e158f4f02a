// SPDX-License-Identifier: GPL-3.0-or-later
//
// Oil before and behind its cooler, from the heat the oil takes and one stated point of the cooler.
#pragma once

#include "cases/temperature/correlation.h"
#include "cases/temperature/spec.h"

#include <optional>
#include <span>

namespace cowlwright::temperature {

/// The cooler at one condition.
struct OilCondition {
  double heat = 0.0;             ///< from the oil to the air [W], > 0
  double air_flow = 0.0;         ///< through the cooler [kg/s], > 0
  double air_temperature = 0.0;  ///< that enters [K]
};

/// Conductance times flow: UA grows with this power of the air flow. Chosen, no source.
inline constexpr double cooler_exponent = 0.6;
inline constexpr double cooler_exponent_half_band = 0.2;
/// Of the heat that the oil takes, as a part of it, where no reading says: chosen, no source.
inline constexpr double oil_heat_half_band = 0.3;
/// Of engine oil near 90 degC [J/(kg K)], from memory.
inline constexpr double oil_specific_heat = 2100.0;
inline constexpr double oil_specific_heat_half_band = 200.0;

/// Heat per difference of oil and air that enter [W/K] at an air flow [kg/s], > 0: effectiveness
/// 1 - exp(-UA/C) of a cooler whose oil hardly cools. NaN for a point that asks for more than the air can
/// take.
double cooler_conductance(const CoolerPoint& point, double air_flow, double exponent);

/// Highest possible heat of the point's air flow and temperature difference [W].
double greatest_heat(const CoolerPoint& point);

/// One oil temperature before the cooler that was read.
struct OilObservation {
  OilCondition condition;
  double temperature = 0.0;  ///< [K]
  double half_band = 0.0;    ///< [K]
};

/// Oil before the cooler. With observations the heat is scaled to meet them and there is a value; without
/// there is a band only.
Estimate oil_temperature(const CoolerPoint& point,
                         std::span<const OilObservation> observations,
                         const OilCondition& condition);

/// Oil behind the cooler: T - Q / (m c).
Estimate cooled_oil_temperature(const Estimate& hot, const OilCondition& condition, double oil_flow);

}  // namespace cowlwright::temperature
