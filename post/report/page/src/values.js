// SPDX-License-Identifier: GPL-3.0-or-later
//
// A value with its band, its difference to the baseline and their marks, worded as in summary.md.

import { h } from "./dom.js";
import { number, unitLabel } from "./numbers.js";
import { intervalUnit } from "./units.js";

const meanings = {
  i: "band of the iterations only",
  g: "band of the grids only",
  "*": "of the last written iteration only, no mean",
  "~": "flagged for its behaviour over the grids",
  "!": "of a flagged variant: not to be used as it stands",
};

export const markLegend = [
  "±: half of peak-to-peak over the averaging window, with the discretisation band where three grids allow one.",
  "*: of the last written iteration only, no mean and no band.",
  "i, g: where grids were compared, a band of the iterations only or of the grids only.",
  "~: flagged for its behaviour over the grids.",
  "!: of a flagged variant, not to be used as it stands.",
  "Differences are against the baseline; in parentheses: within its band, or between unlike grids, so no difference was shown.",
  "pt: percentage points.",
];

function mark(sign) {
  return h("abbr", { class: "mark", title: meanings[sign] }, sign);
}

function bandPart(contents) {
  return contents === "iterations" ? mark("i") : contents === "grids" ? mark("g") : null;
}

/// "1975.7 ±9.3*" of a quantity; null gives "n/a". found: {quantity, path}.
export function valueText(variant, found) {
  if (!found) {
    return h("span", { class: "value absent" }, "n/a");
  }
  const { quantity, path } = found;
  const has_band = quantity.band !== null;
  return h("span", { class: "value" },
    number({ path: `${path}/value`, value: quantity.value, unit: quantity.unit, decimals: quantity.decimals }),
    has_band && h("span", { class: "band" }, " ±",
      number({ path: `${path}/band`, value: quantity.band, unit: intervalUnit(quantity.unit), decimals: quantity.decimals, kind: "band" }),
      variant.grids.length > 1 && bandPart(quantity.band_contains)),
    quantity.basis === "last iteration only" && mark("*"),
    quantity.grids?.is_flagged && mark("~"),
    variant.flags.length > 0 && mark("!"));
}

function differenceNumber(spec, difference, has_grids) {
  return [
    number({ ...spec, kind: "difference", signed: true }),
    spec.band !== null && [" ±", number({ ...spec, path: spec.band_path, value: spec.band, kind: "band" }),
      has_grids && bandPart(difference.band_contains)],
    difference.grids?.is_flagged && mark("~"),
  ];
}

/// "+23.4 ±12.1, +1.2 %" in the value's unit, "+0.8 pt" for shares, in parentheses when nothing was shown; null for the baseline.
export function differenceText(variant, found) {
  const difference = found?.quantity.difference;
  if (!difference) {
    return null;
  }
  const { quantity, path } = found;
  const at = `${path}/difference`;
  const absolute = {
    path: `${at}/absolute`, value: difference.absolute, unit: intervalUnit(quantity.unit), decimals: quantity.decimals,
    band: difference.band, band_path: `${at}/band`,
  };
  const is_within = difference.within_bands;
  const relative = difference.relative !== null && h("span", { class: "whole" },
    number({ path: `${at}/relative`, value: 100 * difference.relative, unit: "%", decimals: 1, kind: "difference", signed: true }), "\u00a0%", is_within && ")");
  return h("span", { class: "difference" },
    h("span", { class: "whole" }, is_within && "(", differenceNumber(absolute, difference, variant.grids.length > 1), quantity.unit === "%" && "\u00a0pt",
      relative ? "," : is_within && ")"),
    relative && [" ", relative]);
}

/// Name and unit of a quantity, for the head of a row or column.
export function headingText(quantity) {
  return [quantity.name, " ", unitLabel(quantity.unit, "brackets")];
}

const icons = {
  stands: { path: "M12 2a10 10 0 1 0 .01 0zM7 12.5l3.5 3.5L17 9" },
  with_reservations: { path: "M12 3L1.5 21h21zM12 10v5M12 17.6v.6" },
  none: { path: "M12 2a10 10 0 1 0 .01 0zM7 12h10" },
};
const icon_of_status = { settled: "stands", oscillating: "with_reservations", "not settled": "with_reservations", failed: "none", estimate: "with_reservations" };

/// A sign whose form, not its colour alone, says how far something stands.
export function icon(standing) {
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  const path = document.createElementNS("http://www.w3.org/2000/svg", "path");
  path.setAttribute("d", icons[standing]?.path ?? icons.none.path);
  svg.setAttribute("viewBox", "0 0 24 24");
  svg.setAttribute("class", `icon ${standing}`);
  svg.setAttribute("aria-hidden", "true");
  svg.append(path);
  return svg;
}

/// A variant's status in words with its sign.
export function statusText(variant) {
  const is_flagged = variant.is_flagged && variant.status !== "failed";
  const sign = is_flagged ? "none" : icon_of_status[variant.status] ?? "none";
  return h("span", { class: "status" }, icon(sign), " ", variant.status, is_flagged && ", FLAGGED");
}
