// SPDX-License-Identifier: GPL-3.0-or-later
//
// A quantity against the cell size, where a variant was solved on several grids.

import * as Plot from "@observablehq/plot";

import { h } from "../dom.js";
import { axisTitle, number, system, unitLabel } from "../numbers.js";
import { allQuantities, findQuantity, shortName } from "../study.js";
import { convert, intervalUnit } from "../units.js";
import { accent, chart, figure, ink, multiples, pale, quantitySelect, valuesTable } from "./figure.js";
import { tickText } from "./parameter.js";

function hasGrids(quantity) {
  return (quantity.grids?.values ?? []).filter((one) => one.value !== null).length > 1;
}

/// Values of one variant in shown units: on each grid, extrapolated, and the published band at the finest that counts.
function gridPoints(found) {
  const { quantity } = found;
  const shown = (value) => convert(system(), quantity.unit, value);
  const width = (value) => convert(system(), quantity.unit, value, true);
  const values = quantity.grids.values.filter((one) => one.value !== null).map((one) => ({
    size: convert(system(), "mm", 1000 * one.cell_size), value: shown(one.value), name: one.grid, is_used: one.left_out === null,
    low: shown(one.value) - width(one.half_band ?? 0), high: shown(one.value) + width(one.half_band ?? 0),
  }));
  const { extrapolated, band } = quantity.grids;
  const finest = values.find((one) => one.is_used);
  return {
    values,
    extrapolated: extrapolated === null ? [] : [{ size: 0, value: shown(extrapolated) }],
    published: finest && band !== null && quantity.band !== null
      ? [{ size: finest.size, low: shown(quantity.value) - width(quantity.band), high: shown(quantity.value) + width(quantity.band) }] : [],
  };
}

function drawOne(item, domain, title, width) {
  const { values, extrapolated, published } = item.points;
  const largest = Math.max(...values.map((one) => one.size));
  return chart({
    label: `${title} against cell size, ${item.title}`, description: item.statement,
    width, height: 290, marginLeft: 66, marginBottom: 44, marginTop: 30, marginRight: 16,
    x: { label: axisTitle("cell size", "mm"), labelAnchor: "center", labelArrow: "none", domain: [0, largest * 1.15], ticks: 5, tickFormat: tickText },
    y: { label: title, labelArrow: "none", domain, nice: true, grid: true, ticks: 6, tickFormat: tickText },
    marks: [
      Plot.ruleX(published, { x: "size", y1: "low", y2: "high", stroke: pale, strokeWidth: 9 }),
      Plot.line([...extrapolated, ...values.filter((one) => one.is_used)], { x: "size", y: "value", sort: "size", stroke: accent, strokeDasharray: "4,4" }),
      Plot.ruleX(values, { x: "size", y1: "low", y2: "high", stroke: accent, strokeWidth: 2, marker: "tick" }),
      Plot.dot(values.filter((one) => one.is_used), { x: "size", y: "value", r: 5, fill: accent }),
      Plot.dot(values.filter((one) => !one.is_used), { x: "size", y: "value", r: 5, stroke: accent, strokeWidth: 2, fill: "white" }),
      Plot.dot(extrapolated, { x: "size", y: "value", r: 6, symbol: "diamond", stroke: ink, strokeWidth: 2, fill: "white" }),
      Plot.text(values, { x: "size", y: "low", text: "name", dy: 14, stroke: "white", strokeWidth: 4, fill: ink }),
    ],
  });
}

function rowsOf(shown) {
  return shown.flatMap(({ title, found: { quantity, path } }) => [
    ...quantity.grids.values.map((one, i) => [title, one.grid,
      number({ path: `${path}/grids/values/${i}/cell_size`, value: 1000 * one.cell_size, unit: "mm", decimals: 2 }),
      one.value === null ? "n/a" : number({ path: `${path}/grids/values/${i}/value`, value: one.value, unit: quantity.unit, decimals: quantity.decimals }),
      one.half_band === null ? "" : ["±", number({ path: `${path}/grids/values/${i}/half_band`, value: one.half_band, unit: intervalUnit(quantity.unit), decimals: quantity.decimals, kind: "band" })],
      one.left_out === null ? "yes" : `no: ${one.left_out}`]),
    quantity.grids.extrapolated !== null && [title, "extrapolated", "0",
      number({ path: `${path}/grids/extrapolated`, value: quantity.grids.extrapolated, unit: quantity.unit, decimals: quantity.decimals }),
      quantity.grids.band === null ? "" : ["±", number({ path: `${path}/grids/band`, value: quantity.grids.band, unit: intervalUnit(quantity.unit), decimals: quantity.decimals, kind: "band" }), " (discretisation)"], ""],
  ].filter(Boolean));
}

function domainOf(shown) {
  const all = shown.flatMap(({ points }) => [...points.values.flatMap((one) => [one.low, one.high]), ...points.extrapolated.map((one) => one.value),
    ...points.published.flatMap((one) => [one.low, one.high])]);
  const [low, high] = [Math.min(...all), Math.max(...all)];
  const room = 0.08 * (high - low) || 0.01 * Math.abs(high) || 1;
  return [low - room, high + room];
}

/// The figure as an element; null when nothing was solved on several grids.
export function gridsFigure({ results }) {
  const several = new Set(results.variants.flatMap((variant) => variant.quantities.filter(hasGrids).map((quantity) => quantity.id)));
  const quantities = allQuantities(results).filter((one) => several.has(one.id) && one.unit !== "inH2O");
  if (quantities.length === 0) {
    return null;
  }
  let id = (results.answer?.quantities ?? []).find((one) => several.has(one)) ?? quantities[0].id;
  const made = figure({
    id: "plot-grids",
    title: "What a finer grid changes",
    controls: [quantitySelect(quantities.map((quantity) => ({ quantity, group: quantity.group })), id, (value) => { id = value; made.redraw(); })],
    draw: (width) => {
      const shown = results.variants.map((variant, index) => ({ variant, title: shortName(results, variant), found: findQuantity(results, index, id) }))
        .filter(({ found }) => found && hasGrids(found.quantity))
        .map((item) => ({ ...item, points: gridPoints(item.found), statement: item.found.quantity.grids.statement }));
      const { name, unit } = shown[0].found.quantity;
      const domain = domainOf(shown);
      return {
        drawing: multiples(width, 310, shown, (item, each) => h("div", null, drawOne(item, domain, axisTitle(name, unit), each), h("p", { class: "statement" }, item.statement))),
        note: "Bars: band of the iterations on each grid. Grey: the published band. Diamond: extrapolated to cell size zero. Hollow: a grid that was left out.",
        values: valuesTable(`${name}, by grid`, ["variant", "grid", ["cell size ", unitLabel("mm", "brackets")], [`${name} `, unitLabel(unit, "brackets")], "band", "used"], rowsOf(shown)),
      };
    },
  });
  return made.element;
}
