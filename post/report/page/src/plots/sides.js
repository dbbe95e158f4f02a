// SPDX-License-Identifier: GPL-3.0-or-later
//
// Left against right: quantities that the results give for both sides.

import * as Plot from "@observablehq/plot";

import { select } from "../dom.js";
import { axisTitle, numberText, system, unitLabel } from "../numbers.js";
import { allQuantities, doubt, findQuantity, heading, shortName, usableVariants } from "../study.js";
import { convert } from "../units.js";
import { statusText, valueText } from "../values.js";
import { accent, chart, figure, ink, second, valuesTable } from "./figure.js";
import { tickText } from "./parameter.js";

/// Stems of quantities that exist as stem_left and stem_right.
function sidedQuantities(results) {
  const quantities = allQuantities(results);
  const ids = new Set(quantities.map((quantity) => quantity.id));
  return quantities
    .filter(({ id }) => id.endsWith("_left") && ids.has(id.replace(/_left$/, "_right")))
    .map((quantity) => ({ stem: quantity.id.replace(/_left$/, ""), name: quantity.name.replace(/,? left\b/, ""), group: quantity.group }));
}

function bar(results, variant, index, stem, side) {
  const found = findQuantity(results, index, `${stem}_${side}`);
  if (!found) {
    return null;
  }
  const { quantity } = found;
  const value = convert(system(), quantity.unit, quantity.value);
  const band = quantity.band === null ? null : convert(system(), quantity.unit, quantity.band, true);
  return {
    found, variant, side, value, band, name: shortName(results, variant), low: value - (band ?? 0), high: value + (band ?? 0),
    text: numberText({ value: quantity.value, unit: quantity.unit, decimals: quantity.decimals }),
  };
}

function drawing(bars, names, title, width) {
  const longest = Math.max(...names.map((name) => name.length));
  const margin = Math.min(width * 0.36, 12 + longest * 8.4);
  const n_letters = Math.floor(margin / 8.4);
  const low = Math.min(0, ...bars.map((one) => one.low));
  const high = Math.max(0, ...bars.map((one) => one.high));
  return chart({
    label: `${title}, left and right`,
    description: bars.map((one) => `${one.name}, ${one.side}: ${one.text}`).join("; "),
    width, height: 64 + 56 * names.length, marginLeft: margin + 44, marginRight: 64, marginTop: 8, marginBottom: 46,
    x: { label: title, labelAnchor: "center", labelArrow: "none", grid: true, domain: [low, high], nice: true, ticks: width < 500 ? 4 : 8, tickFormat: tickText },
    y: { domain: ["left", "right"], label: null, tickSize: 0, padding: 0.15 },
    fy: { domain: names, label: null, padding: 0.25, axis: null },
    marks: [
      Plot.barX(bars, { x: "value", y: "side", fy: "name", fill: (one) => (one.side === "left" ? accent : second) }),
      Plot.ruleY(bars.filter((one) => one.band !== null), { x1: "low", x2: "high", y: "side", fy: "name", stroke: ink, strokeWidth: 1.5, marker: "tick" }),
      Plot.text(bars, { x: (one) => Math.max(one.high, 0), y: "side", fy: "name", text: "text", textAnchor: "start", dx: 6 }),
      Plot.ruleX([0], { stroke: ink }),
      Plot.text(names, { fy: (name) => name, text: (name) => (name.length > n_letters ? `${name.slice(0, n_letters - 1)}…` : name), frameAnchor: "left", textAnchor: "end", dx: -48, fontWeight: 600 }),
    ],
  });
}

function noteOf(results, bars) {
  const missing = results.variants.filter((variant) => !bars.some((one) => one.variant === variant)).map((variant) => `${shortName(results, variant)} (${variant.status})`);
  const doubtful = [...new Set(bars.filter((one) => doubt(one.variant) !== "").map((one) => `${one.name} (${doubt(one.variant)})`))];
  return `Left is the pilot's left. Bars end at the value, the dark line is its band.${doubtful.length > 0 ? ` Not settled or flagged: ${doubtful.join("; ")}.` : ""}${missing.length > 0 ? ` No value: ${missing.join("; ")}.` : ""}`;
}

/// The figure as an element; null when there is nothing of both sides.
export function sidesFigure({ results }) {
  const sided = sidedQuantities(results);
  if (sided.length === 0) {
    return null;
  }
  const usable = usableVariants(results);
  let stem = sided.find((one) => one.stem === "inlet_mass_flow")?.stem ?? sided[0].stem;
  const options = sided.map((one) => ({ value: one.stem, text: one.name, group: one.group }));
  const made = figure({
    id: "plot-sides",
    title: "Left and right inlet",
    controls: [select("Quantity", options, stem, (value) => { stem = value; made.redraw(); })],
    draw: (width) => {
      const quantity = heading(results, `${stem}_left`);
      const { name } = sided.find((one) => one.stem === stem);
      const bars = usable.flatMap(({ variant, index }) => ["left", "right"].map((side) => bar(results, variant, index, stem, side))).filter((one) => one !== null);
      const names = usable.map(({ variant }) => shortName(results, variant));
      const rows = usable.map(({ variant, index }) => [shortName(results, variant),
        valueText(variant, findQuantity(results, index, `${stem}_left`)), valueText(variant, findQuantity(results, index, `${stem}_right`)), statusText(variant)]);
      const unit = () => unitLabel(quantity.unit, "brackets");
      return {
        drawing: drawing(bars, names, axisTitle(name, quantity.unit), width),
        note: noteOf(results, bars),
        values: valuesTable(name, ["variant", ["left ", unit()], ["right ", unit()], "status"], rows),
      };
    },
  });
  return made.element;
}
