// SPDX-License-Identifier: GPL-3.0-or-later
//
// Internal to post/extract: the solver's fields as VTK delivers them on the cells of one block.
#pragma once

#include "geometry/base/manifest.h"
#include "geometry/base/vec3.h"

#include <vtkType.h>

#include <limits>

class vtkCellData;
class vtkDataArray;

namespace cowlwright::post {

/// What a cell's values are compared with.
struct FreeStream {
  double gas_constant = 0.0;       ///< p/(rho T) [J/(kg K)]
  double total_temperature = 0.0;  ///< T + V²/(2 cp) [K]
};

FreeStream free_stream(const base::FlightRecord& flight);

/// One cell's values; temperature is NaN without a field T.
struct CellState {
  double pressure = 0.0;  ///< [Pa]
  double density = 0.0;   ///< [kg/m³]
  double temperature = std::numeric_limits<double>::quiet_NaN();
  base::Vec3 velocity;  ///< [m/s]

  double total_pressure() const;     ///< p + 0.5 rho |U|² [Pa]
  double total_temperature() const;  ///< T + |U|²/(2 cp) [K]
};

/// The fields p, U, T, rho of one block.
class CellFields {
 public:
  /// @throws ResultError  when p, U, or both of rho and T are missing.
  CellFields(vtkCellData& data, const FreeStream& free_stream);
  CellState at(vtkIdType cell) const;
  bool has_temperature() const { return temperature_ != nullptr; }

 private:
  vtkDataArray* pressure_;
  vtkDataArray* velocity_;
  vtkDataArray* temperature_;
  vtkDataArray* density_;
  double gas_constant_;
};

}  // namespace cowlwright::post
