// SPDX-License-Identifier: GPL-3.0-or-later
//
// Frame of a plot: title, choices, drawing that follows width and units, what it says in words, values behind it.

import * as Plot from "@observablehq/plot";

import { fill, h, newId, select } from "../dom.js";
import { axisTitle, onUnits } from "../numbers.js";

/// Width of the text on A4 and Letter with their margins, in CSS pixels.
const paper_width = 660;

const figures = [];

export const ink = "#1d2733";
export const accent = "#14507a";
export const second = "#a34a00";
export const pale = "#b9c6d2";

/// Plot's defaults of this page, and a name and a description for who cannot see it.
export function chart({ label, description, ...options }) {
  const svg = Plot.plot({
    style: { fontSize: "13px", fontFamily: "inherit", color: ink, background: "none", overflow: "visible" },
    ariaLabel: label,
    ariaDescription: description,
    ...options,
  });
  svg.setAttribute("role", "img");
  svg.querySelectorAll("[aria-label]").forEach((part) => part.removeAttribute("aria-label"));
  return svg;
}

/// A figure. `draw(width)` returns {drawing, note, values}: nodes to show, a sentence and a table of what is drawn; it is
/// called again for another width, other units or after `redraw`. `controls`: elements above the drawing.
export function figure({ id, title, lead, controls = [], draw }) {
  const area = h("div", { class: "drawing" });
  const note = h("p", { class: "figure-note" });
  const values = h("div", null);
  const title_id = newId("figure");
  const element = h("div", { class: "figure", id, role: "group", "aria-labelledby": title_id },
    h("h3", { id: title_id }, title),
    lead && h("p", { class: "lead" }, lead),
    controls.length > 0 && h("div", { class: "controls" }, controls),
    area, note,
    h("details", { class: "values" }, h("summary", null, "Values", h("span", { class: "visually-hidden" }, ` of: ${title}`)), values));
  let drawn_width = 0;
  const redraw = (width = area.clientWidth) => {
    if (width > 0) {
      drawn_width = width;
      const made = draw(width);
      fill(area, made.drawing);
      fill(note, made.note ?? "");
      fill(values, made.values);
    }
  };
  new ResizeObserver(() => {
    if (Math.abs(area.clientWidth - drawn_width) > 8 && !printing) {
      redraw();
    }
  }).observe(area);
  onUnits(() => redraw());
  figures.push(redraw);
  return { element, redraw };
}

/// A list of quantities, each with the unit it is shown in. entries: [{quantity, group}].
export function quantitySelect(entries, id, onchange) {
  const options = entries.map(({ quantity, group }) => ({ value: quantity.id, text: axisTitle(quantity.name, quantity.unit), group }));
  const control = select("Quantity", options, id, onchange);
  onUnits(() => [...control.querySelectorAll("option")].forEach((option, i) => {
    option.textContent = axisTitle(entries[i].quantity.name, entries[i].quantity.unit);
  }));
  return control;
}

let printing = false;

/// Draws all figures for paper, or again for the screen.
export function figuresForPaper(is_paper) {
  printing = is_paper;
  figures.forEach((redraw) => (is_paper ? redraw(paper_width) : redraw()));
}

/// Small drawings side by side, one per variant, each under its name.
export function multiples(width, smallest, items, draw) {
  const n_columns = Math.max(1, Math.min(items.length, Math.floor(width / smallest)));
  const gap = 16;
  const one = Math.min(Math.floor((width - gap * (n_columns - 1)) / n_columns), 2 * smallest);
  return h("div", { class: "multiples", style: `grid-template-columns: repeat(${n_columns}, ${one}px)` },
    items.map((item) => h("figure", null, h("figcaption", null, item.title), draw(item, one))));
}

/// A table of what a plot shows.
export function valuesTable(caption, head, rows) {
  return h("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": caption },
    h("table", null,
      h("caption", null, caption),
      h("thead", null, h("tr", null, head.map((text) => h("th", { scope: "col" }, text)))),
      h("tbody", null, rows.map(([first, ...rest]) =>
        h("tr", null, h("th", { scope: "row" }, first), rest.map((text) => h("td", null, text)))))));
}
