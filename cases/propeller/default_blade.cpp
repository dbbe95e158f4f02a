// SPDX-License-Identifier: GPL-3.0-or-later
//
// The blade taken when a study gives none.
#include "cases/propeller/spec.h"

namespace cowlwright::propeller {

std::vector<BladeStation> default_blade() {
  // Invented. Chords follow the planform of propeller 5868-9 in NACA TR 640 (1938), rounded and with a tip of
  // our own; the pitch is nearly constant outboard and eased inboard as usual for a fixed-pitch blade.
  return {{0.20, 0.040, 0.70},
          {0.30, 0.054, 0.80},
          {0.40, 0.068, 0.86},
          {0.50, 0.075, 0.89},
          {0.60, 0.073, 0.90},
          {0.70, 0.066, 0.90},
          {0.80, 0.057, 0.90},
          {0.90, 0.045, 0.89},
          {0.95, 0.037, 0.88},
          {1.00, 0.026, 0.87}};
}

}  // namespace cowlwright::propeller
