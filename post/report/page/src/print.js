// SPDX-License-Identifier: GPL-3.0-or-later
//
// Makes the page ready for paper and puts it back: details opened, plots drawn for the paper's width, all views of the
// pictures, tables in parts that fit.

import { fill, h } from "./dom.js";
import { allViews } from "./pictures.js";
import { figuresForPaper } from "./plots/figure.js";
import { definitionsForPaper, tablesForPaper } from "./tables.js";

let opened = [];

function prepare(study) {
  const views = document.getElementById("printed-views");
  if (views) {
    fill(views, allViews(study));
  }
  fill(document.getElementById("printed-tables"), tablesForPaper(study), study.results.variants.length > 0 && definitionsForPaper(study));
  opened = [...document.querySelectorAll("details:not([open])")];
  opened.forEach((details) => { details.open = true; });
  figuresForPaper(true);
}

function restore() {
  opened.forEach((details) => { details.open = false; });
  opened = [];
  const views = document.getElementById("printed-views");
  if (views) {
    views.replaceChildren();
  }
  document.getElementById("printed-tables").replaceChildren();
  figuresForPaper(false);
}

/// Listens for printing.
export function prepareForPrint(study) {
  window.addEventListener("beforeprint", () => prepare(study));
  window.addEventListener("afterprint", restore);
}

/// What stands in the place of the 3-D view on paper.
export function paperInsteadOf3d() {
  return h("p", { class: "print-only" }, "The 3-D view is in the page itself, opened in a browser; paper cannot show it.");
}
