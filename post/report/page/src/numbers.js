// SPDX-License-Identifier: GPL-3.0-or-later
//
// Numbers on the page. Each knows where in the results it stands and follows the chosen units.
//
// A number carries data-path (JSON pointer into the results) and data-unit (the unit it is shown in), so that what is
// shown can be compared with what was computed.

import { h } from "./dom.js";
import { conversion, convert, decimalsIn, minus, unitText } from "./units.js";

const state = { system: "si", listeners: [] };
const specs = new WeakMap();

export function system() {
  return state.system;
}

/// Calls back whenever other units are chosen.
export function onUnits(listener) {
  state.listeners.push(listener);
}

/// Chooses units for the whole page.
export function setUnits(id) {
  state.system = id;
  for (const element of document.querySelectorAll("[data-path], [data-unit-of]")) {
    refresh(element);
  }
  state.listeners.forEach((listener) => listener());
}

/// Value with its decimals; "-0.0" becomes "0.0".
export function fixed(value, decimals) {
  const text = value.toFixed(decimals);
  return /^-[0.]+$/.test(text) ? text.slice(1) : text;
}

/// A band with these decimals, rounded up: never 0 unless it is.
export function fixedUp(band, decimals) {
  const scale = 10 ** decimals;
  const rounding = 1e-6; // of a printed unit: 10.0 must not become 10.1
  return fixed(Math.ceil(band * scale - rounding) / scale, decimals);
}

/// The text of a number in the chosen units.
/// spec: {value, unit, decimals, kind: "value" | "difference" | "band", signed}.
export function numberText({ value, unit, decimals = 3, kind = "value", signed = false }) {
  const shown = convert(state.system, unit, value, kind !== "value");
  const places = decimalsIn(state.system, unit, decimals);
  if (kind === "band") {
    return fixedUp(shown, places);
  }
  const text = fixed(shown, places);
  return minus(signed && !text.startsWith("-") ? `+${text}` : text);
}

function refresh(element) {
  const spec = specs.get(element);
  if (!spec) {
    return;
  }
  if (element.dataset.unitOf !== undefined) {
    element.textContent = unitOf(spec.unit, spec.style);
    return;
  }
  element.textContent = numberText(spec);
  element.dataset.unit = conversion(state.system, spec.unit).unit;
}

/// A number of the results. spec: as numberText, and `path`.
export function number(spec) {
  const element = h("span", { class: "n", "data-path": spec.path, "data-unit": "" });
  specs.set(element, spec);
  refresh(element);
  return element;
}

/// A whole number of the results.
export function count(path, value) {
  return number({ path, value, unit: "1", decimals: 0 });
}

function unitOf(unit, style) {
  const text = unitText(conversion(state.system, unit).unit);
  if (style === "brackets") {
    return text === "" ? "[-]" : `[${text}]`;
  }
  return style === "after" && text !== "" ? `\u00a0${text}` : text;
}

/// The unit that values of this stored unit are shown in. style: "plain", "brackets", "after" (with a space ahead).
export function unitLabel(unit, style = "plain") {
  const element = h("span", { class: "unit", "data-unit-of": unit });
  specs.set(element, { unit, style });
  refresh(element);
  return element;
}

/// The same as text, for plots.
export function unitName(unit) {
  return unitOf(unit, "plain");
}

/// "name [unit]" as text, for plots.
export function axisTitle(name, unit) {
  const text = unitName(unit);
  return text === "" ? name : `${name} [${text}]`;
}
