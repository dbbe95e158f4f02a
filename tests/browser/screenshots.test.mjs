// SPDX-License-Identifier: GPL-3.0-or-later
//
// Pictures of whole pages to be looked at; written when COWLWRIGHT_SCREENSHOTS names a folder.

import assert from "node:assert/strict";
import { mkdirSync } from "node:fs";
import path from "node:path";
import test from "node:test";

import { browser, chooseUnits, pages, settle, startScene } from "./support.mjs";

const chromium = browser();
const folder = process.env.COWLWRIGHT_SCREENSHOTS;

for (const name of Object.keys(pages)) {
  for (const width of [1400, 390]) {
    test(`${name}, ${width} pixels wide`, { skip: folder ? false : "COWLWRIGHT_SCREENSHOTS is not set" }, async () => {
      mkdirSync(folder, { recursive: true });
      const { page, close } = await chromium.open(name, { width });
      await chooseUnits(page, width === 390 ? "Practical units" : "SI units");
      if (await page.locator("#scene .scene").count() > 0) {
        await startScene(page);
      }
      await page.evaluate(() => window.scrollTo(0, 0));
      await settle(page);
      const image = await page.screenshot({ path: path.join(folder, `${name}-${width}.png`), fullPage: true });
      assert.ok(image.length > 10_000);
      await close();
    });
  }
}
