// SPDX-License-Identifier: GPL-3.0-or-later
//
// A quantity against what was varied: a line over a number, points beside names otherwise.

import * as Plot from "@observablehq/plot";

import { select } from "../dom.js";
import { axisTitle, numberText, system, unitLabel } from "../numbers.js";
import { allQuantities, doubt, findQuantity, heading, isSound, shortName } from "../study.js";
import { conversion, convert } from "../units.js";
import { differenceText, statusText, valueText } from "../values.js";
import { accent, chart, figure, pale, quantitySelect, second, valuesTable } from "./figure.js";

/// What one variant contributes, in shown units.
function point(results, variant, index, id, axis) {
  const found = findQuantity(results, index, id);
  if (!found) {
    return null;
  }
  const { quantity } = found;
  const value = convert(system(), quantity.unit, quantity.value);
  const band = quantity.band === null ? 0 : convert(system(), quantity.unit, quantity.band, true);
  const values = variant.varied_values ?? [];
  return {
    found, variant, value, low: value - band, high: value + band,
    name: shortName(results, variant),
    x: values.find((one) => one.key === axis)?.number ?? null,
    rest: values.filter((one) => one.key !== axis).map((one) => one.text).join(", "),
    is_sound: isSound(variant),
    text: numberText({ value: quantity.value, unit: quantity.unit, decimals: quantity.decimals }),
  };
}

function pointsOf(results, id, axis) {
  return results.variants.map((variant, index) => point(results, variant, index, id, axis)).filter((one) => one !== null);
}

/// Band and value of the baseline across the whole plot.
function baselineMarks(points, is_across) {
  const base = points.find((one) => one.variant.is_baseline);
  if (!base) {
    return [];
  }
  const band = is_across ? Plot.rect([base], { y1: "low", y2: "high", fill: pale, fillOpacity: 0.35 })
    : Plot.rect([base], { x1: "low", x2: "high", fill: pale, fillOpacity: 0.35 });
  const line = is_across ? Plot.ruleY([base], { y: "value", stroke: "#5b6b7b", strokeDasharray: "5,4" })
    : Plot.ruleX([base], { x: "value", stroke: "#5b6b7b", strokeDasharray: "5,4" });
  return [band, line];
}

const shapes = ["circle", "square", "triangle", "diamond2", "star", "wye", "cross", "times"];
const colours = [accent, second, "#1b6236", "#6b3a8c", "#8a6500", "#0b7285", "#9c1c1c", "#4d5b69"];

/// Colour and form of a line, by what else was varied.
function styleOf(lines) {
  const at = (rest) => Math.max(0, lines.indexOf(rest)) % shapes.length;
  return { colour: (one) => colours[at(one.rest)], shape: (one) => shapes[at(one.rest)] };
}

/// Which line is which, when there are several.
function linesLegend(lines, style) {
  if (lines.length < 2) {
    return null;
  }
  return Plot.legend({ symbol: { domain: lines, range: lines.map((rest) => style.shape({ rest })) }, color: { domain: lines, range: lines.map((rest) => style.colour({ rest })) }, fill: "color", stroke: "color" });
}

function dots(points, x, y, style = styleOf([])) {
  const symbol = style.shape;
  return [
    Plot.dot(points.filter((one) => one.is_sound), { x, y, r: 5, symbol, fill: style.colour }),
    Plot.dot(points.filter((one) => !one.is_sound), { x, y, r: 5, symbol, stroke: style.colour, strokeWidth: 2, fill: "white" }),
  ];
}

/// Over a number.
function overNumber(width, points, title, quantity, varied) {
  const lines = [...new Set(points.map((one) => one.rest))];
  const style = styleOf(lines);
  const drawing = chart({
    label: `${quantity.name} against ${varied.label}`, description: inWords(points, quantity),
    width, height: Math.min(420, Math.max(300, width * 0.5)), marginLeft: 68, marginBottom: 48, marginTop: 34, marginRight: 28,
    x: { label: axisTitle(varied.label, varied.unit ?? "-"), labelAnchor: "center", labelArrow: "none", inset: 32, ticks: width < 500 ? 5 : 10, tickFormat: tickText },
    y: { label: title, labelArrow: "none", grid: true, nice: true, insetTop: 12, insetBottom: 4, ticks: 7, tickFormat: tickText },
    marks: [
      ...baselineMarks(points, true),
      Plot.line(points, { x: "x", y: "value", z: "rest", sort: "x", stroke: style.colour, strokeWidth: 1.5 }),
      Plot.ruleX(points, { x: "x", y1: "low", y2: "high", stroke: style.colour, strokeWidth: 2, marker: "tick" }),
      ...dots(points, "x", "value", style),
      Plot.text(lines.length > 1 ? [] : points, { x: "x", y: "high", text: "text", dy: -12, stroke: "white", strokeWidth: 4, fill: "currentColor" }),
    ],
  });
  return [linesLegend(lines, style), drawing];
}

/// Beside names.
function besideNames(width, points, title, quantity) {
  const longest = Math.max(...points.map((one) => one.name.length));
  const margin = Math.min(width * 0.4, 24 + longest * 7);
  const n_letters = Math.floor((margin - 20) / 7);
  return chart({
    label: `${quantity.name} of each variant`, description: inWords(points, quantity),
    width, height: 80 + 34 * points.length, marginLeft: margin, marginRight: 28, marginBottom: 48, marginTop: 12,
    x: { label: title, labelAnchor: "center", labelArrow: "none", grid: true, nice: true, inset: 24, ticks: width < 500 ? 4 : 8, tickFormat: tickText },
    y: { label: null, domain: points.map((one) => one.name), tickFormat: (name) => (name.length > n_letters ? `${name.slice(0, n_letters - 1)}…` : name), tickSize: 0 },
    marks: [
      ...baselineMarks(points, false),
      Plot.ruleY(points, { y: "name", x1: "low", x2: "high", stroke: accent, strokeWidth: 2, marker: "tick" }),
      ...dots(points, "value", "name"),
      Plot.text(points, { x: "value", y: "name", text: "text", dy: -13, stroke: "white", strokeWidth: 4, fill: "currentColor" }),
    ],
  });
}

/// Ticks with the page's minus sign, and no separator of thousands.
export function tickText(value) {
  return String(Number(value.toPrecision(12))).replace("-", "\u2212");
}

function inWords(points, quantity) {
  const unit = conversion(system(), quantity.unit).unit;
  return points.map((one) => `${one.name}: ${one.text} ${unit}${one.is_sound ? "" : ` (${doubt(one.variant)})`}`).join("; ");
}

function noteOf(results, points, id) {
  const sentences = [];
  if (points.some((one) => one.variant.is_baseline) && points.length > 1) {
    sentences.push("Dashed: the baseline, with its band in grey.");
  }
  if (points.some((one) => one.found.quantity.band === null)) {
    sentences.push("Points without bars have no known band.");
  }
  const doubtful = points.filter((one) => doubt(one.variant) !== "").map((one) => `${one.name} (${doubt(one.variant)})`);
  if (doubtful.length > 0) {
    const hollow = points.some((one) => !one.is_sound) ? " Hollow points may not be read as they stand." : "";
    sentences.push(`Not settled or flagged: ${doubtful.join("; ")}.${hollow}`);
  }
  const missing = results.variants.filter((variant, index) => !findQuantity(results, index, id));
  if (missing.length > 0) {
    sentences.push(`No value: ${missing.map((variant) => `${shortName(results, variant)} (${variant.status})`).join("; ")}.`);
  }
  return sentences.join(" ");
}

function tableOf(points, quantity) {
  return valuesTable(quantity.name, ["variant", ["value ", unitLabel(quantity.unit, "brackets")], "difference to the baseline", "status"],
    points.map((one) => [one.name, valueText(one.variant, one.found), differenceText(one.variant, one.found) ?? "", statusText(one.variant)]));
}

/// The figure as an element.
export function parameterFigure({ results }) {
  const quantities = allQuantities(results).filter(({ unit }) => unit !== "inH2O"); // the choice of units does that
  const preferred = (results.answer?.quantities ?? []).filter((id) => heading(results, id));
  const numeric = results.varied.filter((varied) => varied.is_number);
  const chosen = { id: preferred[0] ?? quantities[0].id, axis: numeric[0]?.key ?? "" };
  const entries = [
    ...preferred.map((id) => ({ quantity: heading(results, id), group: "In the answer" })),
    ...quantities.filter(({ id }) => !preferred.includes(id)).map((quantity) => ({ quantity, group: quantity.group })),
  ];
  const controls = [quantitySelect(entries, chosen.id, (id) => { chosen.id = id; made.redraw(); })];
  if (numeric.length > 0 && results.varied.length > 1) {
    const axes = [...numeric.map((varied) => ({ value: varied.key, text: varied.label })), { value: "", text: "variants by name" }];
    controls.push(select("Against", axes, chosen.axis, (axis) => { chosen.axis = axis; made.redraw(); }));
  }
  const made = figure({
    id: "plot-parameter",
    title: results.variants.length > 1 ? "Each quantity over the variants" : "Each quantity with its band",
    controls,
    draw: (width) => {
      const quantity = heading(results, chosen.id);
      const points = pointsOf(results, chosen.id, chosen.axis);
      const title = axisTitle(quantity.name, quantity.unit);
      const varied = numeric.find((one) => one.key === chosen.axis);
      const is_line = varied && points.length > 1 && points.every((one) => one.x !== null);
      return {
        drawing: is_line ? overNumber(width, points, title, quantity, varied) : besideNames(width, points, title, quantity),
        note: noteOf(results, points, chosen.id),
        values: tableOf(points, quantity),
      };
    },
  });
  return made.element;
}
