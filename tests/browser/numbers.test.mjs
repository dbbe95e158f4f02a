// SPDX-License-Identifier: GPL-3.0-or-later
//
// Every number on the page against results.json, in both systems of units.

import assert from "node:assert/strict";
import test from "node:test";

import { expected, read } from "./expected.mjs";
import { at, browser, chooseUnits, envelope, pages, results } from "./support.mjs";

const chromium = browser();
const systems = [["si", "SI units"], ["practical", "Practical units"]];

function shownNumbers(page) {
  return page.$$eval("[data-path]", (elements) => elements.map((element) => ({ path: element.dataset.path, unit: element.dataset.unit, text: element.textContent })));
}

/// What is wrong with a shown number; null when nothing is.
function fault(document, { path, unit, text }, system) {
  const wanted = expected(document, path, system);
  const { value, digit } = read(text);
  const error = value - wanted.value;
  const slack = 1e-6 * digit; // the page's and the test's arithmetic differ in the last bits
  // A value is rounded to its last digit; a band is rounded up, so it is never less than the computed one.
  const is_near = wanted.is_band ? error > -1e-5 * digit && error < digit + slack : Math.abs(error) <= 0.5 * digit + slack;
  return unit === wanted.unit && is_near ? null : `${path}: shown ${text} ${unit}, computed ${wanted.value} ${wanted.unit}`;
}

for (const name of Object.keys(pages)) {
  test(`${name}: every number is that of results.json to its last digit, in both systems of units`, async () => {
    const { page, close } = await chromium.open(name);
    const document = results(name);
    for (const [system, label] of systems) {
      await chooseUnits(page, label);
      const numbers = await shownNumbers(page);
      assert.deepEqual(numbers.map((number) => fault(document, number, system)).filter((one) => one !== null), []);
      if (document.variants.some((variant) => variant.quantities.length > 0)) {
        assert.ok(numbers.length > 50, `only ${numbers.length} numbers were found`);
      }
    }
    await close();
  });
}

test("sweep: every value, band and difference of every variant is on the page", async () => {
  const { page, close } = await chromium.open("sweep");
  const paths = new Set((await shownNumbers(page)).map((number) => number.path));
  const missing = [];
  results("sweep").variants.forEach((variant, v) => variant.quantities.forEach((quantity, q) => {
    const base = `/variants/${v}/quantities/${q}`;
    const wanted = ["/value", quantity.band !== null && "/band", quantity.difference && "/difference/absolute",
      quantity.difference && quantity.difference.relative !== null && "/difference/relative"].filter(Boolean);
    missing.push(...wanted.map((part) => base + part).filter((path) => !paths.has(path)));
  }));
  assert.deepEqual(missing, []);
  await close();
});

test("sweep: in SI units numbers have the decimals of the tables", async () => {
  const { page, close } = await chromium.open("sweep");
  const document = results("sweep");
  const values = (await shownNumbers(page)).filter(({ path }) => /\/quantities\/\d+\/(value|band)$/.test(path));
  const wrong = values.filter(({ path, text }) => (text.split(".")[1]?.length ?? 0) !== at(document, path.replace(/\/(value|band)$/, "/decimals")));
  assert.deepEqual(wrong, []);
  assert.ok(values.length > 0);
  await close();
});

test("sweep: switching units and back leaves every number as it was", async () => {
  const { page, close } = await chromium.open("sweep");
  const first = await shownNumbers(page);
  await chooseUnits(page, "Practical units");
  const second = await shownNumbers(page);
  assert.ok(second.some((number, i) => number.text !== first[i].text), "nothing changed");
  await chooseUnits(page, "SI units");
  assert.deepEqual(await shownNumbers(page), first);
  await close();
});

test("sweep: units in heads and axes follow the choice", async () => {
  const { page, close } = await chromium.open("sweep");
  await chooseUnits(page, "Practical units");
  const text = await page.locator("#report").innerText();
  assert.match(text, /deck pressure difference \[inH₂O\]/);
  assert.doesNotMatch(text, /\[Pa\]|\[kg\/s\]|\[°C\]/);
  const axes = await page.locator("#plot-sides .drawing svg").first().textContent();
  assert.match(axes, /\[lb\/min\]/);
  await close();
});

for (const name of ["sweep", "grids", "unsettled"]) {
  test(`${name}: marks behind values and parentheses round differences are those the results ask for`, async () => {
    const { page, close } = await chromium.open(name);
    const document = results(name);
    const cells = await page.$$eval("#numbers .screen-only tbody td", (tds) => tds.filter((td) => td.querySelector(".value [data-path]")).map((td) => ({
      path: td.querySelector(".value [data-path]").dataset.path, value: td.querySelector(".value").textContent, difference: td.querySelector(".difference")?.textContent ?? "",
    })));
    assert.ok(cells.length > 50);
    for (const { path, value, difference } of cells) {
      const quantity = at(document, path.replace(/\/value$/, ""));
      const variant = document.variants[Number(path.split("/")[2])];
      const part = variant.grids.length > 1 ? { iterations: "i", grids: "g" }[quantity.band_contains] ?? "" : "";
      const marks = `${part}${quantity.basis === "last iteration only" ? "*" : ""}${quantity.grids?.is_flagged ? "~" : ""}${variant.flags.length > 0 ? "!" : ""}`;
      assert.equal(value.replace(/^[^a-z*~!]*/, ""), marks, path);
      assert.equal(difference.startsWith("("), Boolean(quantity.difference?.within_bands), path);
    }
    await close();
  });
}

test("sweep: the envelope's table holds every margin with its band, in both systems of units", async () => {
  const { page, close } = await chromium.open("sweep");
  const { points, days } = envelope("sweep");
  const minus = (text) => text.replace("-", "\u2212");
  const whole = (value) => minus(value.toFixed(0).replace(/^-0$/, "0"));
  for (const [system, factor] of [["SI units", 1], ["Practical units", 1.8]]) {
    await chooseUnits(page, system);
    const rows = await page.locator("#plot-envelope details.values tbody tr").evaluateAll((all) => all.map((row) => [...row.children].map((cell) => cell.textContent)));
    const here = points.filter(({ day }) => day === days.length - 1);
    assert.equal(rows.length, here.length);
    here.forEach((point, i) => {
      const margin = point.temperatures[0]?.margin;
      const expected = point.status === "stall" ? "below the stall" : point.status === "no_answer" ? `no answer: ${point.trouble}`
        : `${whole(margin.value * factor)} (${whole(margin.low * factor)} to ${whole(margin.high * factor)})`;
      assert.equal(rows[i][2], expected);
    });
  }
  await close();
});
