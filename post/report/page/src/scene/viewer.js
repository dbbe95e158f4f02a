// SPDX-License-Identifier: GPL-3.0-or-later
//
// The 3-D view at work: what is shown, the eye that both sides share, reading at a point.

import { checkbox, fill, h, select } from "../dom.js";
import { fixed, onUnits, system, unitName } from "../numbers.js";
import { doubt, shortName } from "../study.js";
import { convert, decimalsIn, minus, stations } from "../units.js";
import { gradient } from "./colours.js";
import { colourRange, extent, fieldsOf, unpack } from "./data.js";
import { eyeFor, standard_views, turned, zoomed } from "./orbit.js";
import { pick, rayOf } from "./pick.js";
import { SceneView } from "./view.js";

const step = 15; // deg
const decimals_of = { cp: 3, cpt: 3, speed_ratio: 3, p: 1, T: 1, rise: 1, speed: 1 };

/// One side: its element, its drawing, what was read.
class Side {
  constructor(label) {
    this.frame = h("div", { class: "scene-frame", role: "group", tabindex: "0" });
    this.title = h("p", { class: "scene-title" });
    this.reading = h("div", { class: "reading", "aria-live": "polite" });
    this.marker = h("span", { class: "marker", "aria-hidden": "true", hidden: true }, "+");
    this.element = h("div", { class: "scene-side" }, this.title, this.frame, this.reading);
    this.label = label;
    this.variant = null;
    this.pieces = [];
    this.found = null;
  }

  start() {
    this.view = new SceneView(this.frame);
    this.frame.append(this.marker);
  }

  mark(x, y) {
    this.marker.hidden = false;
    this.marker.style.left = `${x}px`;
    this.marker.style.top = `${y}px`;
  }
}

/// A field's value in the chosen units.
function fieldText(field, value) {
  const decimals = decimalsIn(system(), field.unit, decimals_of[field.id] ?? 2);
  return minus(fixed(convert(system(), field.unit, value), decimals));
}

/// Cuts would hide the surfaces behind them: they are there to be switched on.
function hiddenAtFirst(pieces) {
  const has_surfaces = pieces.some((piece) => piece.kind === "surface");
  return new Set(pieces.filter((piece) => has_surfaces && piece.kind === "slice").map((piece) => piece.id));
}

/// A tick of the legend, to a hundredth of the range.
function tickOf(field, [low, high], share) {
  const [from, to] = [low, high].map((value) => convert(system(), field.unit, value));
  const decimals = Math.max(0, 2 - Math.floor(Math.log10(to - from)));
  return minus(fixed(from + share * (to - from), decimals));
}

class Viewer {
  constructor(area, study, scenes) {
    this.area = area;
    this.study = study;
    this.scenes = scenes;
    this.unpacked = new Map();
    this.fields = fieldsOf(scenes.map((scene) => scene.header));
    this.field = this.fields.find((field) => field.id === "cp") ?? this.fields[0];
    this.hidden = hiddenAtFirst(scenes.flatMap((scene) => scene.header.pieces));
    this.sides = [new Side("first"), new Side("second")];
    this.legend = h("div", { class: "scene-legend" });
    this.pieces = h("fieldset", { class: "pieces" });
    this.eye = null;
  }

  nameOf(name) {
    const variant = this.study.results.variants.find((one) => one.name === name);
    const words = doubt(variant);
    return `${shortName(this.study.results, variant)}${words === "" ? "" : ` (${words})`}`;
  }

  controls() {
    const options = this.scenes.map((scene) => ({ value: scene.variant, text: this.nameOf(scene.variant) }));
    const base = this.study.results.variants.find((variant) => variant.is_baseline)?.name;
    const first = options.find((option) => option.value === base)?.value ?? options[0].value;
    this.sides[0].variant = first;
    this.sides[1].variant = "";
    const fields = this.fields.map((field) => ({ value: field.id, text: field.title }));
    return h("div", { class: "controls" },
      select("Variant", options, first, (name) => this.choose(0, name)),
      options.length > 1 && select("Beside it", [{ value: "", text: "nothing" }, ...options], "", (name) => this.choose(1, name)),
      select("Colour by", fields, this.field.id, (id) => { this.field = this.fields.find((field) => field.id === id); this.recolour(); }));
  }

  eyeButtons() {
    const button = (name, title, act) => h("button", { type: "button", title, "aria-label": title, onclick: () => act() }, name);
    return h("div", { class: "eye", role: "group", "aria-label": "Eye" },
      standard_views.map((view) => button(view.name, `Look from: ${view.name}`, () => this.look({ ...this.eye, ...view }))),
      button("◀", `Turn ${step} degrees left`, () => this.look(turned(this.eye, -step, 0))),
      button("▶", `Turn ${step} degrees right`, () => this.look(turned(this.eye, step, 0))),
      button("▲", `Turn ${step} degrees up`, () => this.look(turned(this.eye, 0, step))),
      button("▼", `Turn ${step} degrees down`, () => this.look(turned(this.eye, 0, -step))),
      button("+", "Closer", () => this.look(zoomed(this.eye, 1.25))),
      button("−", "Farther", () => this.look(zoomed(this.eye, 0.8))),
      button("Read at the middle", "Read at the middle of the view", () => this.readMiddle()));
  }

  async start() {
    fill(this.area, this.controls(), this.pieces, this.eyeButtons(), h("div", { class: "scene-sides" }, this.sides.map((side) => side.element)), this.legend,
      h("p", { class: "figure-note" }, "Drag to turn, two fingers or Ctrl and the wheel to zoom, click to read a point. Keys in the view: arrows turn, + and − zoom, Enter reads the middle."));
    this.sides.forEach((side) => { side.element.hidden = side.variant === ""; });
    this.sides[0].start();
    this.sides.forEach((side) => this.listen(side));
    await this.load(this.sides[0]);
    this.look(eyeFor(extent(this.sides[0].pieces)));
    onUnits(() => { this.drawLegend(); this.sides.forEach((side) => this.drawReading(side)); });
    new ResizeObserver(() => this.fit()).observe(this.area);
    this.area.dataset.state = "ready";
  }

  shown() {
    return this.sides.filter((side) => side.variant !== "" && side.view);
  }

  async choose(at, name) {
    const side = this.sides[at];
    this.area.dataset.state = "loading";
    side.variant = name;
    side.element.hidden = name === "";
    if (name !== "") {
      if (!side.view) {
        side.start();
      }
      await this.load(side);
    }
    this.fit();
    this.look(this.eye);
    this.area.dataset.state = "ready";
  }

  async load(side) {
    if (!this.unpacked.has(side.variant)) {
      this.unpacked.set(side.variant, await unpack(this.scenes.find((scene) => scene.variant === side.variant)));
    }
    side.pieces = this.unpacked.get(side.variant);
    side.title.textContent = this.nameOf(side.variant);
    side.frame.setAttribute("aria-label", `3-D view of ${this.nameOf(side.variant)}. Arrows turn it, plus and minus zoom, Enter reads the values at the middle.`);
    side.found = null;
    side.view.show(side.pieces);
    this.drawPieces();
    this.recolour();
    this.drawReading(side);
  }

  recolour() {
    const range = colourRange(this.shown().flatMap((side) => side.pieces), this.field.id);
    this.range = range;
    this.shown().forEach((side) => {
      side.view.colour(this.field.id, range);
      side.view.setVisible((id) => !this.hidden.has(id));
      side.view.render();
    });
    this.drawLegend();
  }

  look(eye) {
    this.eye = eye;
    this.shown().forEach((side) => {
      side.marker.hidden = true;
      side.view.look(eye);
      side.view.render();
    });
  }

  fit() {
    this.shown().forEach((side) => { side.view.fit(); side.view.render(); });
  }

  drawLegend() {
    const { field, range } = this;
    const unit = unitName(field.unit);
    const title = `${field.title}${unit === "" ? "" : ` [${unit}]`}`;
    const ticks = range ? [0, 0.25, 0.5, 0.75, 1].map((share) => h("span", null, tickOf(field, range, share))) : [];
    fill(this.legend, h("p", { class: "legend-title" }, title), h("div", { class: "legend-bar", style: `background: ${gradient()}` }), h("div", { class: "legend-ticks" }, ticks),
      h("p", { class: "figure-note" }, "One range for all that is shown. Values outside it take the colour of its end; grey pieces do not carry this field."));
  }

  drawPieces() {
    const known = new Map(this.shown().flatMap((side) => side.pieces.map((piece) => [piece.id, piece])));
    const box = ({ id, title }) => checkbox(title, !this.hidden.has(id), (is_shown) => {
      this.hidden[is_shown ? "delete" : "add"](id);
      this.recolour();
    });
    const rows = [["surface", "surfaces"], ["slice", "cuts"], ["streamlines", "paths"]].map(([kind, words]) => [words, [...known.values()].filter((piece) => piece.kind === kind)]);
    fill(this.pieces, h("legend", null, "Show"), rows.filter(([, some]) => some.length > 0).map(([words, some]) =>
      h("div", { class: "piece-row" }, h("span", { class: "piece-kind" }, words), some.map(box))));
  }

  drawReading(side) {
    if (side.found === null) {
      fill(side.reading, h("p", null, "Click a point to read it."));
      return;
    }
    if (side.found === "nothing") {
      fill(side.reading, h("p", null, "Nothing there to read."));
      return;
    }
    const { piece, place, values } = side.found;
    fill(side.reading, h("dl", { class: "readings" },
      h("div", null, h("dt", null, "on"), h("dd", null, piece.title)),
      stations(system(), place).map(({ label, text }) => h("div", null, h("dt", null, label), h("dd", { "data-reading": label }, text))),
      this.fields.filter((field) => values.has(field.id)).map((field) =>
        h("div", null, h("dt", null, field.title), h("dd", { "data-reading": field.id }, `${fieldText(field, values.get(field.id))} ${unitName(field.unit)}`)))));
  }

  /// Reads the same place of both sides: the eye is the same.
  read(x, y) {
    const { width, height } = this.sides[0].frame.getBoundingClientRect();
    const ray = rayOf(this.eye, x, y, width, height);
    this.shown().forEach((side) => {
      side.found = pick(side.pieces.filter((piece) => !this.hidden.has(piece.id)), ray) ?? "nothing";
      side.mark(x, y);
      this.drawReading(side);
    });
  }

  readMiddle() {
    const { width, height } = this.sides[0].frame.getBoundingClientRect();
    this.read(width / 2, height / 2);
  }

  listen(side) {
    const { frame } = side;
    const down = new Map();
    let moved = 0;
    let spread = 0;
    const distance = () => { const [a, b] = [...down.values()]; return Math.hypot(a.x - b.x, a.y - b.y); };
    frame.addEventListener("pointerdown", (event) => {
      frame.setPointerCapture(event.pointerId);
      moved = down.size === 0 ? 0 : Infinity;
      down.set(event.pointerId, { x: event.clientX, y: event.clientY });
      spread = down.size === 2 ? distance() : 0;
    });
    frame.addEventListener("pointermove", (event) => {
      const last = down.get(event.pointerId);
      if (!last) {
        return;
      }
      const [dx, dy] = [event.clientX - last.x, event.clientY - last.y];
      down.set(event.pointerId, { x: event.clientX, y: event.clientY });
      moved += Math.hypot(dx, dy);
      if (down.size === 2) {
        this.look(zoomed(this.eye, distance() / spread));
        spread = distance();
      } else if (moved > 4) {
        this.look(turned(this.eye, -0.5 * dx, 0.5 * dy));
      }
    });
    const up = (event) => {
      if (down.delete(event.pointerId) && event.type === "pointerup" && moved <= 4) {
        const box = frame.getBoundingClientRect();
        this.read(event.clientX - box.left, event.clientY - box.top);
      }
    };
    frame.addEventListener("pointerup", up);
    frame.addEventListener("pointercancel", up);
    frame.addEventListener("wheel", (event) => {
      if (event.ctrlKey || event.metaKey) {
        event.preventDefault();
        this.look(zoomed(this.eye, Math.exp(-0.002 * event.deltaY)));
      }
    }, { passive: false });
    frame.addEventListener("keydown", (event) => this.onKey(event));
  }

  onKey(event) {
    const acts = {
      ArrowLeft: () => this.look(turned(this.eye, -step, 0)), ArrowRight: () => this.look(turned(this.eye, step, 0)),
      ArrowUp: () => this.look(turned(this.eye, 0, step)), ArrowDown: () => this.look(turned(this.eye, 0, -step)),
      "+": () => this.look(zoomed(this.eye, 1.25)), "=": () => this.look(zoomed(this.eye, 1.25)), "-": () => this.look(zoomed(this.eye, 0.8)),
      Enter: () => this.readMiddle(),
    };
    if (acts[event.key]) {
      event.preventDefault();
      acts[event.key]();
    }
  }
}

/// Fills an element with the 3-D view of these scenes.
export async function startViewer(area, study, scenes) {
  await new Viewer(area, study, scenes).start();
}
