// SPDX-License-Identifier: GPL-3.0-or-later
//
// The vocabulary: forces along the wind and cooling drag.
#include "post/quantities/vocabulary_parts.h"

#include <array>

namespace cowlwright::post {

namespace {

using enum DifferenceIn;

constexpr std::array table{
    QuantitySpec{"drag",
                 "Drag",
                 "drag, without propeller",
                 "N",
                 1,
                 Percent,
                 "force of the air along the wind on all walls and on fins, oil cooler and leaks; pressure "
                 "against the free stream's. Cowl and an idealised body behind it, no wings"},
    QuantitySpec{"drag_outside",
                 "Drag",
                 "on outer walls",
                 "N",
                 1,
                 Unit,
                 "part of the drag on spinner, cowl, fuselage, inlet rings, exit lip and side plates"},
    QuantitySpec{
        "drag_inside", "Drag", "on walls inside", "N", 1, Unit, "part of the drag on all other walls"},
    QuantitySpec{"drag_passages",
                 "Drag",
                 "on fins, cooler and leaks",
                 "N",
                 1,
                 Unit,
                 "part of the drag on what resists the air inside, along the wind: air that passes it "
                 "straight across the wind leaves little"},
    QuantitySpec{"drag_pressure", "Drag", "of pressure on walls", "N", 1, Unit, "part of the drag"},
    QuantitySpec{"drag_friction", "Drag", "of friction on walls", "N", 1, Unit, "part of the drag"},
    QuantitySpec{"drag_closed",
                 "Drag",
                 "drag, closed reference",
                 "N",
                 1,
                 Percent,
                 "the same force on the same aircraft with both inlets filled flush, the exit filled and "
                 "faired into the belly, and without lip, side plates, strut and pipes, at the same pitch of "
                 "the propeller"},
    QuantitySpec{"cooling_drag_forces",
                 "Drag",
                 "cooling drag from forces",
                 "N",
                 1,
                 Unit,
                 "drag less drag of the closed reference, so with what lip and bodies at the exit cost; the "
                 "band is that of both"},
    QuantitySpec{"cooling_drag_momentum",
                 "Drag",
                 "cooling drag from momentum",
                 "N",
                 1,
                 Unit,
                 "momentum of the cooling air ahead of the inlets, at the speed its total pressure there "
                 "gives at free stream pressure, less its momentum and gauge pressure on the exit plane, "
                 "along the wind. What the propeller did to this air is left out, as it is from the forces"},
    QuantitySpec{"cooling_drag_free_stream",
                 "Drag",
                 "the same against the free stream",
                 "N",
                 1,
                 Unit,
                 "cooling air's momentum at flight speed less that on the exit plane and the gauge pressure "
                 "there: with the push that the propeller gave this air, so less than the cooling drag"},
    QuantitySpec{"cooling_drag_ideal",
                 "Drag",
                 "cooling drag, exit air expanded",
                 "N",
                 1,
                 Unit,
                 "as from momentum, with the speed that the exit air has once it has expanded to free stream "
                 "pressure without loss (0 when it cannot reach it)"},
    QuantitySpec{"cooling_drag_disagreement",
                 "Drag",
                 "forces less momentum",
                 "N",
                 1,
                 Unit,
                 "cooling drag from forces less that from momentum: what opening inlets and exit changes on "
                 "the outside beyond the momentum of the air that passes"},
    QuantitySpec{
        "cooling_drag_area", "Drag", "cooling drag area", "cm2", 1, Unit, "cooling drag divided by q"},
    QuantitySpec{
        "cooling_drag_power", "Drag", "cooling drag power", "kW", 2, Unit, "cooling drag times flight speed"},
};

}  // namespace

std::span<const QuantitySpec> drag_entries() {
  return table;
}

}  // namespace cowlwright::post
