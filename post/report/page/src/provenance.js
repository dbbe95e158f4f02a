// SPDX-License-Identifier: GPL-3.0-or-later
//
// Where the numbers come from: study file, flight, versions, times, settings, how to get them again.

import { h, scrolling } from "./dom.js";
import { count, number, unitLabel } from "./numbers.js";
import { shortName } from "./study.js";

/// Key in flight -> name, unit of display, factor and offset from the stored SI value, decimals.
const flight_rows = [
  ["true_airspeed", "true airspeed", "m/s", 1, 0, 2],
  ["density_altitude", "density altitude", "m", 1, 0, 0],
  ["pressure_altitude", "pressure altitude", "m", 1, 0, 0],
  ["temperature", "air temperature", "degC", 1, -273.15, 1],
  ["pressure", "air pressure", "hPa", 0.01, 0, 1],
  ["density", "air density", "kg/m3", 1, 0, 4],
  ["dynamic_pressure", "dynamic pressure", "Pa", 1, 0, 1],
  ["reference_pressure", "reference pressure", "Pa", 1, 0, 1],
  ["incidence", "incidence", "deg", 180 / Math.PI, 0, 2],
  ["sideslip", "sideslip", "deg", 180 / Math.PI, 0, 2],
];

function flightTable({ variants }) {
  const with_flight = variants.map((variant, index) => ({ flight: variant.flight, index })).filter(({ flight }) => flight);
  if (with_flight.length === 0) {
    return null;
  }
  const [{ flight, index }] = with_flight;
  const differs = with_flight.some((one) => JSON.stringify(one.flight) !== JSON.stringify(flight));
  const rows = flight_rows.filter(([key]) => typeof flight[key] === "number").map(([key, name, unit, factor, offset, decimals]) =>
    h("tr", null, h("th", { scope: "row" }, name, key === "reference_pressure" && flight.reference_name ? ` (${flight.reference_name})` : ""),
      h("td", null, number({ path: `/variants/${index}/flight/${key}`, value: flight[key] * factor + offset, unit, decimals }), unitLabel(unit, "after"))));
  return h("table", { class: "pairs" }, h("caption", null, differs ? "Flight condition of the first variant; others differ" : "Flight condition"), h("tbody", null, rows));
}

function pairs(caption, entries) {
  return h("table", { class: "pairs" }, h("caption", null, caption),
    h("tbody", null, entries.filter(([, value]) => value !== null && value !== undefined && value !== "").map(([name, value]) =>
      h("tr", null, h("th", { scope: "row" }, name), h("td", null, value)))));
}

function hash(text) {
  return h("code", { class: "hash" }, text);
}

function studyTable(results, page) {
  const size = page.bytes ? `${(page.bytes / 1e6).toFixed(2)} MB (${page.bytes} bytes)` : null;
  return pairs("Study and page", [
    ["study", results.study], ["study file", results.study_file], ["SHA-256 of its text", results.study_hash && hash(results.study_hash)],
    ["results written by", results.written_by], ["page written by", page.program], ["page written", page.written], ["page size", size],
  ]);
}

/// "1 h 02 min", "97 s".
function duration(seconds) {
  if (seconds < 120) {
    return `${Math.round(seconds)} s`;
  }
  const minutes = Math.round(seconds / 60);
  return minutes < 60 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, "0")} min`;
}

function runRow(results, variant, index) {
  const from = variant.provenance ?? {};
  const times = (from.times ?? []).map((time) => `${time.stage} ${duration(time.seconds)}`).join(", ");
  return h("tr", null, h("th", { scope: "row" }, shortName(results, variant)),
    h("td", null, h("code", null, variant.case)), h("td", null, variant.grid_level, variant.cells !== null && [", ", count(`/variants/${index}/cells`, variant.cells), " cells"]),
    h("td", null, from.ranks ? String(from.ranks) : "n/a"), h("td", null, times === "" ? "n/a" : times), h("td", null, from.solver_end ?? "n/a"),
    h("td", null, `cowlwright ${variant.program_version}, OpenFOAM ${variant.openfoam_version}`), h("td", null, hash(variant.input_hash)));
}

function runsTable(results) {
  const head = ["variant", "case", "grid", "ranks", "time taken", "solver's end", "versions", "SHA-256 of its input"];
  return scrolling("Runs", h("table", { class: "runs" }, h("caption", null, "Runs"),
    h("thead", null, h("tr", null, head.map((text) => h("th", { scope: "col" }, text)))),
    h("tbody", null, results.variants.map((variant, index) => runRow(results, variant, index)))));
}

function settings(results) {
  const with_settings = results.variants.filter((variant) => variant.provenance?.settings?.length > 0);
  if (with_settings.length === 0) {
    return null;
  }
  return h("details", null, h("summary", null, "SHA-256 of the solver's settings, file by file"),
    with_settings.map((variant) => h("div", null, h("h4", null, variant.name),
      h("dl", { class: "hashes" }, variant.provenance.settings.map((one) => [h("dt", null, h("code", null, one.file)), h("dd", null, hash(one.sha256))])))));
}

function reproduce(results) {
  const file = results.study_file || "study.toml";
  const folder = `${file.replace(/\.[^.]*$/, "")}-study`;
  return h("div", null, h("h3", null, "How to get these numbers again"),
    h("p", null, "With the study file saved as ", h("code", null, file), " and the versions named above:"),
    h("pre", { tabindex: "0" }, h("code", null, `cowlwright check ${file}\ncowlwright run ${file}\ncowlpost report ${folder}\n`)),
    h("p", null, "The same versions with the same number of ranks give the same numbers when the study sets ", h("code", null, "stop_when_held = false"),
      "; otherwise the iteration it stops at, and with it the last digits, depend on the machine."));
}

/// The libraries inside the page, with the licences that ask to be passed on.
function libraries() {
  const text = document.getElementById("licences")?.textContent ?? "";
  return h("details", { class: "no-print" }, h("summary", null, "Libraries in this page and their licences"), h("pre", { tabindex: "0" }, text));
}

/// The section as an element.
export function provenanceSection({ results, page }) {
  return h("section", { id: "provenance", "aria-labelledby": "provenance-title" },
    h("h2", { id: "provenance-title" }, "Where the numbers come from"),
    h("div", { class: "columns" }, studyTable(results, page), flightTable(results)),
    results.variants.length > 0 && runsTable(results),
    settings(results),
    results.study_text
      ? h("details", null, h("summary", null, "The study file, whole"), h("pre", { tabindex: "0" }, h("code", null, results.study_text)))
      : h("p", null, "The study file's text is not in this page."),
    reproduce(results),
    libraries());
}
