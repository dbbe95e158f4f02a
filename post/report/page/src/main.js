// SPDX-License-Identifier: GPL-3.0-or-later
//
// Builds the page from what was put into it.

import { answerSection } from "./answer.js";
import { fill, h } from "./dom.js";
import { envelopeSection } from "./envelope.js";
import { setUnits, system } from "./numbers.js";
import { picturesSection } from "./pictures.js";
import { plotsSection } from "./plots/plots.js";
import { prepareForPrint } from "./print.js";
import { provenanceSection } from "./provenance.js";
import { sceneSection } from "./scene/section.js";
import { readStudy } from "./study.js";
import { tablesSection } from "./tables.js";
import { systems } from "./units.js";

function unitSwitch() {
  return h("fieldset", { class: "units" }, h("legend", { class: "visually-hidden" }, "Units"),
    systems.map(({ id, name, hint }) => h("label", { title: hint },
      h("input", { type: "radio", name: "units", value: id, checked: id === system(), onchange: () => setUnits(id) }), h("span", null, name))));
}

function navigation(sections) {
  return h("nav", { "aria-label": "Sections" }, sections.map((section) =>
    h("a", { href: `#${section.id}` }, section.querySelector("h2").textContent)));
}

function header(results, sections) {
  return [
    h("header", { class: "top" },
      h("p", { class: "kind" }, "Cowling flow study"),
      h("h1", null, results.study || "Study without a title")),
    h("div", { class: "bar" }, navigation(sections), unitSwitch()),
  ];
}

const page = document.getElementById("report");
const study = readStudy();
const sections = [answerSection, plotsSection, envelopeSection, picturesSection, sceneSection, tablesSection, provenanceSection]
  .map((make) => make(study)).filter((section) => section !== null);
document.title = `${study.results.study || "Study"} – report`;
fill(page, header(study.results, sections), h("main", null, sections));
prepareForPrint(study);
