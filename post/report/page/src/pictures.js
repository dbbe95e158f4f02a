// SPDX-License-Identifier: GPL-3.0-or-later
//
// Pictures: one view of all variants side by side; a click enlarges.

import { fill, h, newId } from "./dom.js";
import { doubt, shortName } from "./study.js";

/// Every view that some variant has or misses, once: {id, title, caption}.
function viewsOf(pictures) {
  const views = new Map();
  for (const one of pictures) {
    for (const view of [...one.views, ...(one.missing ?? [])]) {
      const known = views.get(view.id);
      views.set(view.id, { id: view.id, title: view.title, caption: known?.caption ?? view.caption ?? "" });
    }
  }
  return [...views.values()];
}

function enlarge(image, title, caption) {
  const title_id = newId("enlarged");
  const dialog = h("dialog", { class: "enlarged", "aria-labelledby": title_id, onclose: () => dialog.remove() },
    h("form", { method: "dialog" }, h("h3", { id: title_id }, title), h("button", { autofocus: true }, "Close")),
    h("div", { class: "enlarged-image", tabindex: "0", role: "region", "aria-label": "enlarged picture" }, h("img", { src: image.src, alt: image.alt, width: image.width, height: image.height })),
    h("p", null, caption));
  dialog.addEventListener("click", (event) => {
    if (event.target === dialog) {
      dialog.close();
    }
  });
  document.body.append(dialog);
  dialog.showModal();
}

/// One variant's picture of a view, or why there is none.
function pictureOf(study, variant, view) {
  const one = study.pictures.find((candidate) => candidate.variant === variant.name);
  const image = one?.views.find((candidate) => candidate.id === view.id);
  const words = doubt(variant);
  const title = `${shortName(study.results, variant)}${variant.is_baseline ? " (baseline)" : ""}${words === "" ? "" : `: ${words}`}`;
  if (!image) {
    const reason = one?.missing?.find((candidate) => candidate.id === view.id)?.reason
      ?? (variant.quantities.length === 0 ? "The variant failed: there is no flow to show." : "No picture of this view was made for this variant.");
    return h("figure", { class: "picture missing" }, h("figcaption", null, title), h("p", null, reason));
  }
  const show = () => enlarge(image, `${view.title}: ${title}`, image.caption);
  return h("figure", { class: "picture" },
    h("figcaption", null, title),
    h("button", { type: "button", class: "picture-button", onclick: show, title: "Enlarge" },
      h("img", { src: image.src, alt: image.alt, width: image.width, height: image.height }),
      h("span", { class: "visually-hidden" }, " Enlarge")));
}

function viewBlock(study, view) {
  return [h("p", { class: "lead" }, view.caption),
    h("div", { class: `pictures columns-${Math.min(study.results.variants.length, 3)}` }, study.results.variants.map((variant) => pictureOf(study, variant, view)))];
}

/// Moves along a row of tabs with the arrow keys.
function onTabKey(event, tabs) {
  const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
  const at = tabs.indexOf(event.target);
  const next = step ? tabs[(at + step + tabs.length) % tabs.length] : { Home: tabs[0], End: tabs.at(-1) }[event.key];
  if (next) {
    event.preventDefault();
    next.focus();
    next.click();
  }
}

function viewTabs(study, views) {
  const panel_id = newId("view");
  const panel = h("div", { id: panel_id, role: "tabpanel", class: "view-panel" });
  const tabs = views.map((view) => h("button", {
    type: "button", role: "tab", id: newId("tab"), "aria-controls": panel_id, onclick: () => choose(view), onkeydown: (event) => onTabKey(event, tabs),
  }, view.title));
  const choose = (view) => {
    tabs.forEach((tab, i) => {
      tab.setAttribute("aria-selected", String(views[i] === view));
      tab.tabIndex = views[i] === view ? 0 : -1;
    });
    panel.setAttribute("aria-labelledby", tabs[views.indexOf(view)].id);
    fill(panel, viewBlock(study, view));
  };
  choose(views[0]);
  return [h("div", { role: "tablist", "aria-label": "View", class: "tabs" }, tabs), panel];
}

/// Every view for paper, its variants side by side; made when it is printed, so that images are not held twice.
export function allViews(study) {
  return viewsOf(study.pictures).map((view) => h("div", { class: "printed-view" }, h("h3", null, view.title), viewBlock(study, view)));
}

/// The section as an element.
export function picturesSection(study) {
  const views = study.results.variants.length > 0 ? viewsOf(study.pictures) : [];
  return h("section", { id: "views", "aria-labelledby": "pictures-title" },
    h("h2", { id: "pictures-title" }, "Pictures"),
    views.length === 0
      ? h("p", { class: "state" }, study.results.variants.length === 0 ? "No pictures: no variant has been run." : "No pictures were made for this study.")
      : [h("div", { class: "screen-only" }, viewTabs(study, views)), h("div", { class: "print-only", id: "printed-views" })]);
}
