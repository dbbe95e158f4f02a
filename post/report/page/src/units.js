// SPDX-License-Identifier: GPL-3.0-or-later
//
// Units: how results are stored and how they are shown. Nothing here touches the page.
//
// Source of every factor: NIST SP 811 (2008), appendix B. Exact by definition: inch 0.0254 m, foot 0.3048 m, pound
// 0.453 592 37 kg, standard gravity 9.806 65 m/s2, knot 1852/3600 m/s, degree Fahrenheit 5/9 K. Conventional,
// to the digits that are printed there: inch of water 249.0889 Pa, inch of mercury 3386.389 Pa. The study files use the
// former with one digit more (249.088 91 Pa), and so does this page.

const inch = 0.0254;
const foot = 0.3048;
const pound = 0.45359237;
const pound_force = pound * 9.80665;
const knot = 1852 / 3600;

/// Stored unit -> shown unit per system: shown = stored * factor + offset. A unit that is not listed stays as it is.
const conversions = {
  practical: {
    Pa: { unit: "inH2O", factor: 1 / 249.08891 },
    hPa: { unit: "inHg", factor: 100 / 3386.389 },
    "kg/s": { unit: "lb/min", factor: 60 / pound },
    "kg/m3": { unit: "lb/ft3", factor: foot ** 3 / pound },
    degC: { unit: "degF", factor: 1.8, offset: 32 },
    K: { unit: "degF", factor: 1.8 },
    N: { unit: "lbf", factor: 1 / pound_force },
    "N m": { unit: "ft lbf", factor: 1 / (pound_force * foot) },
    kW: { unit: "hp", factor: 1000 / (550 * foot * pound_force) },
    cm2: { unit: "in2", factor: 1e-4 / inch ** 2 },
    m2: { unit: "ft2", factor: 1 / foot ** 2 },
    mm: { unit: "in", factor: 0.001 / inch },
    m: { unit: "ft", factor: 1 / foot },
    "m/s": { unit: "kt", factor: 1 / knot },
  },
  si: {},
};

const spelling = {
  inH2O: "inH₂O", degC: "°C", degF: "°F", deg: "°", cm2: "cm²", in2: "in²", m2: "m²", ft2: "ft²",
  "kg/m3": "kg/m³", "lb/ft3": "lb/ft³", "N m": "N·m", "ft lbf": "ft·lbf", "-": "", 1: "",
};

export const systems = [
  { id: "si", name: "SI units", hint: "Pa, kg/s, °C, N, m" },
  { id: "practical", name: "Practical units", hint: "inH₂O, lb/min, °F, lbf, ft, in" },
];

/// How a stored unit is shown: {unit, factor, offset}.
export function conversion(system, unit) {
  const found = conversions[system][unit];
  return found ? { offset: 0, ...found } : { unit, factor: 1, offset: 0 };
}

/// A stored value in the shown unit. `is_interval`: a difference or a band, which a zero shift leaves alone.
export function convert(system, unit, value, is_interval = false) {
  const { factor, offset } = conversion(system, unit);
  return value * factor + (is_interval ? 0 : offset);
}

/// The unit of a difference or a band of values in this unit.
export function intervalUnit(unit) {
  return unit === "degC" ? "K" : unit;
}

/// Decimals that keep the resolution of a stored number with these decimals.
export function decimalsIn(system, unit, decimals) {
  const { factor } = conversion(system, unit);
  return Math.min(8, Math.max(0, Math.round(decimals - Math.log10(factor))));
}

/// A unit as people write it; "" for ratios.
export function unitText(unit) {
  return unit in spelling ? spelling[unit] : unit;
}

/// A point of the airframe: [{label, text}] in metres, or in inches as fuselage station (aft of the propeller plane
/// positive), butt line (left or right of the centre) and water line (above the crankshaft positive).
export function stations(system, [x, y, z]) {
  if (system === "si") {
    return [["x", x], ["y", y], ["z", z]].map(([label, value]) => ({ label, value, text: `${minus(value.toFixed(3))} m` }));
  }
  const [fs, bl, wl] = [x / inch, y / inch, z / inch];
  const side = Math.abs(bl) < 0.05 ? "" : bl > 0 ? " right" : " left";
  return [
    { label: "FS", value: fs, text: `${minus(fs.toFixed(1))} in` },
    { label: "BL", value: bl, text: `${Math.abs(bl).toFixed(1)} in${side}` },
    { label: "WL", value: wl, text: `${minus(wl.toFixed(1))} in` },
  ];
}

/// A number's text with the typographic minus sign.
export function minus(text) {
  return text.replace("-", "\u2212");
}
