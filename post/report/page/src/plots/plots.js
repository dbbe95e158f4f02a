// SPDX-License-Identifier: GPL-3.0-or-later
//
// The section of plots. A plot that the results hold nothing for is left out.

import { h } from "../dom.js";
import { usableVariants } from "../study.js";
import { budgetFigure } from "./budget.js";
import { engineFigure } from "./engine.js";
import { gridsFigure } from "./grids.js";
import { historiesFigure } from "./histories.js";
import { parameterFigure } from "./parameter.js";
import { sidesFigure } from "./sides.js";

/// The section as an element.
export function plotsSection(study) {
  const has_numbers = usableVariants(study.results).length > 0;
  const makers = has_numbers ? [parameterFigure, sidesFigure, engineFigure, budgetFigure, historiesFigure, gridsFigure] : [historiesFigure];
  const figures = makers.map((make) => make(study)).filter((one) => one !== null);
  return h("section", { id: "plots", "aria-labelledby": "plots-title" },
    h("h2", { id: "plots-title" }, "Plots"),
    !has_numbers && h("p", { class: "state" }, "No plot of results: no variant gave numbers."),
    figures);
}
