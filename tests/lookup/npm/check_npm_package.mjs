// Holds the npm package against the command, as a program uses it: from bytes, a Blob, a file and a URL the numbers of
// `batch` for thousands of random sites and every postal code; the demand of the command; bad questions, damaged and
// changed images; and the packed archive, installed into a fresh folder, with README's program.
//
//   node check_npm_package.mjs --package FOLDER --readme lookup/npm/README.md --builder PROGRAM --lookup PROGRAM
//     --recipe merrow.toml [--archive FILE.tgz]
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { copyFileSync, mkdirSync, readFileSync, readdirSync, writeFileSync } from "node:fs";
import { basename, dirname, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { gzipSync } from "node:zlib";
import {
  output,
  programOptions,
  randomNumbers,
  run,
  temporaryFolder,
  valleyDatabase,
} from "../page/published_valley.mjs";
import { rangeServer } from "./range_server.mjs";

const SITES = 2500;
const DAMAGED_IMAGES = 300;
const GREATEST_GZIPPED = 60_000;
const MONTHLY = ["eto_mm", "rain_mm", "eto_se_mm", "rain_se_mm", "tmax_c", "tmin_c"];
const VARIABLES = "eto,rain,eto_se,rain_se,tmax,tmin,elevation";

const options = programOptions(["package", "readme", "builder", "lookup", "recipe", "archive"]);
const { ImageError, UsageError, openImage } = await import(pathToFileURL(resolve(options.package, "index.js")));
const { demand } = await import(pathToFileURL(resolve(options.package, "demand.js")));

const folder = temporaryFolder();
const exported = (database, name) => {
  const path = join(folder, name);
  output(options.builder, ["export", database, "--as", "image", "-o", path, "--variables", VARIABLES, "--gradients"]);
  return path;
};
const database = valleyDatabase(folder, options.builder, options.recipe);
const imagePath = exported(database, "valley.img");
const bytes = readFileSync(imagePath);

/** Records of `batch` by their columns' names. */
function batchRecords(ofDatabase, rows) {
  const table = join(folder, "sites.csv");
  writeFileSync(table, rows.map((row) => row.join(",") + "\n").join(""));
  const [head, ...lines] = output(options.lookup, [
    ...["batch", "--db", ofDatabase, "--input", table, "--allow-missing"],
  ])
    .trimEnd()
    .split("\n");
  const names = head.split(",");
  return lines.map((line) => {
    // A reason can contain commas, in quotes.
    const cells = line.match(/("(?:[^"]|"")*"|[^,]*)(?:,|$)/g).map((cell) => cell.replace(/,$/, ""));
    return Object.fromEntries(names.map((name, index) => [name, cells[index]]));
  });
}

const numberOrNull = (text) => (text === "" ? null : Number(text));

function assertSite(site, record, where) {
  if (record.found === "false") return assert.equal(site, null, where);
  assert.notEqual(site, null, where);
  assert.equal(site.peak_month, Number(record.peak_month), where);
  assert.equal(site.point.distance_km, Number(record.distance_km), where);
  assert.equal(site.point.elevation_m, Number(record.elevation_m), where);
  assert.deepEqual([site.lat, site.lon], [Number(record.lat), Number(record.lon)], where);
  for (const month of site.months) {
    const suffix = String(month.month).padStart(2, "0");
    for (const name of MONTHLY)
      assert.equal(month[name], numberOrNull(record[`${name}_${suffix}`]), `${where}, ${name} ${suffix}`);
  }
}

function randomRows(count) {
  const random = randomNumbers(26);
  const rows = [];
  for (let at = 0; at < count; ++at) rows.push([(43.9 + 1.4 * random()).toFixed(6), (-38.8 + 2 * random()).toFixed(6)]);
  return rows;
}

async function checkSites() {
  const rows = randomRows(SITES);
  const records = batchRecords(database, [["lat", "lon"], ...rows]);
  const image = await openImage(bytes);
  for (const [at, [lat, lon]] of rows.entries())
    assertSite(await image.site(Number(lat), Number(lon)), records[at], `${lat},${lon}`);
  const found = records.filter((record) => record.found === "true").length;
  assert.ok(found > SITES / 3 && found < SITES, `${found} of ${SITES} sites were found`);
}

/** Of a field of CSV, in quotes because of its semicolon. */
function sentenceOf(field) {
  const reason = field.replaceAll('"', "");
  return `${reason[0].toUpperCase()}${reason.slice(1)}.`;
}

/** Adjusted to the site's own elevation. A batch rejects one that is far from the terrain. */
async function checkElevations() {
  const random = randomNumbers(28);
  const rows = randomRows(SITES).map(([lat, lon]) => [lat, lon, String(Math.round(2500 * random()) - 200)]);
  const records = batchRecords(database, [["lat", "lon", "elevation_m"], ...rows]);
  const image = await openImage(bytes);
  let compared = 0;
  for (const [at, [lat, lon, elevation]] of rows.entries()) {
    const asked = image.site(Number(lat), Number(lon), { elevation_m: Number(elevation) });
    if (/terrain/.test(records[at].reason)) {
      await assert.rejects(asked, { constructor: UsageError, message: sentenceOf(records[at].reason) });
      continue;
    }
    const site = await asked;
    assertSite(site, records[at], `${lat},${lon} at ${elevation} m`);
    if (site === null) continue;
    assert.equal(site.elevation_m, Number(elevation));
    assert.ok(Math.abs(site.point.shifted_by_m - (site.elevation_m - site.point.elevation_m)) < 0.06);
    ++compared;
  }
  assert.ok(compared > SITES / 3, `${compared} sites were compared`);
  const told = output(options.lookup, [
    ...["site", "--db", database, "--postal", "04107", "--country", "XM", "--elevation", "520m", "--format", "json"],
  ]);
  assert.deepEqual(
    (await image.postal("04107", "XM", { elevation_m: 520 })).annual,
    JSON.parse(told).annual,
    "a postal code at an elevation",
  );
  for (const elevation of [10_001, -1001, NaN, "high"])
    await assert.rejects(
      image.site(44.6, -37.5, { elevation_m: elevation }),
      (error) => error instanceof UsageError && /outside -1000 to 10000 m/.test(error.message),
    );
  const plain = join(folder, "plain.img");
  output(options.builder, ["export", database, "--as", "image", "-o", plain]);
  await assert.rejects(
    (await openImage(plain)).site(44.6, -37.5, { elevation_m: 520 }),
    (error) => error instanceof UsageError && /no changes with elevation/.test(error.message),
  );
}

async function checkSources() {
  const rows = randomRows(60);
  const image = await openImage(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length));
  const expected = [];
  for (const [lat, lon] of rows) expected.push(await image.site(Number(lat), Number(lon)));
  const server = await rangeServer(() => bytes);
  for (const source of [
    new Blob([bytes]),
    imagePath,
    pathToFileURL(imagePath),
    server.url,
    new URL(server.url),
    new DataView(bytes.buffer, bytes.byteOffset, bytes.length),
  ]) {
    const other = await openImage(source);
    // At once: they share what is fetched.
    const answers = await Promise.all(rows.map(([lat, lon]) => other.site(Number(lat), Number(lon))));
    assert.deepEqual(answers, expected, String(source));
    assert.deepEqual(await other.texts(), await image.texts());
    await other.close();
    await assert.rejects(other.site(44.6, -37.5), UsageError);
  }
  server.set.ranges = false;
  assert.deepEqual(await (await openImage(server.url)).site(44.6, -37.5), await image.site(44.6, -37.5));
  await server.stop();
}

/** A finer lattice: an image of many blocks, of which one answer needs few. */
async function checkRanges() {
  const inputs = join(folder, "fine");
  mkdirSync(inputs);
  for (const name of readdirSync(dirname(options.recipe)))
    copyFileSync(join(dirname(options.recipe), name), join(inputs, name));
  const recipe = join(inputs, basename(options.recipe));
  const text = readFileSync(recipe, "utf8");
  assert.ok(text.includes("spacing_arcsec = 120"));
  writeFileSync(recipe, text.replace("spacing_arcsec = 120", "spacing_arcsec = 30"));
  output(options.builder, ["build", recipe, "-o", join(folder, "fine.sqlite")]);
  let content = readFileSync(exported(join(folder, "fine.sqlite"), "fine.img"));
  const server = await rangeServer(() => content);
  const image = await openImage(server.url);
  const memory = await openImage(content);
  assert.deepEqual(await image.site(44.603, -37.532), await memory.site(44.603, -37.532));
  assert.ok(server.sent < content.length / 2, `${server.sent} of ${content.length} bytes were sent`);
  const before = server.requests;
  await image.site(44.603, -37.532);
  assert.equal(server.requests, before, "blocks are requested once");
  const records = batchRecords(join(folder, "fine.sqlite"), [["lat", "lon"], ...randomRows(200)]);
  for (const [at, [lat, lon]] of randomRows(200).entries())
    assertSite(await image.site(Number(lat), Number(lon)), records[at], `${lat},${lon}`);

  const changed = await openImage(server.url);
  server.set.tag = '"2"';
  content = bytes;
  await assert.rejects(
    changed.site(45.1, -37.1),
    (error) => error instanceof ImageError && /changed/.test(error.message),
  );
  server.set.status = 500;
  await assert.rejects(
    openImage(server.url),
    (error) => error instanceof ImageError && /status 500/.test(error.message),
  );
  await server.stop();
  await assert.rejects(
    openImage(server.url),
    (error) => error instanceof ImageError && /cannot be fetched/.test(error.message),
  );
}

async function checkPostalCodes() {
  const image = await openImage(bytes);
  const forms = [
    ...["04103", "04107", "04112", "99999", "97401", "97401-1234", "974011234", "k1a 0b1", "K1A", "V5K", "07401"],
    ...[" ab1  2cd ", "97402", "04101"],
  ];
  const questions = forms.flatMap((code) => ["", "XM", "US", "CA", "MX", "XN"].map((country) => [code, country]));
  const counts = { found: 0, missed: 0, refused: 0 };
  for (const [code, country] of questions) {
    const where = ["--postal", code, ...(country ? ["--country", country] : [])];
    const told = run(options.lookup, ["site", "--db", database, ...where, "--format", "json"]);
    if (told.status === 2) {
      await assert.rejects(image.postal(code, country), UsageError, where.join(" "));
      ++counts.refused;
      continue;
    }
    const expected = JSON.parse(told.stdout);
    const site = await image.postal(code, country);
    if (!expected.found) {
      assert.equal(site, null, where.join(" "));
      ++counts.missed;
      continue;
    }
    assert.deepEqual(
      [site.postal, site.country, site.lat, site.lon],
      [...[expected.query.postal, expected.query.country, expected.query.lat, expected.query.lon]],
    );
    assert.deepEqual(site.annual, expected.annual);
    assert.equal(site.peak_month, expected.peak_month);
    for (const [at, month] of site.months.entries())
      for (const name of [...MONTHLY, "eto_mm_per_day", "percent_of_peak", "month", "days"])
        assert.equal(month[name], expected.months[at][name], `${where.join(" ")}: ${name}`);
    ++counts.found;
  }
  assert.ok(Math.min(...Object.values(counts)) >= 5, JSON.stringify(counts));
}

async function checkBadQuestions() {
  const image = await openImage(bytes);
  const refused = [
    [() => image.site(91, 0), /latitude 91/],
    [() => image.site(0, -181), /longitude -181/],
    [() => image.site(NaN, 0), /NaN/],
    [() => image.site(), /undefined/],
    [() => image.postal(4107), /leading zeros/],
    [() => image.postal("04107", "Merrow"), /two letters/],
    [() => image.postal(""), /not a postal code/],
    [() => image.postal("04101"), /several countries/],
    [() => openImage(7), /bytes, a Blob, a path, or a URL/],
    [() => demand({}, {}), /a site of an image/],
  ];
  for (const [question, words] of refused)
    await assert.rejects(question, (error) => error instanceof UsageError && words.test(error.message), String(words));
  const site = await image.site(44.6, -37.5);
  await assert.rejects(demand(site, { planting: "cool turf", efficiency: 7 }), UsageError);
  await assert.rejects(
    openImage(join(folder, "missing.img")),
    (error) => error instanceof ImageError && /missing.img/.test(error.message),
  );
}

async function checkDamage() {
  const random = randomNumbers(27);
  const some = (count) => Math.floor(random() * count);
  const whole = await openImage(bytes);
  const places = [
    [44.603, -37.532],
    [44.9, -38.1],
    [44.2, -37.2],
  ];
  const expected = [];
  const higher = [];
  for (const place of places) {
    expected.push(await whole.site(...place));
    higher.push(await whole.site(...place, { elevation_m: 700 }));
  }
  const code = await whole.postal("04107");
  let refused = 0;
  for (let round = 0; round < DAMAGED_IMAGES; ++round) {
    let damaged = Uint8Array.from(bytes);
    for (let at = 0; at <= round % 3; ++at) damaged[some(damaged.length)] ^= 1 << some(8);
    if (round % 10 === 0) damaged = damaged.slice(0, some(damaged.length));
    try {
      const image = await openImage(round % 2 === 0 ? damaged : new Blob([damaged]));
      for (const [at, place] of places.entries()) {
        assert.deepEqual(await image.site(...place), expected[at]);
        assert.deepEqual(await image.site(...place, { elevation_m: 700 }), higher[at]);
      }
      assert.deepEqual(await image.postal("04107"), code);
      await image.texts();
    } catch (error) {
      if (!(error instanceof ImageError)) throw error;
      ++refused;
    }
  }
  assert.ok(refused > DAMAGED_IMAGES / 10, `${refused} damaged images were refused`);
  for (const other of [new Uint8Array(0), new Uint8Array(5000), readFileSync(options.readme)])
    await assert.rejects(openImage(other), ImageError);
}

async function checkDemand() {
  const image = await openImage(bytes);
  const zone = {
    planting: "cool turf",
    "area-m2": 140,
    "rate-mm-per-h": 35,
    soil: "clay loam",
    "allowed-days": "Mon,Thu",
  };
  const words = Object.entries(zone).flatMap(([name, value]) => [`--${name}`, String(value)]);
  for (const code of ["04103", "04107"]) {
    const told = JSON.parse(
      output(options.lookup, [
        "demand",
        "--db",
        database,
        "--postal",
        code,
        "--country",
        "XM",
        ...words,
        "--format",
        "json",
      ]),
    );
    const plan = await demand(await image.postal(code, "XM"), zone);
    assert.deepEqual(plan.zones[0].months, told.zones[0].months, code);
    assert.deepEqual(plan.site, told.site, code);
    assert.deepEqual(plan.cautions, told.cautions, code);
  }
}

function checkSizes() {
  const gzipped = gzipSync(readFileSync(join(options.package, "index.js")), { level: 9 }).length;
  assert.ok(gzipped < GREATEST_GZIPPED, `index.js has ${gzipped} bytes gzipped`);
  return gzipped;
}

/** What `npm install FILE.tgz` gives, without a network. */
function checkArchive() {
  if (!options.archive) return;
  const fresh = join(folder, "program");
  mkdirSync(fresh);
  writeFileSync(join(fresh, "package.json"), '{ "name": "program", "private": true, "type": "module" }\n');
  const npm = spawnSync("npm", ["install", "--offline", "--no-audit", "--no-fund", resolve(options.archive)], {
    cwd: fresh,
    encoding: "utf8",
  });
  assert.equal(npm.status, 0, npm.stderr);
  const installed = join(fresh, "node_modules", "thirstline");
  assert.deepEqual(readdirSync(installed).sort(), [
    ...["LICENSE", "README.md", "demand.d.ts", "demand.js", "index.d.ts", "index.js", "package.json"],
  ]);
  copyFileSync(imagePath, join(fresh, "merrow.img"));
  const [, program] = /```js\n(.*?)```/s.exec(readFileSync(options.readme, "utf8"));
  writeFileSync(join(fresh, "program.js"), program);
  const done = spawnSync(process.execPath, ["program.js"], { cwd: fresh, encoding: "utf8" });
  assert.equal(done.status, 0, done.stderr);
  assert.match(done.stdout, /^7 154\.6\nA normal is not a forecast/);
}

await checkSites();
await checkElevations();
await checkSources();
await checkRanges();
await checkPostalCodes();
await checkBadQuestions();
await checkDamage();
await checkDemand();
checkArchive();
console.log(`the package answers as the command does; index.js has ${checkSizes()} bytes gzipped`);
