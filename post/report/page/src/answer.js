// SPDX-License-Identifier: GPL-3.0-or-later
//
// First screen: question, answer, how far it stands, the numbers it rests on, cautions.

import { h, scrolling } from "./dom.js";
import { findQuantity, heading, shortName, usableVariants } from "./study.js";
import { differenceText, headingText, icon, markLegend, statusText, valueText } from "./values.js";

/// Columns of a table that fit a printed page beside names and status.
const columns_on_paper = 4;

function standing(answer) {
  return h("div", { class: `standing ${answer.standing}` },
    icon(answer.standing),
    h("div", null,
      h("p", { class: "standing-text" }, answer.standing_text),
      answer.reasons?.length > 0 && h("ul", null, answer.reasons.map((reason) => h("li", null, reason)))));
}

/// What is to be said when the study has no numbers, or only doubtful ones; null when all is well.
function plainState(results) {
  if (results.variants.length === 0) {
    return "This study has no results yet: no variant has been run, so there is nothing to compare.";
  }
  const n_usable = usableVariants(results).length;
  if (n_usable === 0) {
    return results.variants.length === 1
      ? "The only variant failed: there are no numbers. The reason stands below."
      : `All ${results.variants.length} variants failed: there are no numbers. The reasons stand below.`;
  }
  if (results.variants.length === 1) {
    return "This study has one variant: its numbers stand alone, there is nothing to compare them with.";
  }
  const n_failed = results.variants.length - n_usable;
  return n_failed > 0 ? `${n_failed} of ${results.variants.length} variants failed and have no numbers.` : null;
}

function cell(results, index, id) {
  const variant = results.variants[index];
  const found = findQuantity(results, index, id);
  const difference = differenceText(variant, found);
  return h("td", null, valueText(variant, found), difference && [h("br"), difference]);
}

function row(results, variant, index, ids) {
  const is_failed = variant.quantities.length === 0;
  return h("tr", { class: variant.is_baseline ? "baseline" : null },
    h("th", { scope: "row" }, shortName(results, variant), variant.is_baseline && h("span", { class: "tag" }, "baseline")),
    h("td", null, statusText(variant)),
    is_failed
      ? h("td", { class: "absent", colspan: ids.length }, variant.status_reason)
      : ids.map((id) => cell(results, index, id)));
}

function table(results, ids, caption, kind) {
  const varied = results.varied.map((one) => one.label).join(", ");
  return h("table", { class: kind },
    h("caption", null, caption),
    h("thead", null, h("tr", null,
      h("th", { scope: "col" }, varied === "" ? "variant" : varied), h("th", { scope: "col" }, "status"),
      ids.map((id) => h("th", { scope: "col" }, headingText(heading(results, id)))))),
    h("tbody", null, results.variants.map((variant, index) => row(results, variant, index, ids))));
}

/// All columns on the screen, as many at a time as fit on paper.
function tables(results) {
  const ids = (results.answer?.quantities ?? []).filter((id) => heading(results, id));
  if (results.variants.length === 0) {
    return null;
  }
  const caption = ids.length === 0 ? "Variants" : results.answer.standing === "none" ? "What an answer would rest on" : "What the answer rests on";
  const parts = [];
  for (let i = 0; i === 0 || i < ids.length; i += columns_on_paper) {
    parts.push(ids.slice(i, i + columns_on_paper));
  }
  return [
    h("div", { class: "screen-only" }, scrolling(caption, table(results, ids, caption, "summary"))),
    h("div", { class: "print-only" }, parts.map((part, i) => table(results, part, i === 0 ? caption : `${caption}, continued`, "summary"))),
    ids.length > 0 && h("ul", { class: "legend-text" }, markLegend.map((line) => h("li", null, line))),
  ];
}

function cautions(results) {
  if (results.cautions.length === 0) {
    return null;
  }
  return h("aside", { class: "cautions", "aria-labelledby": "cautions-title" },
    h("h3", { id: "cautions-title" }, "Before you use any of these numbers"),
    h("ul", null, results.cautions.map((caution) => h("li", null, caution)),
      results.not_in_bands && h("li", null, results.not_in_bands)));
}

function failures(results) {
  const failed = results.variants.filter((variant) => variant.status === "failed");
  if (failed.length === 0) {
    return null;
  }
  return h("div", { class: "failures" },
    h("h3", null, "Failed variants"),
    h("ul", null, failed.map((variant) => h("li", null, h("strong", null, variant.name), ": ", variant.status_reason))));
}

/// The section as an element.
export function answerSection({ results }) {
  const answer = results.answer ?? null;
  const state = plainState(results);
  return h("section", { id: "answer", "aria-labelledby": "answer-title" },
    h("h2", { id: "answer-title" }, "Answer"),
    results.question && h("p", { class: "question" }, results.question),
    state && h("p", { class: "state" }, state),
    answer && h("div", { class: "sentences" }, answer.sentences.map((sentence) => h("p", null, sentence))),
    answer && standing(answer),
    failures(results),
    tables(results),
    results.notes.length > 0 && h("ul", { class: "notes" }, results.notes.map((note) => h("li", null, note))),
    cautions(results));
}
