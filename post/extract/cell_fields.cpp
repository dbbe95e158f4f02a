// SPDX-License-Identifier: GPL-3.0-or-later
//
// Values of one cell out of VTK's arrays.
#include "post/extract/cell_fields.h"

#include "geometry/base/air.h"
#include "geometry/base/error.h"

#include <vtkCellData.h>
#include <vtkDataArray.h>

#include <array>

namespace cowlwright::post {

FreeStream free_stream(const base::FlightRecord& flight) {
  return {.gas_constant = flight.pressure / (flight.density * flight.temperature),
          .total_temperature = flight.temperature +
                               0.5 * flight.true_airspeed * flight.true_airspeed / base::air::specific_heat};
}

double CellState::total_pressure() const {
  return pressure + 0.5 * density * base::dot(velocity, velocity);
}

double CellState::total_temperature() const {
  return temperature + 0.5 * base::dot(velocity, velocity) / base::air::specific_heat;
}

CellFields::CellFields(vtkCellData& data, const FreeStream& free_stream)
    : pressure_(data.GetArray("p")),
      velocity_(data.GetArray("U")),
      temperature_(data.GetArray("T")),
      density_(data.GetArray("rho")),
      gas_constant_(free_stream.gas_constant) {
  if (pressure_ == nullptr || velocity_ == nullptr || velocity_->GetNumberOfComponents() != 3 ||
      (temperature_ == nullptr && density_ == nullptr)) {
    throw base::ResultError(
        "fields p, U and one of rho and T: VTK did not deliver them on every cell. "
        "Reconstruct or run the case again.");
  }
}

CellState CellFields::at(vtkIdType cell) const {
  std::array<double, 3> velocity{};
  velocity_->GetTuple(cell, velocity.data());
  CellState state{.pressure = pressure_->GetComponent(cell, 0),
                  .velocity = {velocity[0], velocity[1], velocity[2]}};
  if (temperature_ != nullptr) {
    state.temperature = temperature_->GetComponent(cell, 0);
  }
  state.density = density_ != nullptr ? density_->GetComponent(cell, 0)
                                      : state.pressure / (gas_constant_ * state.temperature);
  return state;
}

}  // namespace cowlwright::post
