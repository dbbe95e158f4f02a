// SPDX-License-Identifier: GPL-3.0-or-later
//
// Makes the page's template: script and style in one HTML file, with five marked places for a study's JSON.
//
//   node build.mjs MODULES OUTPUT
//
// MODULES: the folder node_modules that `npm ci` made from this folder's lock file. OUTPUT: the file to write.
//
// Whoever fills the template replaces @COWLWRIGHT_RESULTS@, @COWLWRIGHT_ENVELOPE@, @COWLWRIGHT_PICTURES@, @COWLWRIGHT_SCENES@ and @COWLWRIGHT_PAGE@, each of
// which stands in it once, by JSON in which every < is written \u003c, or by nothing.

import { createHash } from "node:crypto";
import { readdir, readFile, writeFile } from "node:fs/promises";
import { createRequire } from "node:module";
import path from "node:path";
import { fileURLToPath } from "node:url";

const [modules, output] = process.argv.slice(2);
if (!modules || !output) {
  console.error("build.mjs: two arguments are needed: node build.mjs MODULES OUTPUT");
  process.exit(2);
}
const here = path.dirname(fileURLToPath(import.meta.url));
const esbuild = createRequire(path.resolve(modules, "index.js"))("esbuild");

async function bundled(entry, options) {
  const made = await esbuild.build({
    entryPoints: [path.join(here, entry)], bundle: true, minify: true, write: false, legalComments: "none",
    target: ["chrome100", "firefox113", "safari16.4"], nodePaths: [path.resolve(modules)], logLevel: "warning", metafile: true, ...options,
  });
  if (made.warnings.length > 0) {
    throw new Error(`${entry}: esbuild warns, see above`);
  }
  return { text: made.outputFiles[0].text.trim(), inputs: Object.keys(made.metafile.inputs) };
}

/// Name, version and licence text of every package that went into the script; licences ask for that.
async function licences(inputs) {
  const folders = [...new Set(inputs.map((input) => input.match(/^(.*node_modules\/(?:@[^/]+\/)?[^/]+)\//)?.[1]).filter(Boolean))].sort();
  const texts = await Promise.all(folders.map(async (folder) => {
    const { name, version, license } = JSON.parse(await readFile(path.join(folder, "package.json"), "utf8"));
    const file = (await readdir(folder)).find((candidate) => /^licen[cs]e/i.test(candidate));
    return { title: `${name} ${version} (${license})`, text: file ? (await readFile(path.join(folder, file), "utf8")).trim() : "" };
  }));
  const by_text = new Map();
  texts.forEach(({ title, text }) => by_text.set(text, [...(by_text.get(text) ?? []), title]));
  return [...by_text].map(([text, titles]) => `${titles.join("\n")}\n\n${text}`).join("\n\n----\n\n").replaceAll("<", "\u2039").replaceAll(">", "\u203a");
}

/// Replaces a mark that must stand exactly once.
function put(template, mark, text) {
  if (template.split(mark).length !== 2) {
    throw new Error(`template.html: ${mark} must stand in it exactly once`);
  }
  return template.replace(mark, () => text);
}

const made = await bundled("src/main.js", { format: "iife", charset: "ascii" });
const script = made.text.replaceAll("</script", "<\\/script").replaceAll("<!--", "<\\!--");
const style = (await bundled("page.css", {})).text.replaceAll("</style", "<\\/style");
const hash = createHash("sha256").update(script, "utf8").digest("base64");

let page = await readFile(path.join(here, "template.html"), "utf8");
page = put(page, "@STYLE@", style);
page = put(page, "@SCRIPT_HASH@", `'sha256-${hash}'`);
page = put(page, "@LICENCES@", await licences(made.inputs));
page = put(page, "@SCRIPT@", script);
for (const mark of ["RESULTS", "ENVELOPE", "PICTURES", "SCENES", "PAGE"]) {
  put(page, `@COWLWRIGHT_${mark}@`, "");
}
await writeFile(output, page);
console.log(`${output}: ${page.length} bytes, of which script ${script.length}, style ${style.length}`);
