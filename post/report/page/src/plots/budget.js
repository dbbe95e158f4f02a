// SPDX-License-Identifier: GPL-3.0-or-later
//
// Where the available pressure goes, step by step from ahead of the inlets to behind the exit.

import * as Plot from "@observablehq/plot";

import { axisTitle, fixed, number, numberText, system, unitLabel, unitName } from "../numbers.js";
import { doubt, shortName } from "../study.js";
import { convert, minus } from "../units.js";
import { statusText } from "../values.js";
import { accent, chart, figure, ink, multiples, pale, second, valuesTable } from "./figure.js";
import { tickText } from "./parameter.js";

const decimals = 1;

/// Steps with the level before and after each, in shown units.
function stepsOf(variant) {
  let level = 0;
  return variant.budget.map((step) => {
    const before = level;
    level += step.value;
    return {
      name: step.name, value: step.value,
      from: convert(system(), "Pa", before, true), to: convert(system(), "Pa", level, true),
      text: numberText({ value: step.value, unit: "Pa", decimals, kind: "difference", signed: true }),
    };
  });
}

/// A long name on two lines.
function broken(name, n_letters) {
  const words = name.split(" ");
  const lines = [""];
  for (const word of words) {
    const last = lines[lines.length - 1];
    if (last !== "" && last.length + word.length + 1 > n_letters) {
      lines.push(word);
    } else {
      lines[lines.length - 1] = last === "" ? word : `${last} ${word}`;
    }
  }
  return lines.join("\n");
}

function waterfall(steps, domain, width, title) {
  const margin = Math.min(190, width * 0.42);
  const names = new Map(steps.map((step) => [step.name, broken(step.name, margin / 7.4)]));
  const n_lines = Math.max(...[...names.values()].map((name) => name.split("\n").length));
  const step_height = Math.max(46, 16 * n_lines + 8);
  return chart({
    label: title, description: steps.map((step) => `${step.name}: ${step.text} ${unitName("Pa")}`).join("; "),
    width, height: 62 + step_height * steps.length, marginLeft: margin, marginRight: 20, marginTop: 6, marginBottom: 46,
    x: { label: axisTitle("gauge pressure", "Pa"), labelAnchor: "center", labelArrow: "none", domain, nice: true, grid: true, ticks: 4, tickFormat: tickText },
    y: { domain: steps.map((step) => step.name), label: null, tickSize: 0, padding: 0.52, tickFormat: (name) => names.get(name) },
    marks: [
      Plot.ruleX([0], { stroke: ink }),
      Plot.link(steps.slice(0, -1).map((step, i) => ({ level: step.to, upper: step.name, lower: steps[i + 1].name })), {
        x1: "level", x2: "level", y1: "upper", y2: "lower", stroke: pale, strokeWidth: 1.5,
      }),
      Plot.barX(steps, { y: "name", x1: "from", x2: "to", fill: (step) => (step.value >= 0 ? accent : second) }),
      Plot.text(steps, {
        y: "name", x: (step) => (step.from + step.to) / 2, text: "text", dy: -0.24 * step_height - 8, fontWeight: 600, stroke: "white", strokeWidth: 4, fill: ink,
      }),
    ],
  });
}

function rowsOf(results, shown) {
  return shown.flatMap(({ variant, index }) => variant.budget.map((step, i) => [
    shortName(results, variant), step.name,
    number({ path: `/variants/${index}/budget/${i}/value`, value: step.value, unit: "Pa", decimals, kind: "difference", signed: true }),
    step.of_reference === null || step.of_reference === undefined ? "n/a"
      : number({ path: `/variants/${index}/budget/${i}/of_reference`, value: step.of_reference, unit: "-", decimals: 3, kind: "difference", signed: true }),
    statusText(variant),
  ]));
}

/// The figure as an element; null when no variant has a budget.
export function budgetFigure({ results }) {
  const shown = results.variants.map((variant, index) => ({ variant, index })).filter(({ variant }) => variant.budget?.length > 0);
  if (shown.length === 0) {
    return null;
  }
  const made = figure({
    id: "plot-budget",
    title: "Where the pressure goes",
    lead: "From the total pressure ahead of the inlets, each step takes the level on from where the one above it ended; together they return to free stream pressure.",
    draw: (width) => {
      const items = shown.map(({ variant }) => ({ title: titleOf(results, variant), steps: stepsOf(variant) }));
      const levels = items.flatMap((item) => item.steps.flatMap((step) => [step.from, step.to]));
      const domain = [Math.min(0, ...levels), Math.max(0, ...levels)];
      const reference = shown[0].variant.flight?.reference_name ?? "the reference pressure";
      return {
        drawing: multiples(width, 310, items, (item, each) => waterfall(item.steps, domain, each, `Pressure budget, ${item.title}`)),
        note: `Sum of the steps: ${sums(items)} (0 when closed).`,
        values: valuesTable("Pressure budget", ["variant", "step", ["change ", unitLabel("Pa", "brackets")], `of ${reference}`, "status"], rowsOf(results, shown)),
      };
    },
  });
  return made.element;
}

function titleOf(results, variant) {
  const words = doubt(variant);
  return words === "" ? shortName(results, variant) : `${shortName(results, variant)} (${words})`;
}

function sums(items) {
  const unit = unitName("Pa");
  return items.map((item) => `${minus(fixed(item.steps.at(-1).to, system() === "si" ? 1 : 3))} ${unit}`).join(", ");
}
