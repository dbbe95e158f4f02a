// SPDX-License-Identifier: GPL-3.0-or-later
//
// The blade-element solve as tables, for maps of many conditions. The blade knows neither Mach nor Reynolds
// number, so its loads depend on advance ratio and blade setting alone, and what it does to the air at one
// radius on the ratio of inflow to blade speed there and the setting. Entries are solved when first asked
// for.
#pragma once

#include "cases/propeller/local_air.h"

#include <mutex>
#include <optional>
#include <vector>

namespace cowlwright::propeller {

class BladeTable {
 public:
  /// @param radii  of the places that will be asked for [m], > 0.
  BladeTable(PropellerSpec propeller, std::vector<double> radii);

  struct Loads {
    double collective = 0.0;    ///< [rad]
    double disk_loading = 0.0;  ///< [Pa]
  };

  /// As performance() with this shaft power [W]: trimmed to it, or at the pitch as given.
  ///
  /// Limits: cubic between entries; over a light aircraft's conditions within 0.5 % of performance()'s disk
  /// loading (unit test BladeTable).
  /// @throws ResultError  when no blade setting absorbs the power.
  Loads loads(const Operating& operating, double shaft_power) const;

  /// As local_air() at one of the radii, within 0.5 % of its pressure rise likewise.
  LocalAir local_air(std::size_t radius,
                     const Operating& operating,
                     double collective,
                     double following_wind) const;

 private:
  struct Coefficients {
    double thrust = 0.0;  ///< T / (rho n² D⁴)
    double power = 0.0;   ///< P / (rho n³ D⁵)
  };
  /// Entries by the first coordinate, then by blade setting.
  template <class Value>
  using Grid = std::vector<std::vector<std::optional<Value>>>;

  const Coefficients& loads_node(std::size_t advance, std::size_t setting) const;
  const LocalAir& air_node(std::size_t radius, std::size_t ratio, std::size_t setting) const;
  Coefficients loads_at(double advance, double setting) const;
  std::optional<double> setting_for(double advance, double power) const;

  PropellerSpec propeller_;
  std::vector<double> radii_;
  double setting_ = 0.0;  ///< blade angle at 0.75 R without collective [rad]
  mutable std::mutex mutex_;
  mutable Grid<Coefficients> loads_;
  mutable std::vector<Grid<LocalAir>> air_;
};

}  // namespace cowlwright::propeller
