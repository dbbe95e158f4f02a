// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/compare/checklist.h"

namespace cowlwright::compare {

const std::vector<ChecklistEntry>& checklist() {
  static const std::vector<ChecklistEntry> entries{
      {"Thermocouples and probes",
       "Same kind in the same place on both? A ring under a spark plug and a probe in the head's well differ "
       "by "
       "tens of degrees on one and the same cylinder. Which plug: the upper one, in the air, or the lower "
       "one?"},
      {"Instruments",
       "Checked against a known temperature with their own cables and connectors? Swap two probes: does the "
       "hot "
       "reading stay with the cylinder or move with the probe?"},
      {"Airspeed, power and air",
       "Flown at the same true airspeed, power, height and outside temperature, and long enough for the "
       "temperatures to stand still?"},
      {"Mixture",
       "Same fuel flow at the same power? Same jets or injector nozzles, none partly blocked? Same spread of "
       "the "
       "cylinders' exhaust temperatures?"},
      {"Induction leaks",
       "Hoses, clamps, gaskets and primer lines tight? A leak leans the cylinders next to it."},
      {"Ignition timing",
       "Set and measured on both, each magneto or module, also the advance at cruise power?"},
      {"Fuel and octane", "Same fuel, with the octane that this compression ratio and timing ask for?"},
      {"Spark plugs", "Same heat range, gap and condition?"},
      {"Compression and wear",
       "New or freshly honed cylinders run hot for hours. Leak-down and compression alike on all cylinders?"},
      {"Oil", "Same level and grade? Cooler clean inside and outside, its thermostat and bypass closing?"},
      {"Exhaust leaks",
       "No leak at flanges and joints that blows hot gas on a cylinder or into the upper deck?"},
      {"Baffles",
       "Baffles round the cylinders in place and drawn tight, the ones between and below the cylinders too? "
       "No "
       "gap that one can look through with a lamp behind it?"},
      {"Seals",
       "Flexible seals pressed against the cowl all the way round, none folded back by the air? Traces of "
       "rubbing show where they lie."},
      {"Fins", "Casting flash, paint, dirt or insects between the fins?"},
      {"Cowl",
       "Doors, screws and flaps closed as they are in flight? No hole, hose or scoop that only one has?"},
      {"Air taken from the deck",
       "Same hoses for heat, magnetos, alternator and fuel pump? Each takes air that the cylinders do not "
       "get, "
       "and none of them is in a study unless it is among its leaks."}};
  return entries;
}

std::string cautions() {
  return "This is an estimate, not an approval, and no computed margin has kept an engine alive. Change one "
         "detail at a time, instrument the engine and flight-test with a way home. The engine maker's "
         "limits, "
         "local codes and licensed people decide.";
}

}  // namespace cowlwright::compare
