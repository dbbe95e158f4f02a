// SPDX-License-Identifier: GPL-3.0-or-later
//
// What the browser tests share: a headless Chromium, report pages as cowlpost makes them, what stands in their results.
//
// COWLWRIGHT_NODE_MODULES: the folder node_modules made from this folder's lock file.
// COWLWRIGHT_PAGES: a folder with NAME/report.html and the NAME/results.json it was made from, for each NAME below.
// COWLWRIGHT_SCREENSHOTS: optional; a folder for pictures of the pages, to be looked at.

import assert from "node:assert/strict";
import { existsSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import path from "node:path";
import { after, before } from "node:test";
import { pathToFileURL } from "node:url";

/// What each page must hold.
export const pages = {
  sweep: "three or more variants over one number (a lip angle), a baseline, all with quantities, budget, histories, flight, pictures and scenes; an envelope.json with all states of points",
  grids: "two variants on three grids each: verdicts with several values, bands that contain grids",
  single: "one variant, nothing varied, with pictures and a scene whose surfaces are thinned out by 0.4996 mm",
  unsettled: "two or more variants, none of which has settled, one of them flagged; an envelope.json that cannot be shown",
  failed: "two or more variants that all failed, with their reasons",
  empty: "no variant at all",
  many: "eight or more variants over two keys, at least one failed, pictures",
};

export const require = createRequire(path.join(process.env.COWLWRIGHT_NODE_MODULES ?? process.cwd(), "index.js"));
const { chromium } = require("playwright-core");

/// Software drawing in 3-D, no talk with the outside.
const flags = [
  "--no-sandbox", "--disable-gpu", "--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--disable-quic", "--no-first-run",
  "--disable-background-networking", "--disable-component-update", "--disable-sync",
];

export const patience = 120_000; // ms; a loaded machine draws a 3-D scene in software in some seconds

function folder() {
  const given = process.env.COWLWRIGHT_PAGES;
  assert.ok(given, "COWLWRIGHT_PAGES is not set: it names the folder with the report pages to test");
  return given;
}

export function results(name) {
  return JSON.parse(readFileSync(path.join(folder(), name, "results.json"), "utf8"));
}

/// The map of margins that lies beside a page.
export function envelope(name) {
  return JSON.parse(readFileSync(path.join(folder(), name, "envelope.json"), "utf8"));
}

/// Starts Chromium for the tests of a file; returns an object whose open(name, options) opens a page.
export function browser(more_flags = []) {
  const holder = { chromium: null, open, blank };
  before(async () => {
    holder.chromium = await chromium.launch({ executablePath: process.env.COWLWRIGHT_CHROMIUM ?? "/usr/bin/chromium", args: [...flags, ...more_flags] });
  });
  after(() => holder.chromium?.close());

  /// A report in a tab of its own, with all it logged as error and all it asked for.
  async function open(name, { width = 1400, height = 900 } = {}) {
    const file = path.join(folder(), name, "report.html");
    assert.ok(existsSync(file), `${file} is missing: it must hold ${pages[name]}`);
    const context = await holder.chromium.newContext({ viewport: { width, height } });
    const page = await context.newPage();
    page.setDefaultTimeout(patience);
    const errors = [];
    const requests = [];
    page.on("console", (message) => message.type() === "error" && errors.push(message.text()));
    page.on("pageerror", (error) => errors.push(error.stack ?? error.message));
    page.on("request", (request) => requests.push(request.url()));
    const address = pathToFileURL(file).href;
    await page.goto(address);
    return { page, errors, requests, address, close: () => context.close() };
  }

  /// An empty page without rules, to work out pixels in.
  async function blank() {
    const context = await holder.chromium.newContext();
    return context.newPage();
  }

  return holder;
}

/// Different colours of a PNG, the share of its pixels that are not white, and a sum that changes with it.
export async function pixelsOf(blank, png) {
  return blank.evaluate(async (base64) => {
    const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
    const image = await createImageBitmap(new Blob([bytes], { type: "image/png" }));
    const canvas = new OffscreenCanvas(image.width, image.height);
    const context = canvas.getContext("2d");
    context.drawImage(image, 0, 0);
    const { data } = context.getImageData(0, 0, image.width, image.height);
    const colours = new Set();
    let [n_drawn, sum] = [0, 0];
    for (let i = 0; i < data.length; i += 4) {
      const colour = (data[i] << 16) | (data[i + 1] << 8) | data[i + 2];
      colours.add(colour);
      n_drawn += colour === 0xffffff ? 0 : 1;
      sum = (Math.imul(sum, 31) + colour) | 0;
    }
    return { n_colours: colours.size, drawn: n_drawn / (data.length / 4), sum };
  }, png.toString("base64"));
}

/// Chooses units by their switch.
export async function chooseUnits(page, name) {
  await page.getByLabel(name).check();
}

/// Brings the 3-D view up and waits until it has drawn.
export async function startScene(page) {
  await page.locator("#scene .scene").scrollIntoViewIfNeeded();
  await page.waitForSelector("#scene [data-state=ready]", { timeout: patience });
  await settle(page);
}

/// Waits for the frames that are still to be drawn.
export async function settle(page) {
  await page.evaluate(() => new Promise((resolve) => { requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(resolve, 50))); }));
}

/// The value at a JSON pointer.
export function at(document, pointer) {
  return pointer.split("/").slice(1).reduce((node, key) => node?.[key], document);
}
