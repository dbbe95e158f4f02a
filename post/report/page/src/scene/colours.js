// SPDX-License-Identifier: GPL-3.0-or-later
//
// The colour scale of the 3-D view: perceptually uniform, readable without telling red from green.

import { interpolateViridis } from "d3-scale-chromatic";

/// [red, green, blue], 0 to 255, at a share of the scale from 0 to 1.
export function colourAt(share) {
  const text = interpolateViridis(share);
  return text.startsWith("#") ? [1, 3, 5].map((i) => parseInt(text.slice(i, i + 2), 16)) : text.match(/[\d.]+/g).map(Number);
}

/// The scale as a CSS background from left to right.
export function gradient() {
  const stops = Array.from({ length: 17 }, (_, i) => `rgb(${colourAt(i / 16).map(Math.round).join(" ")}) ${(100 * i) / 16}%`);
  return `linear-gradient(to right, ${stops.join(", ")})`;
}
