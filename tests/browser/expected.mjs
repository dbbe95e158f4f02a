// SPDX-License-Identifier: GPL-3.0-or-later
//
// What the page must show for a number of the results, worked out from the results alone and without the page's own code.

import { at } from "./support.mjs";

// Shown unit and how to get there, from the definitions of the units: inch 25.4 mm, foot 304.8 mm, pound 0.45359237 kg, pound-force
// 4.4482216152605 N, knot 1852 m/h, horsepower 550 ft lbf/s, conventional inch of water 249.08891 Pa and inch of mercury 3386.389 Pa.
const practical = {
  Pa: ["inH2O", (pascal) => pascal / 249.08891],
  hPa: ["inHg", (hectopascal) => (hectopascal * 100) / 3386.389],
  "kg/s": ["lb/min", (kilogram) => (kilogram / 0.45359237) * 60],
  "kg/m3": ["lb/ft3", (kilogram) => (kilogram / 0.45359237) * 0.3048 ** 3],
  degC: ["degF", (celsius) => (celsius * 9) / 5 + 32],
  K: ["degF", (kelvin) => (kelvin * 9) / 5],
  N: ["lbf", (newton) => newton / 4.4482216152605],
  "N m": ["ft lbf", (newton_metre) => newton_metre / 4.4482216152605 / 0.3048],
  kW: ["hp", (kilowatt) => (kilowatt * 1000) / (550 * 0.3048 * 4.4482216152605)],
  cm2: ["in2", (square) => square / 6.4516],
  mm: ["in", (millimetre) => millimetre / 25.4],
  m: ["ft", (metre) => metre / 0.3048],
  "m/s": ["kt", (speed) => (speed * 3600) / 1852],
};

// Stored in SI in the results, shown in a unit people use.
const flight = {
  true_airspeed: ["m/s", (value) => value], density_altitude: ["m", (value) => value], pressure_altitude: ["m", (value) => value], temperature: ["degC", (kelvin) => kelvin - 273.15],
  pressure: ["hPa", (pascal) => pascal / 100], density: ["kg/m3", (value) => value], dynamic_pressure: ["Pa", (value) => value],
  reference_pressure: ["Pa", (value) => value], incidence: ["deg", (radian) => (radian * 180) / Math.PI], sideslip: ["deg", (radian) => (radian * 180) / Math.PI],
};

const whole = /\/(cells|fields_iteration|first_iteration|last_iteration|samples)$/;

/// {unit, value} of a pointer in the unit it has before the choice of units; throws for a number nobody knows how to check.
function stored(results, pointer) {
  const raw = at(results, pointer);
  const [, , , section, ...rest] = pointer.split("/");
  const last = rest.at(-1);
  if (whole.test(pointer)) {
    return { unit: "1", value: raw };
  }
  if (pointer.endsWith("/cell_size")) {
    return { unit: "mm", value: raw * 1000 };
  }
  if (section === "quantities") {
    const { unit } = at(results, pointer.split("/").slice(0, 5).join("/"));
    if (last === "relative") {
      return { unit: "%", value: raw * 100 };
    }
    const is_width = last.endsWith("band") || last === "absolute";
    return { unit: unit === "degC" && is_width ? "K" : unit, value: raw };
  }
  if (section === "balances") {
    return { unit: "%", value: raw };
  }
  if (section === "budget") {
    return { unit: last === "of_reference" ? "-" : "Pa", value: raw };
  }
  if (section === "flight" && last in flight) {
    return { unit: flight[last][0], value: flight[last][1](raw) };
  }
  throw new Error(`no rule for ${pointer}`);
}

/// {unit, value, is_band} that the page must show for a pointer in a system of units, "si" or "practical".
export function expected(results, pointer, system) {
  const { unit, value } = stored(results, pointer);
  const is_band = pointer.endsWith("band");
  if (system === "si" || !(unit in practical)) {
    return { unit, value, is_band };
  }
  const [shown, convert] = practical[unit];
  return { unit: shown, value: convert(value), is_band };
}

/// The number in a text of the page and the worth of its last digit.
export function read(text) {
  const plain = text.replace("\u2212", "-");
  if (!/^[+-]?\d+(\.\d+)?$/.test(plain)) {
    throw new Error(`"${text}" is no number`);
  }
  return { value: Number(plain), digit: 10 ** -(plain.split(".")[1]?.length ?? 0) };
}
