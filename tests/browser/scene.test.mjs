// SPDX-License-Identifier: GPL-3.0-or-later
//
// The 3-D view: it draws, follows the hand, the field and the pieces, and reads values.

import assert from "node:assert/strict";
import test from "node:test";

import { browser, chooseUnits, pixelsOf, settle, startScene } from "./support.mjs";

const chromium = browser();

async function opened(name = "sweep") {
  const opened_page = await chromium.open(name);
  await startScene(opened_page.page);
  const frame = opened_page.page.locator(".scene-frame").first();
  const blank = await chromium.blank();
  await frame.evaluate((element) => element.scrollIntoView({ block: "center" }));
  const look = async () => { await settle(opened_page.page); return pixelsOf(blank, await frame.screenshot()); };
  return { ...opened_page, frame, look, close: async () => { await blank.context().close(); await opened_page.close(); } };
}

/// The number in front of a reading's unit.
const amount = (text) => Number(text.replace("\u2212", "-").match(/-?[\d.]+/)[0]);

async function readings(page, side = 0) {
  const all = await page.locator(".reading").nth(side).locator("[data-reading]").evaluateAll((elements) => elements.map((one) => [one.dataset.reading, one.textContent]));
  return Object.fromEntries(all);
}

test("it is not started before it is in sight", async () => {
  const { page, close } = await chromium.open("sweep", { height: 500 });
  await settle(page);
  assert.equal(await page.locator("#scene canvas").count(), 0);
  await startScene(page);
  assert.equal(await page.locator("#scene canvas").count(), 1);
  await close();
});

test("it draws shaded colours on part of its area", async () => {
  const { look, close } = await opened();
  const { n_colours, drawn } = await look();
  assert.ok(n_colours > 200, `${n_colours} colours`);
  assert.ok(drawn > 0.05 && drawn < 0.98, `${100 * drawn} % drawn`);
  await close();
});

test("dragging turns it, and so do the arrow keys and the buttons", async () => {
  const { page, frame, look, close } = await opened();
  const sums = [(await look()).sum];
  const box = await frame.boundingBox();
  await page.mouse.move(box.x + 200, box.y + 200);
  await page.mouse.down();
  await page.mouse.move(box.x + 300, box.y + 220, { steps: 3 });
  await page.mouse.up();
  sums.push((await look()).sum);
  await frame.press("ArrowLeft");
  sums.push((await look()).sum);
  await page.getByRole("button", { name: "Look from: Above" }).click();
  sums.push((await look()).sum);
  await page.getByRole("button", { name: "Closer" }).click();
  sums.push((await look()).sum);
  assert.equal(new Set(sums).size, sums.length, "two of the looks are alike");
  await close();
});

test("another field recolours it and its legend; a piece can be taken away", async () => {
  const { page, look, close } = await opened();
  const first = await look();
  const legend = await page.locator(".scene-legend").innerText();
  await page.getByLabel("Colour by").selectOption({ label: "temperature" });
  const second = await look();
  assert.notEqual(second.sum, first.sum);
  assert.notEqual(await page.locator(".scene-legend").innerText(), legend);
  const pieces = page.locator(".pieces input");
  for (let i = 0; i < await pieces.count(); i += 1) {
    await pieces.nth(i).uncheck();
  }
  assert.ok((await look()).drawn < 0.02, "something is left when all pieces are taken away");
  await close();
});

test("reading at the middle gives place and values, in the units chosen", async () => {
  const { page, close } = await opened();
  await page.getByRole("button", { name: "Look from: Left" }).click();
  await page.getByRole("button", { name: "Read at the middle" }).click();
  const si = await readings(page);
  await chooseUnits(page, "Practical units");
  const practical = await readings(page);
  for (const [key, from] of [["FS", "x"], ["WL", "z"]]) {
    assert.ok(Math.abs(amount(practical[key]) * 0.0254 - amount(si[from])) < 0.002, `${key}: ${practical[key]}, ${si[from]}`);
  }
  assert.match(practical.BL, / in left$/); // looked at from the left, the foremost surface is on the left
  assert.ok(Math.abs((amount(practical.T) - 32) / 1.8 - amount(si.T)) < 0.12);
  assert.ok(Math.abs(amount(practical.p) * 249.08891 - amount(si.p)) < 0.2);
  assert.equal(practical.cp, si.cp);
  await close();
});

test("values read lie within the ranges that the scene states", async () => {
  const { page, frame, close } = await opened();
  await frame.click({ position: await frame.evaluate((element) => ({ x: element.clientWidth / 2, y: element.clientHeight / 2 })) });
  const read = await readings(page);
  const pieces = await page.evaluate(() => JSON.parse(document.getElementById("scenes").textContent)[0].header.pieces);
  assert.ok("cp" in read, "nothing was read at the middle");
  for (const id of ["cp", "p", "T", "speed"].filter((one) => one in read)) {
    const fields = pieces.flatMap((piece) => piece.fields.filter((field) => field.id === id));
    const [low, high] = [Math.min(...fields.map((field) => field.min)), Math.max(...fields.map((field) => field.max))];
    assert.ok(amount(read[id]) >= low - 0.06 && amount(read[id]) <= high + 0.06, `${id} = ${read[id]} outside ${low} to ${high}`);
  }
  await close();
});

test("a second variant stands beside, seen by the same eye and in the same colours", async () => {
  const { page, frame, close } = await opened();
  const beside = page.getByLabel("Beside it");
  const n_options = await beside.locator("option").count();
  assert.ok(n_options > 2);
  await beside.selectOption({ index: n_options - 1 });
  await page.waitForSelector("#scene [data-state=ready]");
  await settle(page);
  assert.equal(await page.locator("#scene canvas").count(), 2);
  assert.equal(await page.locator(".scene-legend").count(), 1);
  const blank = await chromium.blank();
  const second = page.locator(".scene-frame").nth(1);
  const still = (await pixelsOf(blank, await second.screenshot())).sum;
  await frame.press("ArrowRight");
  await settle(page);
  const moved = await pixelsOf(blank, await second.screenshot());
  assert.notEqual(moved.sum, still, "the second view did not follow the first");
  assert.ok(moved.n_colours > 200);
  await page.getByRole("button", { name: "Read at the middle" }).click();
  assert.ok("cp" in (await readings(page, 0)) && "cp" in (await readings(page, 1)));
  await blank.context().close();
  await close();
});

for (const name of ["single", "sweep"]) {
  test(`${name}: how far thinned surfaces are off stands there, rounded up`, async () => {
    const { page, close } = await chromium.open(name);
    const largest = await page.evaluate(() =>
      Math.max(...JSON.parse(document.getElementById("scenes").textContent).map((scene) => scene.header.tolerance)));
    if (name === "single") {
      assert.equal(largest, 4.996e-4); // as the page was made
    }
    const text = await page.locator("#scene").innerText();
    const up = (value, steps) => (Math.ceil(value * steps - 1e-6) / steps).toFixed(Math.log10(steps));
    if (largest > 0) {
      assert.ok(text.includes(`no point is farther than ${up(largest * 1000, 100)} mm (${up(largest / 0.0254, 1000)} in)`), text);
    } else {
      assert.doesNotMatch(text, /thinned/);
    }
    await close();
  });
}

test("where there is no scene the page says why", async () => {
  for (const [name, words] of [["failed", /No 3-D view, for these reasons/], ["empty", /no variant has been run/]]) {
    const { page, close } = await chromium.open(name);
    assert.match(await page.locator("#scene").innerText(), words);
    assert.equal(await page.locator("#scene button").count(), 0);
    await close();
  }
});
