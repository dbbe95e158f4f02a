// SPDX-License-Identifier: GPL-3.0-or-later
//
// The monitors over the iterations, with the window that means are taken over.

import * as Plot from "@observablehq/plot";

import { checkbox, select } from "../dom.js";
import { axisTitle, count, system, unitLabel } from "../numbers.js";
import { shortName } from "../study.js";
import { convert } from "../units.js";
import { statusText } from "../values.js";
import { accent, chart, figure, multiples, pale, valuesTable } from "./figure.js";
import { tickText } from "./parameter.js";

/// Samples of one monitor in shown units.
function samplesOf(variant, id) {
  const series = variant.histories.series.find((one) => one.id === id);
  if (!series) {
    return [];
  }
  return variant.histories.iterations
    .map((iteration, i) => ({ iteration, value: series.values[i] }))
    .filter((sample) => sample.value !== null && Number.isFinite(sample.value))
    .map((sample) => ({ iteration: sample.iteration, value: convert(system(), series.unit, sample.value) }));
}

/// What the axis shows: all, or what lies near the later three quarters, so that the start does not flatten the rest.
function domainOf(items, is_whole) {
  const kept = items.flatMap(({ samples }) => {
    const start = is_whole ? 0 : Math.floor(samples.length / 4);
    return samples.slice(start).map((sample) => sample.value);
  });
  const [low, high] = [Math.min(...kept), Math.max(...kept)];
  const room = 0.15 * (high - low) || 0.01 * Math.abs(high) || 1;
  return [low - room, high + room];
}

function drawOne(item, domain, title, width) {
  const window = item.variant.window;
  const swept = window ? [{ first: window.first_iteration, last: window.last_iteration }] : [];
  return chart({
    label: `${title} over the iterations, ${item.title}`,
    description: window ? `Averaged over iterations ${window.first_iteration} to ${window.last_iteration}.` : "No averaging window.",
    width, height: 250, marginLeft: 62, marginBottom: 42, marginRight: 14, marginTop: 30, clip: true,
    x: { label: "iteration", labelAnchor: "center", labelArrow: "none", ticks: 5, tickFormat: tickText },
    y: { label: title, labelArrow: "none", domain, grid: true, ticks: 5, tickFormat: tickText },
    marks: [
      Plot.rect(swept, { x1: "first", x2: "last", fill: pale, fillOpacity: 0.45 }),
      Plot.lineY(item.samples, { x: "iteration", y: "value", stroke: accent, strokeWidth: 1.5, clip: true }),
    ],
  });
}

function rowsOf(results, shown, samples_of) {
  return shown.map(({ variant, index }) => {
    const samples = samples_of(variant);
    return [shortName(results, variant),
      variant.window ? count(`/variants/${index}/window/first_iteration`, variant.window.first_iteration) : "none",
      variant.window ? count(`/variants/${index}/window/last_iteration`, variant.window.last_iteration) : "none",
      variant.window ? count(`/variants/${index}/window/samples`, variant.window.samples) : "none",
      String(samples.length), statusText(variant)];
  });
}

/// The figure as an element; null when no variant has histories.
export function historiesFigure({ results }) {
  const shown = results.variants.map((variant, index) => ({ variant, index })).filter(({ variant }) => variant.histories?.series.length > 0);
  if (shown.length === 0) {
    return null;
  }
  const series = new Map(shown.flatMap(({ variant }) => variant.histories.series.map((one) => [one.id, one])));
  const chosen = { id: series.has("deck_pressure_difference") ? "deck_pressure_difference" : [...series.keys()][0], is_whole: false };
  const made = figure({
    id: "plot-histories",
    title: "How the solution settled",
    controls: [
      select("Monitor", [...series.values()].map((one) => ({ value: one.id, text: one.name })), chosen.id, (id) => { chosen.id = id; made.redraw(); }),
      checkbox("Scale to the whole history", false, (is_whole) => { chosen.is_whole = is_whole; made.redraw(); }),
    ],
    draw: (width) => {
      const one = series.get(chosen.id);
      const items = shown.map(({ variant }) => ({ variant, title: `${shortName(results, variant)}: ${variant.status}`, samples: samplesOf(variant, chosen.id) }))
        .filter((item) => item.samples.length > 0);
      const domain = domainOf(items, chosen.is_whole);
      const title = axisTitle(one.name, one.unit);
      return {
        drawing: multiples(width, 310, items, (item, each) => drawOne(item, domain, title, each)),
        note: `Grey: the window the values are taken over. ${chosen.is_whole ? "" : "The axis fits the later three quarters; the start may run out of it."}`,
        values: valuesTable(`Windows, ${one.name}`, ["variant", "window from", "to iteration", "samples in it", "samples drawn", "status"],
          rowsOf(results, shown, (variant) => samplesOf(variant, chosen.id))),
      };
    },
  });
  return made.element;
}
