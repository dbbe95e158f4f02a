// SPDX-License-Identifier: GPL-3.0-or-later
//
// The map of margins over speed and altitude that `cowlwright envelope` wrote.

import * as Plot from "@observablehq/plot";

import { h, select } from "./dom.js";
import { axisTitle, numberText, system, unitLabel, unitName } from "./numbers.js";
import { chart, figure, valuesTable } from "./plots/figure.js";
import { tickText } from "./plots/parameter.js";
import { convert } from "./units.js";

// Red where a limit is passed, blue where there is room; darker farther away.
const colours = ["#67000d", "#cb181d", "#fb6a4a", "#fcbba1", "#deebf7", "#9ecae1", "#4292c6", "#084594"];

const svg = "http://www.w3.org/2000/svg";

/// The temperature with the smallest margin, or null.
function tightest(point) {
  return point.temperatures.find((one) => one.id === point.tightest) ?? null;
}

/// What is drawn: the margin, or its low end where there is a band only [K]; NaN where there is none.
function drawn(point) {
  const found = tightest(point);
  return found === null ? NaN : found.margin.value ?? found.margin.low;
}

function difference(value) {
  return numberText({ value, unit: "K", decimals: 0, kind: "difference" });
}

function marginText(point) {
  const found = tightest(point);
  if (point.status !== "flown") {
    return point.status === "stall" ? "below the stall" : `no answer: ${point.trouble}`;
  }
  if (found === null) {
    return "no margin";
  }
  const { value, low, high } = found.margin;
  const band = `${difference(low)} to ${difference(high)}`;
  return value === null ? band : `${difference(value)} (${band})`;
}

function placeText(point) {
  const found = tightest(point);
  return found === null ? "" : found.cylinder === "" ? found.name : `${found.name}, cylinder ${found.cylinder}`;
}

/// Steps of the margin so that four on each side hold all of it, in shown units.
function stepOf(points) {
  const largest = Math.max(...points.map((point) => Math.abs(convert(system(), "K", drawn(point), true))).filter(Number.isFinite), 0);
  return [5, 10, 20, 25, 40, 50].find((step) => 4 * step >= largest) ?? 100;
}

/// Grid points in shown units.
function nodesOf(map, points) {
  return points.map((point) => ({
    point,
    x: convert(system(), "m/s", map.airspeeds[point.speed]),
    y: convert(system(), "m", map.altitudes[point.altitude]),
    value: convert(system(), "K", drawn(point), true),
    low: convert(system(), "K", tightest(point)?.margin.low ?? NaN, true),
  }));
}

/// Rectangles between grid points of which one is true for `test`.
function cellsWhere(map, nodes, test) {
  const n = map.airspeeds.length;
  const cells = [];
  for (let a = 0; a + 1 < map.altitudes.length; a += 1) {
    for (let s = 0; s + 1 < n; s += 1) {
      const corners = [nodes[a * n + s], nodes[a * n + s + 1], nodes[(a + 1) * n + s], nodes[(a + 1) * n + s + 1]];
      if (corners.some(({ point }) => test(point))) {
        cells.push({ x1: corners[0].x, x2: corners[3].x, y1: corners[0].y, y2: corners[3].y });
      }
    }
  }
  return cells;
}

/// Four triangles about the middle of each cell whose corners all have this value.
function trianglesOf(map, nodes, key) {
  const n = map.airspeeds.length;
  const found = [];
  for (let i = 0; i + n < nodes.length; i += 1) {
    const corners = (i + 1) % n === 0 ? [] : [nodes[i], nodes[i + 1], nodes[i + n + 1], nodes[i + n]];
    if (corners.length === 0 || !corners.every((corner) => Number.isFinite(corner[key]))) {
      continue;
    }
    const mean = (what) => corners.reduce((sum, corner) => sum + corner[what], 0) / 4;
    const bare = (corner) => ({ x: corner.x, y: corner.y, value: corner[key] });
    const middle = { x: mean("x"), y: mean("y"), value: mean(key) };
    corners.forEach((corner, at) => found.push([bare(corner), bare(corners[(at + 1) % 4]), middle]));
  }
  return found;
}

function between(a, b, level) {
  const t = (level - a.value) / (b.value - a.value);
  return { x: a.x + t * (b.x - a.x), y: a.y + t * (b.y - a.y), value: level };
}

/// Ends of short lines where the value is nothing.
function zeroLine(map, nodes, key) {
  return trianglesOf(map, nodes, key).map((triangle) => triangle.map((one, side) => [one, triangle[(side + 1) % 3]])
    .filter(([a, b]) => (a.value < 0) !== (b.value < 0)).map(([a, b]) => between(a, b, 0)))
    .filter((ends) => ends.length === 2)
    .map(([one, other]) => ({ x1: one.x, y1: one.y, x2: other.x, y2: other.y }));
}

/// What of a polygon has sign * (value - level) >= 0.
function clipped(polygon, level, sign) {
  return polygon.flatMap((here, i) => {
    const next = polygon[(i + 1) % polygon.length];
    const is_in = sign * (here.value - level) >= 0;
    const next_is_in = sign * (next.value - level) >= 0;
    return [...(is_in ? [here] : []), ...(is_in === next_is_in ? [] : [between(here, next, level)])];
  });
}

/// Coloured parts between neighbouring thresholds: nothing beyond the grid, unlike a contour that extrapolates.
function stepsMark(map, nodes, thresholds) {
  const bounds = [-Infinity, ...thresholds, Infinity];
  return (_index, { x, y }) => {
    const group = document.createElementNS(svg, "g");
    for (const triangle of trianglesOf(map, nodes, "value")) {
      colours.forEach((colour, i) => {
        const low = Number.isFinite(bounds[i]) ? clipped(triangle, bounds[i], 1) : triangle;
        const part = Number.isFinite(bounds[i + 1]) ? clipped(low, bounds[i + 1], -1) : low;
        if (part.length > 2) {
          const polygon = document.createElementNS(svg, "polygon");
          Object.entries({ points: part.map((one) => `${x(one.x)},${y(one.y)}`).join(" "), fill: colour, stroke: colour, "stroke-width": 0.6 })
            .forEach(([key, value]) => polygon.setAttribute(key, value));
          group.append(polygon);
        }
      });
    }
    return group;
  };
}

function hatch() {
  const pattern = document.createElementNS(svg, "pattern");
  const line = document.createElementNS(svg, "line");
  Object.entries({ id: "envelope-hatch", width: 7, height: 7, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" })
    .forEach(([key, value]) => pattern.setAttribute(key, value));
  Object.entries({ x1: 0, y1: 0, x2: 0, y2: 7, stroke: "#333333", "stroke-opacity": 0.55 })
    .forEach(([key, value]) => line.setAttribute(key, value));
  pattern.append(line);
  return pattern;
}

function inWords(map, points) {
  return points.map((point) => `${pointName(map, point)}: ${marginText(point)} ${unitName("K")}`).join("; ");
}

function pointName(map, point) {
  const speed = numberText({ value: map.airspeeds[point.speed], unit: "m/s", decimals: 1 });
  const altitude = numberText({ value: map.altitudes[point.altitude], unit: "m", decimals: 0 });
  return `${speed} ${unitName("m/s")}, ${altitude} ${unitName("m")}`;
}

function picture(width, map, points) {
  const nodes = nodesOf(map, points);
  if (map.airspeeds.length < 2 || map.altitudes.length < 2 || !nodes.some(({ value }) => Number.isFinite(value))) {
    return h("p", { class: "state" }, "No map: it takes two airspeeds, two altitudes and a margin. The values stand below.");
  }
  const step = stepOf(points);
  const thresholds = [-3, -2, -1, 0, 1, 2, 3].map((n) => n * step);
  const ends = { x1: "x1", y1: "y1", x2: "x2", y2: "y2", stroke: "black" };
  const drawing = chart({
    label: "Smallest margin over speed and altitude", description: inWords(map, points),
    width, height: Math.min(440, Math.max(320, width * 0.55)), marginLeft: 70, marginBottom: 48, marginTop: 34, marginRight: 28,
    x: { label: axisTitle(`${map.speeds_are_calibrated ? "calibrated" : "true"} airspeed`, "m/s"), labelAnchor: "center", labelArrow: "none", inset: 24, tickFormat: tickText },
    y: { label: axisTitle("pressure altitude", "m"), labelArrow: "none", inset: 24, tickFormat: tickText },
    color: { type: "threshold", domain: thresholds, range: colours },
    marks: [
      stepsMark(map, nodes, thresholds),
      Plot.rect(cellsWhere(map, nodes, (point) => point.status === "no_answer"), { x1: "x1", x2: "x2", y1: "y1", y2: "y2", fill: "#e8e8e8" }),
      Plot.rect(cellsWhere(map, nodes, (point) => point.extrapolated.length > 0), { x1: "x1", x2: "x2", y1: "y1", y2: "y2", fill: "url(#envelope-hatch)" }),
      Plot.rect(cellsWhere(map, nodes, (point) => point.status === "stall"), { x1: "x1", x2: "x2", y1: "y1", y2: "y2", fill: "white", fillOpacity: 0.75 }),
      Plot.link(zeroLine(map, nodes, "value"), { ...ends, strokeWidth: 3, strokeLinecap: "round" }),
      Plot.link(map.has_values ? zeroLine(map, nodes, "low") : [], { ...ends, strokeWidth: 1.5, strokeDasharray: "5,4" }),
      Plot.dot(nodes, { x: "x", y: "y", r: 2, fill: "black" }),
      Plot.text(nodes.length > 90 ? [] : nodes, {
        x: "x", y: "y", dy: -9, stroke: "white", strokeWidth: 4, fill: "currentColor",
        text: ({ point }) => (point.status === "stall" ? "stall" : Number.isFinite(drawn(point)) ? difference(drawn(point)) : "none"),
      }),
    ],
  });
  drawing.prepend(hatch());
  return [Plot.legend({ color: { type: "threshold", domain: thresholds, range: colours, tickFormat: tickText }, label: axisTitle(map.has_values ? "smallest margin" : "margin at the hot end of the band", "K"), width: Math.min(width, 420) }), drawing];
}

function noteOf(map, points) {
  const sentences = [map.has_values ? "Thick line: no margin left. Dashed: none left at the hot end of the band."
    : "No reading calibrates this: what is drawn is the low end of a band that rests on assumptions. Thick line: no margin left there."];
  if (points.some((point) => point.extrapolated.length > 0)) {
    sentences.push("Hatched: extrapolated beyond the readings.");
  }
  if (points.some((point) => point.status === "no_answer")) {
    sentences.push("Grey: the model has no answer.");
  }
  return sentences.join(" ");
}

function tableOf(map, points) {
  return valuesTable("Smallest margin", ["airspeed, altitude", ["outside ", unitLabel("degC", "brackets")], ["margin ", unitLabel("K", "brackets")], "where", "extrapolated"],
    points.map((point) => [
      pointName(map, point),
      numberText({ value: point.outside_temperature - 273.15, unit: "degC", decimals: 0 }),
      marginText(point), placeText(point), point.extrapolated.join("; ") || "no",
    ]));
}

function mapFigure(map) {
  const chosen = { power: 0, day: map.days.length - 1 };
  const options = (names) => names.map((text, i) => ({ value: String(i), text }));
  const controls = [
    select("Power", options(map.powers.map((power) => power.name)), "0", (at) => { chosen.power = Number(at); made.redraw(); }),
    select("Day", options(map.days), String(chosen.day), (at) => { chosen.day = Number(at); made.redraw(); }),
  ];
  const made = figure({
    id: "plot-envelope",
    title: "Smallest margin over speed and altitude",
    controls,
    draw: (width) => {
      const points = map.points.filter((point) => point.power === chosen.power && point.day === chosen.day);
      return { drawing: picture(width, map, points), note: noteOf(map, points), values: tableOf(map, points) };
    },
  });
  return made.element;
}

const listed = (texts) => h("ul", null, texts.map((text) => h("li", null, text)));

/// The section as an element; null when there is no map.
export function envelopeSection({ envelope }) {
  if (envelope === null) {
    return null;
  }
  const { map, trouble } = envelope;
  return h("section", { id: "margins", "aria-labelledby": "margins-title" },
    h("h2", { id: "margins-title" }, "Envelope"),
    map === null ? h("p", { class: "state" }, `${trouble}.`) : [
      h("p", { class: "lead" }, `${map.study}, variant ${map.variant}, by the quick estimate.`),
      h("p", null, h("strong", null, map.worst)),
      listed(map.cautions),
      mapFigure(map),
      h("details", null, h("summary", null, "What it rests on"), listed([...map.notes, ...map.assumptions])),
    ]);
}
