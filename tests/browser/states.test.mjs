// SPDX-License-Identifier: GPL-3.0-or-later
//
// Answers and cautions stand in full, and studies without a sound answer say so plainly.

import assert from "node:assert/strict";
import test from "node:test";

import { browser, envelope, pages, results, settle } from "./support.mjs";

const chromium = browser();

for (const name of Object.keys(pages)) {
  test(`${name}: title, question, answer, standing, reasons and cautions stand word for word`, async () => {
    const { page, close } = await chromium.open(name);
    const text = (await page.locator("#report").innerText()).replace(/\s+/g, " ");
    const { study, question, answer, cautions, not_in_bands, notes } = results(name);
    for (const words of [study, question, ...answer.sentences, answer.standing_text, ...answer.reasons, ...cautions, not_in_bands, ...notes].filter(Boolean)) {
      assert.ok(text.includes(words.replace(/\s+/g, " ")), words);
    }
    assert.equal(await page.locator(".standing .icon").count(), 1);
    assert.ok(await page.locator(`.standing.${answer.standing}`).isVisible());
    await close();
  });

  test(`${name}: no plot is broken and no text is a program's word`, async () => {
    const { page, close } = await chromium.open(name);
    await settle(page);
    const broken = await page.$$eval("#plots svg[role=img]", (all) => all.filter((svg) => /NaN|Infinity|undefined/.test(svg.outerHTML) || svg.getBoundingClientRect().width < 50).map((svg) => svg.getAttribute("aria-label")));
    assert.deepEqual(broken, []);
    assert.doesNotMatch(await page.locator("#report").innerText(), /\b(undefined|NaN|null|\[object)\b/);
    await close();
  });

  test(`${name}: flags, notes, reasons and grid statements of every variant are there`, async () => {
    const { page, close } = await chromium.open(name);
    const text = (await page.locator("#numbers").evaluate((element) => element.textContent)).replace(/\s+/g, " ");
    for (const variant of results(name).variants) {
      for (const words of [variant.status_reason, variant.discretisation, ...variant.flags, ...variant.notes].filter(Boolean)) {
        assert.ok(text.includes(words.replace(/\s+/g, " ")), words);
      }
      for (const quantity of variant.quantities.filter((one) => one.grids !== null)) {
        assert.ok(text.includes(quantity.grids.statement.replace(/\s+/g, " ")), quantity.id);
      }
    }
    await close();
  });
}

const plainly = {
  empty: [/no results yet/, /No plot of results/, /No pictures/, /No 3-D view/, /No table/],
  failed: [/variants failed: there are no numbers/, /No plot of results/],
  single: [/has one variant: its numbers stand alone/],
  many: [/of \d+ variants failed and have no numbers/],
};

for (const [name, sentences] of Object.entries(plainly)) {
  test(`${name}: says so plainly`, async () => {
    const { page, close } = await chromium.open(name);
    const text = await page.locator("#report").innerText();
    sentences.forEach((sentence) => assert.match(text, sentence));
    await close();
  });
}

test("failed: no plot of results, and every variant's reason on the first screen", async () => {
  const { page, close } = await chromium.open("failed");
  assert.equal(await page.locator("#plot-parameter, #plot-sides, #plot-engine, #plot-budget, #plot-grids").count(), 0);
  const text = await page.locator("#answer").innerText();
  results("failed").variants.forEach((variant) => assert.ok(text.includes(variant.status_reason)));
  await close();
});

test("unsettled: points are hollow and named in words, the flagged variant too", async () => {
  const { page, close } = await chromium.open("unsettled");
  const note = await page.locator("#plot-parameter .figure-note").innerText();
  assert.match(note, /not settled/);
  assert.match(note, /flagged/);
  const fills = await page.locator("#plot-parameter .drawing svg[role=img]").evaluate((svg) => [...svg.querySelectorAll("g[stroke-width='2'][fill='white'], g[fill='white']")].flatMap((group) => [...group.querySelectorAll("path, circle")]).length);
  assert.ok(fills >= results("unsettled").variants.length, `${fills} hollow points`);
  assert.match(await page.locator("#answer .summary").first().innerText(), /FLAGGED/);
  await close();
});

test("many: the failed variant is named where it is missing from a plot", async () => {
  const { page, close } = await chromium.open("many");
  for (const plot of ["#plot-parameter", "#plot-sides"]) {
    assert.match(await page.locator(`${plot} .figure-note`).innerText(), /No value: .*\(failed\)/);
  }
  await close();
});

test("grids: values on each grid, the extrapolated one and the finding stand with the plot", async () => {
  const { page, close } = await chromium.open("grids");
  const plot = page.locator("#plot-grids");
  const [variant] = results("grids").variants;
  const text = await plot.evaluate((element) => element.textContent);
  variant.grids.forEach((grid) => assert.ok(text.includes(grid.level)));
  assert.match(text, /extrapolated/);
  await close();
});

test("sweep: where the numbers come from: study file, hashes, versions, commands, flight", async () => {
  const { page, close } = await chromium.open("sweep");
  const text = await page.locator("#provenance").evaluate((element) => element.textContent);
  const document = results("sweep");
  assert.ok(text.includes(document.study_text));
  assert.ok(text.includes(document.study_hash));
  for (const variant of document.variants) {
    assert.ok(text.includes(variant.input_hash));
    assert.ok(text.includes(variant.openfoam_version));
    variant.provenance.settings.forEach((setting) => assert.ok(text.includes(setting.sha256), setting.file));
  }
  assert.match(text, new RegExp(`cowlwright run ${document.study_file}`));
  assert.match(text, /true airspeed/);
  await close();
});

test("sweep: the envelope stands with its worst corner, cautions, notes and assumptions word for word", async () => {
  const { page, close } = await chromium.open("sweep");
  const text = (await page.locator("#margins").evaluate((element) => element.textContent)).replace(/\s+/g, " ");
  const { worst, cautions, notes, assumptions } = envelope("sweep");
  [worst, ...cautions, ...notes, ...assumptions].forEach((words) => assert.ok(text.includes(words), words));
  await close();
});

test("sweep: the envelope draws line, hatching and every state, and follows its choices by keyboard", async () => {
  const { page, close } = await chromium.open("sweep");
  await settle(page);
  const figure = page.locator("#plot-envelope");
  await figure.scrollIntoViewIfNeeded();
  const picture = () => figure.locator("svg[role=img]").evaluate((svg) => svg.outerHTML);
  const hot = await picture();
  assert.match(hot, /url\(#envelope-hatch\)/);
  assert.match(hot, /stall/);
  assert.doesNotMatch(hot, /NaN|Infinity|undefined/);
  assert.ok(await figure.locator("svg[role=img] g[stroke=black] path, svg[role=img] path[stroke=black]").count() > 0, "no line of no margin");
  await figure.getByLabel("Day").focus();
  await page.keyboard.press("ArrowUp");
  await page.waitForFunction((before) => document.querySelector("#plot-envelope svg[role=img]").outerHTML !== before, hot);
  assert.doesNotMatch(await picture(), /url\(#envelope-hatch\)/);
  await close();
});

test("unsettled: an envelope that cannot be shown is left out with the reason; without a file there is no section", async () => {
  const broken = await chromium.open("unsettled");
  assert.match(await broken.page.locator("#margins").innerText(), /envelope\.json is not shown: .*Run cowlwright envelope again/);
  assert.equal(await broken.page.locator("#plot-envelope").count(), 0);
  await broken.close();
  const none = await chromium.open("single");
  assert.equal(await none.page.locator("#margins").count(), 0);
  await none.close();
});
