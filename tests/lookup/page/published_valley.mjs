// Publishes the invented valley for tests: a database with postal codes of several countries, and
// the folder of its site.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, dirname, join } from "node:path";
import { parseArgs } from "node:util";

/** Codes that begin alike, or are equal, in several countries; all in the valley. */
const OTHER_CODES = {
  US: [
    ["04101", "Eastbank"],
    ["97401", "Quarry Field"],
    ["07401", "Long Ley"],
  ],
  CA: [
    ["K1A", "Withy Fen"],
    ["V5K", "Fuller's Reach"],
  ],
  MX: [
    ["04101", "Dry Wold"],
    ["97402", "Alder Carr"],
  ],
  XN: [
    ["AB1 2CD", "Stone Mill"],
    ["04101", "<img src=x onerror=alert(1)>"],
  ],
};

export function programOptions(names) {
  return parseArgs({ options: Object.fromEntries(names.map((name) => [name, { type: "string" }])) }).values;
}

export function temporaryFolder() {
  const folder = mkdtempSync(join(tmpdir(), "page-"));
  process.on("exit", () => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

export function run(program, args) {
  const done = spawnSync(program, args, {
    encoding: "utf8",
    maxBuffer: 1 << 26,
    env: { LANG: "C.UTF-8", PATH: process.env.PATH },
  });
  if (done.error) throw done.error;
  return done;
}

export function output(program, args) {
  const done = run(program, args);
  assert.equal(done.status, 0, `${program} ${args.join(" ")}: ${done.stderr}`);
  return done.stdout;
}

const inCsv = (text) => `"${text.replaceAll('"', '""')}"`;
/** JSON's escapes are TOML's. */
const inToml = (text) => JSON.stringify(text).slice(1, -1);

/** The inputs with other texts in the recipe and the postal codes: `texts` has new ones by old ones. */
function replaceTexts(text, texts, written) {
  for (const [old, other] of Object.entries(texts)) text = text.replaceAll(old, written(other));
  return text;
}

/** The database of the recipe's valley, with OTHER_CODES besides its own postal codes. */
export function valleyDatabase(folder, builder, recipe, texts = {}, baselineLines = "") {
  const inputs = join(folder, "inputs");
  mkdirSync(inputs, { recursive: true });
  const own = dirname(recipe);
  for (const name of readdirSync(own)) copyFileSync(join(own, name), join(inputs, name));
  const places = join(inputs, "merrow-postal.csv");
  writeFileSync(
    places,
    replaceTexts(readFileSync(places, "utf8"), texts, (text) => inCsv(text)),
  );
  let recipeText = replaceTexts(readFileSync(recipe, "utf8"), texts, inToml).replace(
    "[baseline]\n",
    (head) => head + baselineLines,
  );
  let place = 0;
  for (const [country, codes] of Object.entries(OTHER_CODES)) {
    const rows = codes.map(
      ([code, name]) =>
        `${code},${inCsv(name)},${(44.4 + 0.05 * ++place).toFixed(4)},${(-37.9 + 0.03 * place).toFixed(4)}\n`,
    );
    writeFileSync(join(inputs, `postal-${country}.csv`), `code,place,lat,lon\n${rows.join("")}`);
    recipeText +=
      `\n[[postal]]\ncountry = "${country}"\npath = "postal-${country}.csv"\nlayout = "csv"\n` +
      'columns = { code = "code", place = "place", lat = "lat", lon = "lon" }\n';
  }
  writeFileSync(join(inputs, basename(recipe)), recipeText);
  const database = join(folder, "valley.sqlite");
  output(builder, ["build", join(inputs, basename(recipe)), "-o", database]);
  return database;
}

/** The folder of its site. */
export function publishedSite(folder, builder, database, ...options) {
  output(builder, ["publish", database, "-o", folder, ...options]);
  return folder;
}

/** The same numbers from 0 to 1 in every run (Mulberry32). */
export function randomNumbers(seed) {
  return () => {
    seed = (seed + 0x6d2b79f5) | 0;
    let t = Math.imul(seed ^ (seed >>> 15), 1 | seed);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** The rows of the command's table, as lists of its cells that are not empty. */
export function commandRows(text) {
  const rows = text
    .split("\n")
    .filter((line) => /^(?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec|Year) +[-\d]/.test(line));
  return rows.map((line) =>
    line
      .replace(/[▏▎▍▌▋▊▉█]+$/, "")
      .trim()
      .split(/\s+/),
  );
}
