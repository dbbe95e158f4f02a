// SPDX-License-Identifier: GPL-3.0-or-later
//
// For everybody: rules of WCAG 2 A and AA, every control by keyboard, plots and pictures in words.

import assert from "node:assert/strict";
import test from "node:test";

import { browser, chooseUnits, pages, require, results, settle, startScene } from "./support.mjs";

const axe = require("axe-core");
const chromium = browser();

async function violations(page) {
  await page.evaluate(axe.source);
  const found = await page.evaluate(() => window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"] }));
  return found.violations.map((one) => `${one.id}: ${one.help}; ${one.nodes.slice(0, 3).map((node) => node.target.join(" ")).join(" | ")}`);
}

for (const name of Object.keys(pages)) {
  test(`${name}: no violation of WCAG 2 A or AA in either system of units`, async () => {
    const { page, close } = await chromium.open(name);
    if (name === "sweep") {
      await startScene(page);
    }
    await page.evaluate(() => document.querySelectorAll("details").forEach((details) => { details.open = true; }));
    assert.deepEqual(await violations(page), []);
    await chooseUnits(page, "Practical units");
    assert.deepEqual(await violations(page), []);
    await close();
  });
}

test("an enlarged picture has no violation either", async () => {
  const { page, close } = await chromium.open("sweep");
  await page.locator(".picture-button").first().click();
  assert.deepEqual(await violations(page), []);
  await close();
});

/// What must be reachable: all that takes focus and is shown; of radio buttons one a group.
function mustBeReached() {
  const reachable = "a[href], button, select, input, summary, [tabindex='0']";
  const all = [...document.querySelectorAll(reachable)].filter((one) => one.checkVisibility() && one.tabIndex >= 0 && !(one.type === "radio" && !one.checked));
  all.forEach((one, i) => { one.dataset.stop = String(i); });
  return all.length;
}

test("Tab reaches every control, and each shows that it is reached", async () => {
  const { page, close } = await chromium.open("sweep");
  await startScene(page);
  await page.evaluate(() => { window.scrollTo(0, 0); document.activeElement.blur(); });
  const n_stops = await page.evaluate(mustBeReached);
  const reached = new Set();
  for (let i = 0; i < n_stops + 20 && reached.size < n_stops; i += 1) {
    await page.keyboard.press("Tab");
    reached.add(await page.evaluate(() => document.activeElement.dataset?.stop ?? null));
  }
  reached.delete(null);
  const missed = await page.evaluate((stops) => [...document.querySelectorAll("[data-stop]")].filter((one) => !stops.includes(one.dataset.stop)).map((one) => one.outerHTML.slice(0, 120)), [...reached]);
  assert.deepEqual(missed, []);
  assert.ok(n_stops > 40, `only ${n_stops} controls`);
  await close();
});

test("controls work by keyboard alone", async () => {
  const { page, close } = await chromium.open("sweep");
  await page.locator("input[name=units]:checked").focus();
  await page.keyboard.press("ArrowRight");
  assert.equal(await page.locator("input[name=units]:checked").getAttribute("value"), "practical");

  const plot = page.locator("#plot-parameter");
  const before = await plot.locator(".drawing svg[role=img]").getAttribute("aria-label");
  await plot.locator("select").first().focus();
  await page.keyboard.press("ArrowDown");
  await settle(page);
  assert.notEqual(await plot.locator(".drawing svg[role=img]").getAttribute("aria-label"), before);

  await plot.locator(".values summary").focus();
  await page.keyboard.press("Enter");
  assert.ok(await plot.locator(".values table").isVisible());

  const tabs = page.getByRole("tab");
  await tabs.first().focus();
  await page.keyboard.press("ArrowRight");
  assert.equal(await tabs.nth(1).getAttribute("aria-selected"), "true");
  assert.equal(await page.evaluate(() => document.activeElement.getAttribute("role")), "tab");
  await close();
});

test("a picture opens by Enter, closes by Esc and gives the focus back", async () => {
  const { page, close } = await chromium.open("sweep");
  const button = page.locator(".picture-button").first();
  await button.focus();
  await page.keyboard.press("Enter");
  const dialog = page.getByRole("dialog");
  assert.ok(await dialog.isVisible());
  const [large, small] = [await dialog.locator("img").boundingBox(), await button.locator("img").boundingBox()];
  assert.ok(large.width > 0 && small.width > 0);
  await page.keyboard.press("Escape");
  assert.equal(await page.getByRole("dialog").count(), 0);
  assert.ok(await button.evaluate((element) => element === document.activeElement));
  await close();
});

for (const name of ["sweep", "grids", "many"]) {
  test(`${name}: every plot has a name, a description and its values in a table`, async () => {
    const { page, close } = await chromium.open(name);
    const drawings = await page.locator("#plots .drawing svg[role=img]").evaluateAll((all) => all.map((svg) => [svg.getAttribute("aria-label"), svg.getAttribute("aria-description"), svg.closest(".multiples, .drawing").className]));
    assert.ok(drawings.length >= 5);
    drawings.forEach(([label]) => assert.ok(label?.length > 3));
    const figures = page.locator("#plots .figure");
    for (let i = 0; i < await figures.count(); i += 1) {
      assert.ok(await figures.nth(i).locator(".values tbody tr").count() > 0, await figures.nth(i).locator("h3").innerText());
    }
    await close();
  });
}

test("every picture has its alternative text, every missing one its reason", async () => {
  const { page, close } = await chromium.open("sweep");
  const given = await page.evaluate(() => JSON.parse(document.getElementById("pictures").textContent));
  const tabs = page.getByRole("tab");
  let n_seen = 0;
  for (let i = 0; i < await tabs.count(); i += 1) {
    await tabs.nth(i).click();
    const title = await tabs.nth(i).innerText();
    for (const { views, missing } of given) {
      const view = views.find((one) => one.title === title);
      const hole = missing.find((one) => one.title === title);
      if (view) {
        assert.ok(await page.locator(`.picture img[alt=${JSON.stringify(view.alt)}]`).count() > 0, view.alt);
        n_seen += 1;
      } else if (hole) {
        assert.match(await page.locator(".view-panel").innerText(), new RegExp(hole.reason.replace(/[.*+?^${}()|[\]\\]/g, "\\$&")));
      }
    }
  }
  assert.equal(n_seen, given.flatMap((one) => one.views).length);
  assert.equal(given.length, results("sweep").variants.length);
  await close();
});
