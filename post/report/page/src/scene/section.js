// SPDX-License-Identifier: GPL-3.0-or-later
//
// The section of the 3-D view: why there is none, or the place where it starts when it is reached or asked for.

import { fill, h } from "../dom.js";
import { fixedUp } from "../numbers.js";
import { paperInsteadOf3d } from "../print.js";
import { shortName } from "../study.js";
import { startViewer } from "./viewer.js";
import { hasWebGl } from "./view.js";

function reasonsOf(study) {
  return study.results.variants.map((variant) => {
    const one = study.pictures.find((candidate) => candidate.variant === variant.name);
    const why = one?.scene_reason || (variant.quantities.length === 0 ? "the variant failed, there is no flow to show" : "none was made");
    return `${shortName(study.results, variant)}: ${why}`;
  });
}

function absent(study) {
  if (study.results.variants.length === 0) {
    return h("p", { class: "state" }, "No 3-D view: no variant has been run.");
  }
  return h("div", { class: "state" }, h("p", null, "No 3-D view, for these reasons:"), h("ul", null, reasonsOf(study).map((reason) => h("li", null, reason))));
}

/// Starts once, by the button or when it comes into sight.
function waiting(study, scenes) {
  const area = h("div", { class: "scene" });
  let is_started = false;
  const start = () => {
    if (is_started) {
      return;
    }
    is_started = true;
    observer.disconnect();
    startViewer(area, study, scenes).catch((error) => fill(area, h("p", { class: "state" }, `The 3-D view did not start: ${error.message}`)));
  };
  const observer = new IntersectionObserver((entries) => {
    if (entries.some((entry) => entry.isIntersecting)) {
      start();
    }
  }, { threshold: 0.25 });
  fill(area, h("button", { type: "button", class: "start", onclick: start }, "Show the 3-D view"));
  observer.observe(area);
  return area;
}

/// How far thinned surfaces are from the solver's, as measured; nothing when none was thinned.
function thinning(scenes) {
  const largest = Math.max(...scenes.map((scene) => scene.header.tolerance ?? 0));
  return largest > 0
    ? ` Surfaces are thinned out to keep the page small: no point is farther than ${fixedUp(largest * 1000, 2)} mm (${fixedUp(largest / 0.0254, 3)} in) from the solver's.`
    : "";
}

/// Whether a scenes element holds anything, without reading megabytes of it.
function scenesAreEmbedded() {
  return (document.getElementById("scenes")?.textContent.trim() ?? "").length > 4;
}

/// The section as an element.
export function sceneSection(study) {
  const scenes = study.results.variants.length > 0 && scenesAreEmbedded() ? study.scenes() : [];
  const known = scenes.filter((scene) => study.results.variants.some((variant) => variant.name === scene.variant));
  const body = () => {
    if (known.length === 0) {
      return absent(study);
    }
    if (!hasWebGl()) {
      return h("p", { class: "state screen-only" }, "This browser cannot draw in 3-D (no WebGL). Pictures and numbers are complete without it.");
    }
    return [h("p", { class: "lead screen-only" }, "Turn it, colour it, point at it. Two variants can be seen side by side by the same eye and in the same colours.", thinning(known)),
      h("div", { class: "screen-only" }, waiting(study, known)), paperInsteadOf3d()];
  };
  return h("section", { id: "scene", "aria-labelledby": "scene-title" }, h("h2", { id: "scene-title" }, "3-D view"), body());
}
