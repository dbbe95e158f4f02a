// SPDX-License-Identifier: GPL-3.0-or-later
//
// The page opens from a file, asks nobody for anything and logs no error, whatever is done with it.

import assert from "node:assert/strict";
import test from "node:test";

import { browser, chooseUnits, pages, settle, startScene } from "./support.mjs";

const chromium = browser();

async function useEverything(page) {
  await chooseUnits(page, "Practical units");
  for (const control of await page.locator("#plots select").all()) {
    const values = await control.locator("option").evaluateAll((options) => options.map((option) => option.value));
    for (const value of values) {
      await control.selectOption(value);
    }
  }
  for (const tab of await page.getByRole("tab").all()) {
    await tab.click();
  }
  if (await page.locator("#scene .scene").count() > 0) {
    await startScene(page);
  }
  await chooseUnits(page, "SI units");
  await settle(page);
}

for (const name of Object.keys(pages)) {
  test(`${name}: no request beside the file itself, no error`, async () => {
    const { page, errors, requests, address, close } = await chromium.open(name);
    await useEverything(page);
    assert.deepEqual(errors, []);
    assert.deepEqual(requests.filter((one) => !one.startsWith("data:")), [address]);
    await close();
  });
}

test("the page may not reach the network even if a script tried", async () => {
  const { page, close } = await chromium.open("sweep");
  const policy = await page.locator('meta[http-equiv="Content-Security-Policy"]').getAttribute("content");
  assert.match(policy, /default-src 'none'/);
  const refused = await page.evaluate(() => new Promise((resolve) => {
    document.addEventListener("securitypolicyviolation", (event) => resolve(event.effectiveDirective), { once: true });
    fetch("http://127.0.0.1:9/").catch(() => {});
  }));
  assert.equal(refused, "connect-src");
  await close();
});

test("a script that was slipped into the page does not run", async () => {
  const { page, close } = await chromium.open("sweep");
  const has_run = await page.evaluate(() => {
    const script = document.createElement("script");
    script.textContent = "window.slipped_in = true";
    document.body.append(script);
    return Boolean(window.slipped_in);
  });
  assert.equal(has_run, false);
  await close();
});

for (const width of [390, 1400]) {
  for (const name of Object.keys(pages)) {
    test(`${name}: ${width} pixels wide, the page does not scroll sideways`, async () => {
      const { page, close } = await chromium.open(name, { width });
      await settle(page);
      const [inner, outer] = await page.evaluate(() => [document.documentElement.scrollWidth, window.innerWidth]);
      assert.ok(inner <= outer, `${inner} pixels of page in ${outer}`);
      await close();
    });
  }
}
