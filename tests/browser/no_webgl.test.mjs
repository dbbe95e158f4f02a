// SPDX-License-Identifier: GPL-3.0-or-later
//
// A browser that cannot draw in 3-D still shows everything else.

import assert from "node:assert/strict";
import test from "node:test";

import { browser } from "./support.mjs";

const chromium = browser(["--disable-3d-apis"]);

test("without WebGL the page says so and is otherwise whole", async () => {
  const { page, errors, close } = await chromium.open("sweep");
  assert.match(await page.locator("#scene").innerText(), /cannot draw in 3-D/);
  assert.ok(await page.locator("#plots svg[role=img]").count() > 3);
  assert.ok(await page.locator("#numbers tbody tr").count() > 50);
  assert.deepEqual(errors, []);
  await close();
});
