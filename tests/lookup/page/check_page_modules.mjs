// Compares the page's modules and reader.wasm with the command: random places, valid and invalid
// forms of coordinates, and postal codes as typed must give what `thirstline-lookup site` gives, to
// the last digit, and its sentences.
//
//   node check_page_modules.mjs --page lookup/page/source --assets FOLDER --builder PROGRAM
//     --lookup PROGRAM --recipe merrow.toml
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { gzipSync } from "node:zlib";
import {
  commandRows,
  output,
  programOptions,
  publishedSite,
  randomNumbers,
  run,
  temporaryFolder,
  valleyDatabase,
} from "./published_valley.mjs";

const PLACES = 150;
const RANDOM_COORDINATES = 300;
const GREATEST_READER_BYTES = 16_000;
const GREATEST_PAGE_GZIPPED = 30_000;

const options = programOptions(["page", "assets", "builder", "lookup", "recipe"]);
const module = (name) => import(pathToFileURL(resolve(options.page, name)));
const { positionInAddress, positionOfText, positionText } = await module("coordinates.mjs");
const { fixedText, quantity } = await module("exact_numbers.mjs");
const { sitesOfText } = await module("finding.mjs");
const { possiblePostalCodes, normalisedPostalCode } = await module("postal_codes.mjs");
const { publication, squareOf } = await module("publication.mjs");
const { siteProfile } = await module("site_profile.mjs");
const { hintText, placeName, placeSentences, sourceGroups } = await module("site_words.mjs");
const { tableRows } = await module("table_rows.mjs");
const { depthText, depthUnit } = await module("units.mjs");
const { UsageError } = await module("usage_error.mjs");
const { addressOf, askedInAddress } = await module("address.mjs");

const folder = temporaryFolder();
const database = valleyDatabase(folder, options.builder, options.recipe);
const siteFolder = publishedSite(join(folder, "site"), options.builder, database);
const index = readFileSync(join(siteFolder, "index.html"), "utf8");
const names = JSON.parse(/<script type="application\/json" id="site">(.*?)<\/script>/.exec(index)[1]);
const published = publication(names, async (name) => {
  const bytes = await readFile(join(siteFolder, name));
  return { ok: true, status: 200, arrayBuffer: async () => bytes };
});
const baseline = await published.baseline();
const random = randomNumbers(7);

const collapsed = (text) => text.replace(/\s+/g, " ");
const asSentence = (message) => `${message[0].toUpperCase()}${message.slice(1)}.`;
const site = (place, units, ...more) =>
  run(options.lookup, ["site", "--db", database, ...place, "--units", units, ...more]);

function checkRounding() {
  // Ties of schema/FORMAT.md's integers, away from zero, and the zero without a sign.
  const cases = [
    [[695, 1000], 2, "0.70"],
    [[-695, 1000], 2, "-0.70"],
    [[1, 2], 0, "1"],
    [[-1, 2], 0, "-1"],
    [[-4, 100], 1, "0.0"],
    [[0, 7], 3, "0.000"],
    [[124999, 10000], 1, "12.5"],
    [[1245, 100], 1, "12.5"],
    [[12449999, 1000000], 1, "12.4"],
  ];
  for (const [[n, d], decimals, text] of cases) assert.equal(fixedText(quantity(n, d), decimals), text, `${n}/${d}`);
}

/** Everything that is read of a place, in both systems of units. */
async function checkPlace(place, found) {
  const answer = await published.answerAt(found.position);
  for (const units of ["metric", "us"]) {
    const told = site(place, units);
    if (told.status === 1) {
      assert.equal(answer, null, `${place}: the command has no data`);
      return "nothing";
    }
    assert.equal(told.status, 0, told.stderr);
    assert.notEqual(answer, null, `${place}: the page has no data`);
    const profile = siteProfile(answer);
    const rows = tableRows(profile, units).map((cells) => [
      cells[0] === "Year" ? "Year" : cells[0].slice(0, 3),
      ...cells.slice(1),
    ]);
    const shown = rows.map((cells) => cells.filter((cell) => cell !== "").map((cell) => (cell === "–" ? "-" : cell)));
    assert.deepEqual(shown, commandRows(told.stdout), `${place} in ${units}`);
    const text = collapsed(told.stdout);
    const peak = `Peak month: ${profile.peak.name}, ${depthText(profile.peak.etoMmPerDay, units, 1)} ${depthUnit(units)}/day.`;
    assert.ok(text.includes(peak), `${place}: the command does not say "${peak}"`);
    assert.ok(
      text.startsWith(
        found.code ? `${placeName(found)} ${positionText(found.position)}` : positionText(found.position),
      ),
      text.slice(0, 80),
    );
    for (const said of placeSentences(found, answer, profile, units).filter((sentence) =>
      /^(?:Nearest|For )/.test(sentence),
    )) {
      const begin = said.replace(/[.;].*? a site.*$|\.$/, "");
      assert.ok(text.includes(begin), `${place}: the command does not say "${begin}"`);
    }
  }
  return answer.isInterpolated ? "interpolated" : "nearest";
}

async function checkPlaces() {
  const counts = { interpolated: 0, nearest: 0, nothing: 0 };
  const [west, south, east, north] = baseline.box;
  const some = (low, high, margin) => low - margin + random() * (high - low + 2 * margin);
  const edge = baseline.areas.edge_arcsec / 3600;
  for (let at = 0; at < PLACES; ++at) {
    // Some on the borders of squares, where two areas meet.
    const lat = at % 5 === 0 ? Math.round(some(south, north, 0) / edge) * edge : some(south, north, 0.12);
    const lon = at % 10 === 0 ? Math.round(some(west, east, 0) / edge) * edge : some(west, east, 0.15);
    const position = positionOfText(`${lat.toFixed(7)},${lon.toFixed(7)}`);
    ++counts[await checkPlace([`--at=${positionInAddress(position)}`], { position })];
  }
  for (const [kind, least] of [
    ["interpolated", 40],
    ["nearest", 10],
    ["nothing", 5],
  ])
    assert.ok(counts[kind] >= least, `${kind}: ${counts[kind]}`);
  return counts;
}

const FORMS = [
  "44.05,-123.09",
  "44.05N 123.09W",
  "44°03'00\"N 123°05'24\"W",
  "44 03 00 N, 123 05 24 W",
  "N44.05 W123.09",
  "44.05 -123.09",
  "44°3.5' -37°30'",
  "44 3 -37 30",
  " 44.5 ; -37.5 ",
  "44º30′ n 37˚30′15.5″ w",
  "\u221244.5,\u00a0+37.5",
  "44.5S,37.5E",
  "90,180",
  "-90,-180",
  "0,0",
  "-0,-0",
  ".5,5.",
  "44.05.1,2",
  "1e3,2",
  "0x10,2",
  "nan,inf",
  "44,5,-37,5",
  "-123.09,44.05",
  "44.05W 123.09N",
  "91,200",
  "44,181",
  "44,361",
  "44 60 0 N 37 0 0 W",
  "44.5 30 N 37 W",
  "-44N 37W",
  "N44N 37W",
  "44''3 37",
  "44",
  "",
  ",",
  "44,",
  "44.05,-123.09x",
  "44 -37 30",
  "N 44 30 W 37 30",
  "44.99999995,-37.00000005",
  "0.00000005,-0.00000005",
  "179.99999999,0",
  "89.99999999,179.99999999",
];

/** An angle as people write it; letters are those of its half. */
function writtenAngle(limit, letters) {
  const one = (...choices) => choices[Math.floor(random() * choices.length)];
  const parts = 1 + Math.floor(random() * 3);
  const number = (most, isLast) =>
    isLast ? (random() * most).toFixed(one(0, 1, 5, 9)) : String(Math.floor(random() * most));
  const out = [number(limit, parts === 1), one("°", "º", " ", "° ")];
  if (parts > 1) out.push(number(60, parts === 2), one("'", "′", " ", "’ "));
  if (parts > 2) out.push(number(60, true), one('"', "″", "''", "”"));
  const letter = one(...letters);
  return one([...out, letter], [letter, ...out], [...out, " ", letter.toLowerCase()], ["-", ...out], out);
}

/** Mostly sound; sometimes with a piece lost or doubled. */
function randomCoordinates() {
  const pieces = [...writtenAngle(91, ["N", "S"]), random() < 0.5 ? ", " : " ", ...writtenAngle(181, ["E", "W"])];
  if (random() < 0.3) pieces.splice(Math.floor(random() * pieces.length), 1);
  if (random() < 0.15)
    pieces.splice(Math.floor(random() * pieces.length), 0, pieces[Math.floor(random() * pieces.length)]);
  return pieces.join("");
}

function checkCoordinates() {
  let read = 0;
  const texts = [...FORMS, ...Array.from({ length: RANDOM_COORDINATES }, randomCoordinates)];
  for (const text of texts) {
    const told = site([`--at=${text}`], "metric", "--format", "json");
    let mine;
    try {
      mine = positionOfText(text);
    } catch (error) {
      assert.ok(error instanceof UsageError, error.stack);
      assert.equal(told.status, 2, `"${text}" is refused by the page alone`);
      const [message, hint = ""] = told.stderr
        .trimEnd()
        .replace(/^thirstline-lookup: /, "")
        .split("\nhint: ");
      // An empty option is told of in the command's own words.
      if (text !== "")
        assert.deepEqual(
          [error.message, error.hint.replace(/\.$/, "").toLowerCase()],
          [asSentence(message), hint.toLowerCase()],
          text,
        );
      continue;
    }
    assert.notEqual(told.status, 2, `"${text}" is read by the page alone: ${told.stderr}`);
    const { query } = JSON.parse(told.stdout);
    assert.deepEqual([mine.lat / 1e7, mine.lon / 1e7], [query.lat, query.lon], text);
    ++read;
  }
  assert.ok(read >= 60, `only ${read} forms were read`);
  return `${read} of ${texts.length}`;
}

const TYPED_CODES = [
  "04107",
  " 04107 ",
  "97401-1234",
  "974011234",
  "97401 1234",
  "97402",
  "97402-1234",
  "k1a 0b1",
  "K1A0B1",
  "K1A",
  "v5k-1a1",
  "ab1  2cd",
  "AB1 2CD",
  "ab12cd",
  "4107",
  "7401",
  "74011234",
  "99999",
  "04101",
  "04101-0001",
  "K1A 0B",
  "0410",
  "XM 04101",
  "04101,us",
  "us-04101",
  "XM 04199",
  "QQ 04101",
];

async function checkCodes() {
  const own = Object.values(baseline.postal.files).flatMap(
    ({ name }) => JSON.parse(readFileSync(join(siteFolder, name), "utf8")).codes,
  );
  const unique = own.map(([code]) => code).filter((code, at, codes) => codes.indexOf(code) === codes.lastIndexOf(code));
  assert.ok(unique.length >= 10);
  for (const typed of [...TYPED_CODES, ...unique]) {
    const told = site([`--postal=${typed}`], "metric");
    let sites = [];
    let fault = null;
    try {
      sites = await sitesOfText(published, typed);
    } catch (error) {
      assert.ok(error instanceof UsageError, error.stack);
      fault = error;
    }
    if (told.status === 0 || told.stderr.includes("has no data within")) {
      assert.equal(sites.length, 1, typed);
      await checkPlace([`--postal=${typed}`], sites[0]);
    } else if (told.stderr.includes("several countries")) {
      assert.equal(
        sites
          .map((one) => one.country)
          .sort()
          .join(", "),
        /countries: (.*)/.exec(told.stderr)[1],
        typed,
      );
      for (const one of sites) await checkPlace([`--postal=${typed}`, `--country=${one.country}`], one);
    } else {
      assert.notEqual(fault, null, `the page finds ${typed}`);
      const hint = /did you mean \d+/.exec(told.stderr)?.[0] ?? "";
      assert.ok(
        fault.hint.includes(hint) && /^This page has no postal code/.test(fault.message),
        `${typed}: ${fault.message}`,
      );
    }
  }
  // The page's own heading, typed back.
  const [headed] = await sitesOfText(published, "XM 04107");
  const heading = placeName(headed);
  assert.match(heading, /, XM 04107$/);
  assert.deepEqual(await sitesOfText(published, heading), [headed]);
  // A link of several countries' code reopens the one that was chosen.
  const [first, second] = await sitesOfText(published, "04101");
  assert.notEqual(first.country, second.country);
  for (const code of ["974x1", "!", "12345678901234567"])
    assert.deepEqual(
      possiblePostalCodes(code).filter((form) => form.length > 16 || /[^0-9A-Z -]/.test(form)),
      [],
    );
  assert.equal(normalisedPostalCode("CA", "97401"), null);
  return TYPED_CODES.length + unique.length;
}

async function checkWrongInput() {
  const cases = {
    "": /Enter a postal code/,
    "   ": /Enter a postal code/,
    Eastbank: /does not search for place names/,
    "44.05,-123.09,3": /more than one comma/,
    44.05: /cannot be read as a latitude/,
    "Straße 5": /cannot be read/,
    "-123.09,44.05": /look swapped/,
    "97401_": /cannot be read/,
  };
  for (const [text, message] of Object.entries(cases))
    await assert.rejects(
      sitesOfText(published, text),
      (error) => error instanceof UsageError && message.test(error.message),
      text,
    );
}

function checkAddresses() {
  const position = { lat: 441053000, lon: -382310000 };
  const code = { position, code: "AB1 2CD", country: "XN", place: "Stone & Mill" };
  assert.equal(addressOf({ position }, "us"), "#at=44.1053,-38.231&units=us");
  assert.deepEqual(askedInAddress(addressOf({ position }, "us")), { at: "44.1053,-38.231", units: "us" });
  assert.deepEqual(askedInAddress(addressOf(code, "metric")), { code: "AB1 2CD", country: "XN", units: "metric" });
  assert.deepEqual(askedInAddress("#units=furlongs&at="), { units: null });
}

/** By the definition of a square, in whole numbers. */
function checkSquares() {
  for (const edge of [900, 1800, 3600, 7200]) {
    const at = (e7, zero) => ((BigInt(e7) + zero) * 3600n) / (BigInt(edge) * 10_000_000n);
    for (let count = 0; count < 500; ++count) {
      const on = (circle) =>
        count % 2 === 0
          ? Math.floor(random() * circle)
          : (Math.floor((random() * circle * 3600) / edge / 1e7) * edge * 1e7) / 3600;
      const position = {
        lat: Math.floor(on(1_800_000_000)) - 900_000_000,
        lon: Math.floor(on(3_600_000_000)) - 1_800_000_000,
      };
      assert.equal(squareOf(position, edge), `${at(position.lat, 900_000_000n)},${at(position.lon, 1_800_000_000n)}`);
    }
  }
}

function checkSources() {
  const text = collapsed(output(options.lookup, ["site", "--db", database, "--at=44.603,-37.532"]));
  const groups = sourceGroups(baseline.sources);
  assert.equal(groups.length, 2);
  for (const { names: sources, terms } of groups) {
    const sentence = sources.map(({ name }) => name).join("; ") + terms;
    assert.ok(text.includes(sentence), `the command does not say "${sentence}"`);
  }
}

/** Every example of the hint, typed, must find a site with data. */
async function checkHint() {
  const withoutCodes = { example: { ...baseline.example, code: "" } };
  for (const [shown, count] of [
    [baseline, 3],
    [withoutCodes, 2],
  ]) {
    const [, examples] = /^For example (.*)\.$/.exec(hintText(shown));
    const typed = examples.split(" or ");
    assert.equal(typed.length, count, examples);
    for (const text of typed) {
      const [found] = await sitesOfText(published, text);
      assert.notEqual(await published.answerAt(found.position), null, text);
    }
  }
  assert.equal(hintText({}), "Latitude comes first.");
}

function checkSizes() {
  const reader = readFileSync(join(options.assets, "reader.wasm"));
  // For images that are read piece by piece; the page has them in memory.
  assert.deepEqual(WebAssembly.Module.imports(new WebAssembly.Module(reader)), [
    { module: "image", name: "read", kind: "function" },
  ]);
  const page = gzipSync(readFileSync(join(options.assets, "page.js")), { level: 9 }).length;
  assert.ok(
    reader.length <= GREATEST_READER_BYTES && page <= GREATEST_PAGE_GZIPPED,
    `reader.wasm ${reader.length}, page.js gzipped ${page}`,
  );
  return `reader.wasm ${reader.length} bytes, page.js ${page} gzipped`;
}

checkRounding();
checkSquares();
checkAddresses();
checkSources();
await checkWrongInput();
await checkHint();
console.log("codes:", await checkCodes());
console.log("coordinates read:", checkCoordinates());
console.log("places:", JSON.stringify(await checkPlaces()));
console.log(checkSizes());
