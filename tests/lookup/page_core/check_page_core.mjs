// Compares page_core.wasm with `thirstline-lookup demand`: for several places of the invented
// valley and some dozens of zones, zones, site and cautions must be the same text, digit for digit,
// and the words those of the command's own text, in both systems of units; wrong input must give
// the command's sentence, hint and status. No request, however malformed, may trap or leak memory,
// and the module may import nothing.
//
//   node check_page_core.mjs --wasm page_core.wasm --builder PROGRAM --lookup PROGRAM
//     --climate PROGRAM --recipe merrow.toml
//
// --climate names print_climate_request. Needs only Node.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { gzipSync } from "node:zlib";

// Streams, locales or tables of doubles would add more than the rest of this budget.
const LARGEST_GZIPPED = 140_000; // bytes
const PLACES = [["44.603,-37.532"], ["44.1053,-38.231"], ["45.124,-37.5705"], ["44.7815,-37.146", "640"]];
const RANDOM_ZONES = 48;
const BROKEN_REQUESTS = 4000;
const REPEATED_REQUESTS = 2000;

const TURF = { planting: "cool turf", "area-ft2": "1500", "rate-in-per-h": "1.4" };
const ZONES = [
  TURF,
  {
    ...TURF,
    soil: "clay loam",
    "slope-percent": "5",
    "distribution-uniformity": "0.65",
    "allowed-days": "Mon,Wed,Fri",
  },
  {
    ...TURF,
    planting: "warm turf",
    efficiency: "0.7",
    "rain-credit": "none",
    "allowed-days": "odd",
    name: 'häuser "rasen"',
  },
  {
    ...TURF,
    "turf-coefficients": "flat",
    "dormant-months": "none",
    "rain-credit": "soil-storage",
    "allowed-days": "even",
  },
  {
    ...TURF,
    "window-hours": "0.2",
    "days-per-week-cap": "1",
    soil: "clay",
    "slope-percent": "15",
    "runs-per-week-cap": "1",
  },
  {
    ...TURF,
    "water-unit": "kgal",
    tiers: "10:3.1,5.4",
    fixed: "18",
    "indoor-use": "5",
    currency: "$",
    "sewer-share": "0.5",
  },
  {
    ...TURF,
    "monthly-allowance-gal": "2000",
    "weekly-depth-cap-in": "1",
    "water-unit": "m3",
    tiers: "2.2",
    currency: "EUR",
  },
  {
    ...TURF,
    "new-planting-until": "2030-05-31",
    "new-planting-from": "2030-04-20",
    "new-planting-minutes": "5",
    "new-planting-runs-per-day": "3",
  },
  {
    ...TURF,
    planting: "",
    coefficient: "0.3,0.3,0.4,0.6,0.8,0.9,1,1,0.8,0.6,0.4,0.3",
    "root-depth-in": "24",
    soil: "sandy loam",
  },
  { ...TURF, planting: "", species: "0.5", density: "1.1", exposure: "hot", "allowed-depletion": "0.4" },
  { ...TURF, "water-ec-ds-per-m": "1.5", "yearly-allowance-m3": "60" },
  {
    "plant-factor": "0.5",
    "area-m2": "80",
    emitters: "120",
    "gph-each": "1",
    "wetted-m2": "45",
    plants: "30",
    soil: "loam",
  },
  { "plant-factor": "0.3333333333333333333", "area-m2": "0.01", "flow-l-per-min": "0.001" },
  {
    planting: "warm turf",
    "area-m2": "9500",
    "flow-gpm": "120",
    "site-flow-gpm": "90",
    "rain-credit": "0.25",
    soil: "sand",
  },
  {
    "plant-factor": "1.5",
    "area-m2": "200",
    "rate-mm-per-h": "500",
    soil: "silty clay",
    "surface-storage-mm": "0.5",
    "intake-mm-per-h": "0.5",
  },
];
const WRONG = [
  { ...TURF, "rate-in-per-h": "-1.4" },
  { ...TURF, planting: "oak" },
  { ...TURF, planting: "cool turff" },
  { ...TURF, "days-per-week-cap": "0" },
  { ...TURF, "days-per-week-cap": "2.5" },
  { ...TURF, "allowed-days": "Mon,Someday" },
  { ...TURF, efficiency: "75" },
  { ...TURF, efficiency: "0.7", "distribution-uniformity": "0.6" },
  { ...TURF, "area-ft2": "12x" },
  { ...TURF, "area-ft2": "1e3" },
  { ...TURF, "area-m2": "100" },
  { ...TURF, "plant-factor": "0.5" },
  { ...TURF, "flow-gpm": "20" },
  { ...TURF, "water-ec-ds-per-m": "60" },
  { ...TURF, "water-unit": "kgal" },
  { ...TURF, "water-unit": "kgal", tiers: "10:3.1" },
  { ...TURF, "water-unit": "kgal", tiers: "10:3.1,5:4,6" },
  { ...TURF, "new-planting-until": "2030-02-30" },
  { ...TURF, "new-planting-until": "2030-05-31" },
  { ...TURF, "new-planting-until": "2030-05-31", "new-planting-from": "2031-05-31", "new-planting-minutes": "5" },
  { ...TURF, coefficient: "1,2,3" },
  { ...TURF, soil: "peat" },
  { ...TURF, "slope-percent": "101" },
  { ...TURF, "dormant-months": "Juli" },
  { ...TURF, "rain-credit": "1.5" },
  { ...TURF, density: "1" },
  { ...TURF, name: "  " },
  { planting: "cool turf", "rate-in-per-h": "1.4" },
  { planting: "cool turf", "area-ft2": "1500" },
  { planting: "cool turf", "area-m2": "10000000", "flow-l-per-min": "0.001" },
  { "area-ft2": "1500", "rate-in-per-h": "1.4" },
];

/** Mulberry32: the same numbers from 0 to 1 in every run. */
function randomNumbers(seed) {
  return () => {
    seed = (seed + 0x6d2b79f5) | 0;
    let t = Math.imul(seed ^ (seed >>> 15), 1 | seed);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

function randomZone(random) {
  const one = (...choices) => choices[Math.floor(random() * choices.length)];
  const between = (least, greatest, decimals) => (least + random() * (greatest - least)).toFixed(decimals);
  const zone = {};
  const maybe = (name, value) => {
    if (random() < 0.4) zone[name] = value;
  };
  Object.assign(
    zone,
    one(
      { planting: "cool turf" },
      { planting: "warm turf" },
      { "plant-factor": between(0.05, 1.2, 3) },
      { species: between(0.1, 0.9, 2) },
      { coefficient: between(0, 1.4, 2) },
    ),
  );
  Object.assign(zone, one({ "area-ft2": between(50, 20000, 1) }, { "area-m2": between(5, 2000, 2) }));
  Object.assign(zone, one({ "rate-in-per-h": between(0.1, 2.5, 2) }, { "rate-mm-per-h": between(2, 60, 3) }));
  maybe("soil", one("clay", "silty clay", "clay loam", "loam", "sandy loam", "loamy sand", "sand"));
  maybe("slope-percent", between(0, 40, 1));
  maybe("root-depth-mm", between(50, 900, 0));
  maybe("allowed-depletion", between(0.2, 0.8, 2));
  maybe("dormant-months", one("none", "Dec,Jan,Feb", "1,2,3"));
  maybe("rain-credit", one("half", "none", "soil-storage", between(0, 1, 2)));
  maybe(one("efficiency", "distribution-uniformity"), between(0.3, 0.95, 2));
  maybe("allowed-days", one("odd", "even", "any", "Mon", "Tue,Sat", "Mon,Wed,Fri,Sun"));
  maybe("window-hours", between(0.2, 10, 1));
  maybe("days-per-week-cap", one("1", "2", "3", "5", "7"));
  maybe("runs-per-week-cap", one("1", "3", "14"));
  maybe("monthly-allowance-l", between(500, 90000, 0));
  return zone;
}

/** What stands between the parts of text that mean something: blanks outside JSON's strings. */
const compactJson = (text) => text.replace(/("(?:[^"\\]|\\.)*")|\s+/g, (_, string) => string ?? "");
const collapsed = (text) => text.replace(/\s+/g, " ");

/** As page_core.h shows it. */
async function loadedCore(wasm) {
  const module = await WebAssembly.compile(wasm);
  assert.deepEqual(WebAssembly.Module.imports(module), [], "the module must import nothing");
  const core = (await WebAssembly.instantiate(module, {})).exports;
  core._initialize();
  const bytesAt = (at, count) => new Uint8Array(core.memory.buffer, at, count);
  const answerTo = (request) => {
    const bytes = typeof request === "string" ? new TextEncoder().encode(request) : request;
    const asked = core.page_core_allocate(bytes.length);
    bytesAt(asked, bytes.length).set(bytes);
    const told = core.page_core_demand(asked, bytes.length);
    const answer = new TextDecoder("utf-8", { fatal: true }).decode(bytesAt(told, core.page_core_text_bytes(told)));
    core.page_core_release(asked);
    core.page_core_release(told);
    return answer;
  };
  return { answerTo, memoryBytes: () => core.memory.buffer.byteLength };
}

const { values: programs } = parseArgs({
  options: Object.fromEntries(
    ["wasm", "builder", "lookup", "climate", "recipe"].map((name) => [name, { type: "string" }]),
  ),
});
const folder = mkdtempSync(join(tmpdir(), "page-core-"));
process.on("exit", () => rmSync(folder, { recursive: true, force: true }));
const database = join(folder, "merrow.sqlite");

function run(program, args) {
  const done = spawnSync(program, args, { encoding: "utf8", env: { LANG: "C.UTF-8", PATH: process.env.PATH } });
  if (done.error) throw done.error;
  return done;
}

function output(program, args) {
  const done = run(program, args);
  assert.equal(done.status, 0, `${args.join(" ")}: ${done.stderr}`);
  return done.stdout;
}

const optionArguments = (zone) =>
  Object.entries(zone)
    .filter(([, value]) => value !== "")
    .map(([name, value]) => `--${name}=${value}`);
const requestLines = (zone) =>
  Object.entries(zone)
    .map(([name, value]) => `${name}=${value}\n`)
    .join("");
const placeArguments = ([at, elevation]) => [
  "--db",
  database,
  "--at",
  at,
  ...(elevation === undefined ? [] : ["--elevation", `${elevation}m`]),
];
const demandOf = (place, zone, ...more) =>
  run(programs.lookup, ["demand", ...placeArguments(place), ...optionArguments(zone), ...more]);

/** All sentences and rows of cells that the command's text shows, too. */
function shownTexts({ words, cautions }, zoneName) {
  const rows = words.months.map((month) =>
    [
      month.month,
      month.need,
      month.rain,
      month.net,
      month.gross,
      month.percent,
      month.days,
      month.runs,
      month.water,
      month.cost,
    ]
      .join(" ")
      .trim(),
  );
  const figures = words.year.map((figure) => `${figure.what} ${figure.water} ${figure.cost}`.trim());
  const peak = words.peak_need === "" ? [] : [`${zoneName}, ${words.peak_need}.`];
  return [
    words.rules,
    ...words.conflicts,
    words.base_run,
    ...peak,
    ...rows,
    ...words.curve,
    ...words.new_planting,
    words.rain_shutoff,
    words.uncertainty,
    ...figures,
    ...words.year_notes,
    ...words.assumed,
    ...cautions,
  ];
}

function checkDemand(core, climate, place, zone) {
  const json = demandOf(place, zone, "--format", "json");
  if (json.status !== 0) return checkRefusal(core, climate, place, zone);
  const name = JSON.stringify(zone);
  const whole = compactJson(json.stdout);
  const members = whole.slice(whole.indexOf('"zones":['), whole.indexOf(',"sources":['));
  for (const units of ["us", "metric"]) {
    const answer = core.answerTo(`${climate}units=${units}\n${requestLines(zone)}`);
    assert.equal(answer.slice(answer.indexOf('"zones":['), answer.indexOf(',"words":{')), members, name);
    const text = collapsed(demandOf(place, zone, "--format", "text", "--width", "wide", "--units", units).stdout);
    const told = JSON.parse(answer);
    for (const shown of shownTexts(told, told.zones[0].name)) {
      assert.ok(text.includes(collapsed(shown)), `${name}: the command does not say "${shown}"`);
    }
  }
  return "demand";
}

function checkRefusal(core, climate, place, zone) {
  const refused = demandOf(place, zone);
  assert.notEqual(refused.status, 0, JSON.stringify(zone));
  const [message, hint = ""] = refused.stderr.trimEnd().split("\nhint: ");
  const { error } = JSON.parse(core.answerTo(climate + requestLines(zone)));
  assert.deepEqual(error, { status: refused.status, message: message.replace(/^thirstline-lookup: /, ""), hint });
  return "refusal";
}

/** A sound request with a few bytes changed, put in or taken out. */
function brokenRequest(sound, random) {
  const bytes = [...new TextEncoder().encode(sound)];
  for (let changes = 1 + Math.floor(random() * 4); changes > 0; --changes) {
    const at = Math.floor(random() * bytes.length);
    const kind = random();
    const byte =
      random() < 0.5 ? Math.floor(random() * 256) : "0123456789-=,:.\n".charCodeAt(Math.floor(random() * 16));
    if (kind < 0.4) bytes[at] = byte;
    else if (kind < 0.8) bytes.splice(at, 0, byte);
    else bytes.splice(at, 1 + Math.floor(random() * 6));
  }
  return Uint8Array.from(bytes);
}

function checkBrokenRequests(core, climate) {
  const random = randomNumbers(3);
  for (let i = 0; i < BROKEN_REQUESTS; ++i) {
    const request = brokenRequest(climate + requestLines(ZONES[i % ZONES.length]), random);
    const told = JSON.parse(core.answerTo(request));
    assert.ok("error" in told || told.zones.length === 1);
  }
}

function checkMemory(core, climate) {
  const request = climate + requestLines(ZONES[1]);
  const first = core.answerTo(request);
  const before = core.memoryBytes();
  for (let i = 0; i < REPEATED_REQUESTS; ++i) assert.equal(core.answerTo(request), first);
  assert.equal(core.memoryBytes(), before, "memory grows with every request");
}

output(programs.builder, ["build", programs.recipe, "-o", database]);
const wasm = readFileSync(programs.wasm);
const gzipped = gzipSync(wasm, { level: 9 }).length;
console.log(`page_core.wasm: ${wasm.length} bytes, ${gzipped} gzipped`);
assert.ok(gzipped <= LARGEST_GZIPPED, `more than ${LARGEST_GZIPPED} bytes gzipped`);
const core = await loadedCore(wasm);

const random = randomNumbers(1);
const zones = [...ZONES, ...Array.from({ length: RANDOM_ZONES }, () => randomZone(random))];
const counts = { demand: 0, refusal: 0 };
const climates = PLACES.map((place) => output(programs.climate, [database, ...place]));
zones.forEach((zone, i) => {
  const place = i % PLACES.length;
  ++counts[checkDemand(core, climates[place], PLACES[place], zone)];
});
for (const zone of WRONG) ++counts[checkRefusal(core, climates[0], PLACES[0], zone)];
assert.ok(counts.demand >= zones.length * 0.8, "too few zones have a demand to compare");
checkBrokenRequests(core, climates[0]);
checkMemory(core, climates[0]);
console.log(`the same as the command: ${counts.demand} demands, ${counts.refusal} refusals`);
