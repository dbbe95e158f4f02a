// SPDX-License-Identifier: GPL-3.0-or-later
//
// All quantities of all variants, balances, flags, notes and grids in full.

import { h, scrolling } from "./dom.js";
import { count, number, unitLabel } from "./numbers.js";
import { allQuantities, findQuantity, shortName } from "./study.js";
import { differenceText, headingText, markLegend, statusText, valueText } from "./values.js";

const variants_on_paper = 5;

function allBalances(results) {
  const known = new Map();
  results.variants.forEach((variant) => variant.balances.forEach((balance) => known.set(balance.id, known.get(balance.id) ?? balance.name)));
  return [...known].map(([id, name]) => ({ id, name }));
}

/// "-1.230 % (limit 1 %)", with EXCEEDED when it is.
function balanceText(results, index, id) {
  const position = results.variants[index].balances.findIndex((balance) => balance.id === id);
  if (position < 0) {
    return "n/a";
  }
  const balance = results.variants[index].balances[position];
  const at = `/variants/${index}/balances/${position}`;
  const plain = (key) => number({ path: `${at}/${key}`, value: balance[key], unit: "%", decimals: Number.isInteger(balance[key]) ? 0 : 1 });
  const limit = balance.lowest === -balance.highest ? ["limit ", plain("highest"), "\u00a0%"] : [plain("lowest"), " to ", plain("highest"), "\u00a0%"];
  const value = balance.value === null ? "n/a" : [number({ path: `${at}/value`, value: balance.value, unit: "%", decimals: 3, kind: "difference", signed: true }), "\u00a0%"];
  return [value, " (", limit, ")", balance.exceeded && h("strong", null, " EXCEEDED")];
}

function windowText(results, index) {
  const { window, fields_iteration } = results.variants[index];
  const at = `/variants/${index}`;
  if (window) {
    return ["iterations ", count(`${at}/window/first_iteration`, window.first_iteration), " to ", count(`${at}/window/last_iteration`, window.last_iteration),
      ", ", count(`${at}/window/samples`, window.samples), " samples"];
  }
  return fields_iteration === null ? "none" : ["last iteration ", count(`${at}/fields_iteration`, fields_iteration), " only"];
}

/// Rows ahead of the quantities: [name, cell of a variant].
function headRows(results) {
  return [
    ["status", (index) => statusText(results.variants[index])],
    ["grid", (index) => [results.variants[index].grid_level, results.variants[index].cells !== null && [", ", count(`/variants/${index}/cells`, results.variants[index].cells), " cells"]]],
    ["values over", (index) => windowText(results, index)],
    ["discretisation", (index) => results.variants[index].discretisation],
    ...allBalances(results).map(({ id, name }) => [name, (index) => balanceText(results, index, id)]),
  ];
}

function quantityCell(results, index, id) {
  const found = findQuantity(results, index, id);
  const difference = differenceText(results.variants[index], found);
  return h("td", null, valueText(results.variants[index], found), difference && [h("br"), difference]);
}

function quantityName(quantity, is_paper) {
  return is_paper ? headingText(quantity)
    : h("details", { class: "definition" }, h("summary", null, headingText(quantity)), h("p", null, quantity.definition));
}

function table(results, indices, caption, is_paper) {
  const groups = new Map();
  allQuantities(results).forEach((quantity) => groups.set(quantity.group, [...(groups.get(quantity.group) ?? []), quantity]));
  const groupRow = (name) => h("tr", { class: "group" }, h("th", { scope: "rowgroup", colspan: indices.length + 1 }, name));
  return h("table", { class: "full" },
    h("caption", null, caption),
    h("thead", null, h("tr", null, h("td", null, h("span", { class: "visually-hidden" }, "quantity")), indices.map((index) => h("th", { scope: "col" }, shortName(results, results.variants[index]),
      results.variants[index].is_baseline && h("span", { class: "tag" }, "baseline"))))),
    h("tbody", null, headRows(results).map(([name, cell]) => h("tr", null, h("th", { scope: "row" }, name), indices.map((index) => h("td", { class: "words" }, cell(index)))))),
    [...groups].map(([name, quantities]) => h("tbody", null, groupRow(name),
      quantities.map((quantity) => h("tr", null, h("th", { scope: "row" }, quantityName(quantity, is_paper)), indices.map((index) => quantityCell(results, index, quantity.id)))))));
}

/// The full table in parts that fit on paper; made when it is printed.
export function tablesForPaper({ results }) {
  const indices = results.variants.map((_, index) => index);
  const parts = [];
  const size = Math.ceil(indices.length / Math.ceil(indices.length / variants_on_paper)); // alike, so that none is left alone
  for (let i = 0; i < indices.length; i += size) {
    parts.push(indices.slice(i, i + size));
  }
  return parts.map((part, i) => table(results, part, `All quantities${parts.length > 1 ? `, part ${i + 1} of ${parts.length}` : ""}`, true));
}

/// Quantities with one definition, together.
function byDefinition(results) {
  const known = new Map();
  allQuantities(results).forEach((quantity) => known.set(quantity.definition, [...(known.get(quantity.definition) ?? []), quantity]));
  return [...known.values()];
}

/// Definitions once each, for paper.
export function definitionsForPaper({ results }) {
  return h("div", null, h("h3", null, "Definitions"), h("p", null, "Pressures are gauge, relative to the free stream."),
    h("dl", { class: "definitions" }, byDefinition(results).map((alike) =>
      [h("dt", null, alike.map((quantity, i) => [i > 0 && "; ", headingText(quantity)])), h("dd", null, alike[0].definition)])));
}

function remarks(results, variant, index) {
  const settings = Object.entries(variant.settings ?? {}).map(([key, text]) => `${key} = ${text}`).join("; ");
  return h("div", { class: "remarks" },
    h("h4", null, variant.name),
    h("ul", null,
      settings !== "" && h("li", null, "set: ", settings),
      h("li", null, "status: ", statusText(variant), ": ", variant.status_reason),
      variant.flags.map((flag) => h("li", { class: "flag" }, h("strong", null, "FLAGGED: "), flag)),
      variant.notes.map((note) => h("li", null, note)),
      h("li", null, "grids: ", variant.discretisation),
      variant.grids.length > 1 && variant.grids.map((grid, i) => h("li", null, `${grid.level}: `,
        grid.cells !== null && [count(`/variants/${index}/grids/${i}/cells`, grid.cells), " cells of "],
        number({ path: `/variants/${index}/grids/${i}/cell_size`, value: 1000 * grid.cell_size, unit: "mm", decimals: 2 }), unitLabel("mm", "after"),
        `, ${grid.status}: ${grid.status_reason}`, grid.left_out !== null && `; left out: ${grid.left_out}`)),
      gridStatements(variant)));
}

/// What the grids say of each quantity, for one variant.
function gridStatements(variant) {
  const stated = variant.quantities.filter((quantity) => quantity.grids !== null);
  return stated.length > 0 && h("li", null, h("details", null, h("summary", null, `what the grids say of each of ${stated.length} quantities`),
    h("ul", null, stated.map((quantity) => h("li", null, h("strong", null, quantity.name), quantity.unit === "-" ? "" : ` [${quantity.unit}]`, ": ", quantity.grids.is_flagged && "~ ", quantity.grids.statement)))));
}

/// The section as an element.
export function tablesSection({ results }) {
  const indices = results.variants.map((_, index) => index);
  const has_numbers = results.variants.some((variant) => variant.quantities.length > 0);
  return h("section", { id: "numbers", "aria-labelledby": "numbers-title" },
    h("h2", { id: "numbers-title" }, "All numbers"),
    results.variants.length === 0 && h("p", { class: "state" }, "No table: no variant has been run."),
    has_numbers && h("p", { class: "lead screen-only" }, "A quantity's name opens its definition. Pressures are gauge, relative to the free stream."),
    results.variants.length > 0 && h("div", { class: "screen-only" }, scrolling("All quantities", table(results, indices, "All quantities", false), "tall")),
    h("div", { class: "print-only", id: "printed-tables" }),
    has_numbers && h("ul", { class: "legend-text" }, markLegend.map((line) => h("li", null, line))),
    results.variants.length > 0 && [
      h("h3", null, "Flags, notes and grids"),
      results.variants.map((variant, index) => remarks(results, variant, index)),
      h("h3", null, "What status and bands mean"),
      h("ul", null, [results.status_rule, results.half_band, results.band, results.not_in_bands].filter(Boolean).map((text) => h("li", null, text))),
    ]);
}
