// SPDX-License-Identifier: GPL-3.0-or-later
//
// The page on paper: nothing clipped, everything opened, controls gone.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import test from "node:test";

import { browser, pages, results, settle } from "./support.mjs";

const chromium = browser();

/// Width between the page's margins of 16 mm, in CSS pixels (96 to 25.4 mm).
const papers = { A4: ((210 - 32) * 96) / 25.4, Letter: ((215.9 - 32) * 96) / 25.4 };

/// The page as it is laid out for paper, in a window of the paper's width.
async function onPaper(page, width) {
  await page.setViewportSize({ width: Math.floor(width), height: 900 });
  await page.emulateMedia({ media: "print" });
  await page.evaluate(() => window.dispatchEvent(new Event("beforeprint")));
  await settle(page);
}

/// Elements that are shown and reach past the paper's edge or are cut by a box around them.
function clipped() {
  const edge = document.documentElement.clientWidth + 1;
  return [...document.querySelectorAll("table, svg, img, pre, p, li, td, th")].filter((one) => {
    const box = one.getBoundingClientRect();
    return box.width > 0 && box.height > 0 && one.checkVisibility() && !one.closest(".visually-hidden") && (box.right > edge || box.left < -1);
  }).map((one) => `${one.tagName} ${one.textContent.slice(0, 60)}`);
}

for (const [paper, width] of Object.entries(papers)) {
  for (const name of Object.keys(pages)) {
    test(`${name}: nothing is clipped on ${paper}`, async () => {
      const { page, errors, close } = await chromium.open(name);
      await onPaper(page, width);
      assert.deepEqual(await page.evaluate(clipped), []);
      assert.deepEqual(errors, []);
      await close();
    });
  }
}

test("on paper details are open, controls hidden, every view in rows of its own, the 3-D view a sentence", async () => {
  const { page, close } = await chromium.open("sweep");
  await onPaper(page, papers.A4);
  const shown = (selector) => page.$$eval(selector, (all) => all.filter((one) => one.checkVisibility()).length);
  assert.equal(await page.$$eval("details:not([open])", (all) => all.filter((one) => one.checkVisibility()).length), 0);
  assert.equal(await shown("select, .bar, [role=tab], .scene, .start"), 0);
  assert.match(await page.locator("#scene").innerText(), /paper cannot show it/);
  const given = await page.evaluate(() => JSON.parse(document.getElementById("pictures").textContent));
  assert.equal(await shown(".printed-view img"), given.flatMap((one) => one.views).length);
  const rows = await page.$$eval(".printed-view .pictures", (all) => all.map((one) => getComputedStyle(one).gridTemplateColumns.split(" ").length));
  assert.ok(rows.length > 0 && rows.every((n_columns) => n_columns <= 2));
  await close();
});

test("after printing the page is as it was", async () => {
  const { page, close } = await chromium.open("sweep");
  const state = () => page.evaluate(() => [document.querySelectorAll("details[open]").length, document.querySelectorAll("[data-path]").length, document.querySelectorAll("img").length]);
  const first = await state();
  await page.pdf({ format: "A4" });
  await settle(page);
  assert.deepEqual(await state(), first);
  await close();
});

for (const name of ["sweep", "many", "failed"]) {
  test(`${name}: the PDF holds every variant, caution and quantity`, async () => {
    const folder = mkdtempSync(path.join(tmpdir(), "cowlwright-print-"));
    const { page, close } = await chromium.open(name);
    const file = path.join(folder, "report.pdf");
    await page.pdf({ path: file, format: "A4", printBackground: true });
    assert.equal(readFileSync(file).subarray(0, 5).toString(), "%PDF-");
    const plain = (text) => text.replace(/[\s\u00ad-]+/g, "");
    const text = plain(execFileSync("pdftotext", ["-layout", file, "-"], { encoding: "utf8", maxBuffer: 1e8 }));
    const document = results(name);
    document.cautions.forEach((caution) => assert.ok(text.includes(plain(caution.split(/[,;(]/)[0])), caution));
    document.variants.forEach((variant) => assert.ok(text.includes(plain(variant.name)), variant.name));
    const groups = new Set(document.variants.flatMap((variant) => variant.quantities.map((quantity) => quantity.group)));
    groups.forEach((group) => assert.ok(text.includes(plain(group)), group));
    rmSync(folder, { recursive: true });
    await close();
  });
}
