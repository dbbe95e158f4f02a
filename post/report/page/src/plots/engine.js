// SPDX-License-Identifier: GPL-3.0-or-later
//
// Air of each cylinder, laid out as the engine lies: front up, the pilot's left at the left.

import * as Plot from "@observablehq/plot";
import { interpolateViridis } from "d3-scale-chromatic";

import { select } from "../dom.js";
import { axisTitle, numberText, system, unitLabel, unitName } from "../numbers.js";
import { findQuantity, shortName, usableVariants } from "../study.js";
import { convert } from "../units.js";
import { statusText, valueText } from "../values.js";
import { chart, figure, ink, multiples, valuesTable } from "./figure.js";

const measures = {
  mass_flow: { name: "cooling air flow", of: (cylinder) => [cylinder.mass_flow].flat() },
  temperature: { name: "outlet air temperature", of: (cylinder) => [cylinder.temperature] },
};

const circle = 29; // radius of a cylinder's sign, CSS pixels

/// A cylinder's value in one variant: the sum over its cores; null when one of them is missing.
function cylinderValue(results, index, cylinder, measure) {
  const parts = measures[measure].of(cylinder).filter((id) => id).map((id) => findQuantity(results, index, id));
  if (parts.length === 0 || parts.some((part) => part === null)) {
    return null;
  }
  const { unit, decimals } = parts[0].quantity;
  const stored = parts.reduce((sum, part) => sum + part.quantity.value, 0);
  return {
    cylinder, parts, unit, value: convert(system(), unit, stored), text: numberText({ value: stored, unit, decimals }),
    x: cylinder.position[1], y: cylinder.position[0],
  };
}

/// White or dark letters, whichever reads better on this part of the colour scale.
function letters(share) {
  return share < 0.62 ? "white" : ink;
}

function places(layout) {
  const inlets = (layout.inlets ?? []).map((inlet) => ({ x: inlet.position[1], y: inlet.position[0], text: `inlet\n${inlet.side}` }));
  const exit = layout.exit?.position ? [{ x: layout.exit.position[1], y: layout.exit.position[0], text: "exit" }] : [];
  return [...inlets, ...exit];
}

/// Height at which cylinders behind each other do not touch. `length`: metres from top to bottom.
function heightFor(values, length) {
  const sides = ["left", "right"].map((side) => values.filter((one) => one.cylinder.side === side).map((one) => one.y).sort((a, b) => a - b));
  const gaps = sides.flatMap((ys) => ys.slice(1).map((y, i) => y - ys[i])).filter((gap) => gap > 0);
  return gaps.length === 0 ? 260 : Math.max(240, Math.min(460, (2.2 * circle * length) / Math.min(...gaps) + 30));
}

function layoutDrawing(layout, values, range, width, title) {
  const around = places(layout);
  const xs = [...values, ...around].map((one) => one.x);
  const ys = [...values, ...around].map((one) => one.y);
  const half = 1.6 * Math.max(...xs.map(Math.abs), 0.1);
  const margin = 0.16 * (Math.max(...ys) - Math.min(...ys) || 0.4);
  const share = (one) => (range[1] > range[0] ? (one.value - range[0]) / (range[1] - range[0]) : 0.5);
  const height = heightFor(values, Math.max(...ys) - Math.min(...ys) + 2 * margin);
  return chart({
    label: title, description: values.map((one) => `${one.cylinder.name}, ${one.cylinder.side}: ${one.text}`).join("; "),
    width, height, marginLeft: 4, marginRight: 4, marginTop: 22, marginBottom: 8,
    x: { domain: [-half, half], axis: null },
    y: { domain: [Math.max(...ys) + margin, Math.min(...ys) - margin], axis: null },
    marks: [
      Plot.frame({ stroke: "#c9d2da", rx: 10 }),
      Plot.text(["front"], { frameAnchor: "top", dy: -16, text: (one) => one, fill: "#4d5b69" }),
      Plot.text(["left"], { frameAnchor: "top-left", dy: -16, text: (one) => one, fill: "#4d5b69" }),
      Plot.text(["right"], { frameAnchor: "top-right", dy: -16, text: (one) => one, fill: "#4d5b69" }),
      Plot.text(around, { x: "x", y: "y", text: "text", fill: "#4d5b69", fontSize: 12 }),
      Plot.dot(values, { x: "x", y: "y", r: circle, fill: (one) => interpolateViridis(share(one)), stroke: ink }),
      Plot.text(values, { x: "x", y: "y", text: (one) => `${one.cylinder.name}\n${one.text}`, fontWeight: 600, fontSize: 12, fill: (one) => letters(share(one)) }),
    ],
    color: { type: "identity" },
  });
}

function tableOf(usable, cylinders, results, measure, unit) {
  const rows = usable.map(({ variant, index }) => [shortName(results, variant),
    ...cylinders.map((cylinder) => {
      const value = cylinderValue(results, index, cylinder, measure);
      return value ? value.parts.map((part, i) => [i > 0 && " + ", valueText(variant, part)]) : "n/a";
    }), statusText(variant)]);
  const head = ["variant", ...cylinders.map((cylinder) => [`${cylinder.name} `, unitLabel(unit, "brackets")]), "status"];
  return valuesTable(`${measures[measure].name} of each cylinder`, head, rows);
}

/// The figure as an element; null when the results have no cylinders.
export function engineFigure({ results }) {
  const cylinders = results.layout?.cylinders ?? [];
  const usable = usableVariants(results);
  const shown = Object.keys(measures).filter((measure) =>
    usable.some(({ index }) => cylinders.some((cylinder) => cylinderValue(results, index, cylinder, measure))));
  if (shown.length === 0) {
    return null;
  }
  let measure = shown[0];
  const made = figure({
    id: "plot-engine",
    title: "Each cylinder's air",
    lead: "Seen from above: front up, the pilot's left at the left. One colour range for all variants.",
    controls: [select("Show", shown.map((id) => ({ value: id, text: measures[id].name })), measure, (value) => { measure = value; made.redraw(); })],
    draw: (width) => {
      const all = usable.map(({ variant, index }) => ({
        title: shortName(results, variant), variant,
        values: cylinders.map((cylinder) => cylinderValue(results, index, cylinder, measure)).filter((one) => one !== null),
      })).filter((one) => one.values.length > 0);
      const flat = all.flatMap((one) => one.values);
      const range = [Math.min(...flat.map((one) => one.value)), Math.max(...flat.map((one) => one.value))];
      const { unit } = flat[0];
      const name = axisTitle(measures[measure].name, unit);
      const drawing = multiples(width, 208, all, (one, each) => layoutDrawing(results.layout, one.values, range, Math.min(each, 300), `${name}, ${one.title}`));
      return {
        drawing: [drawing, legend(range, name, flat[0])],
        note: `Numbers in ${unitName(unit) || "-"}.`,
        values: tableOf(usable, cylinders, results, measure, unit),
      };
    },
  });
  return made.element;
}

function legend(range, name, example) {
  const { decimals } = example.parts[0].quantity;
  const places_shown = Math.max(0, Math.min(decimals, 3));
  const scale = Plot.legend({
    color: { type: "linear", domain: range[1] > range[0] ? range : [range[0] - 1, range[0] + 1], interpolate: interpolateViridis },
    label: name, width: 260, ticks: 4, tickFormat: (value) => value.toFixed(places_shown),
  });
  scale.setAttribute("role", "img");
  scale.setAttribute("aria-label", `colour scale: ${name}`);
  return scale;
}
