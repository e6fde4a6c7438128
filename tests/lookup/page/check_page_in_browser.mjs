// Opens the published page of the invented valley in Chromium as its readers do: each way of
// finding a place, wrong input, units, links, print, keyboard only, several screens, offline, and
// after a new publication; and compares the displayed numbers with the command's.
//
//   node check_page_in_browser.mjs --assets FOLDER --builder PROGRAM --lookup PROGRAM
//     --recipe merrow.toml --pictures FOLDER
//
// Leaves pictures and a print in the folder for inspection. Needs playwright-core and axe-core
// where Node finds them, and Debian's chromium; without any of these it reports that and exits with
// 77.
import assert from "node:assert/strict";
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import {
  ask,
  faultsOfSight,
  headingOf,
  kept,
  launchedBrowser,
  problemOf,
  rowsOf,
  settled,
  until,
  visit,
  watch,
} from "./browser_visits.mjs";
import { checkDemand, collapsed, fillZone } from "./demand_visits.mjs";
import { checkGround, checkMap } from "./map_visits.mjs";
import {
  commandRows,
  programOptions,
  publishedSite,
  randomNumbers,
  run,
  temporaryFolder,
  valleyDatabase,
} from "./published_valley.mjs";
import { staticServer } from "./static_server.mjs";

const GREATEST_BYTES = 150_000;
const GREATEST_REQUESTS = 6;
const RANDOM_PLACES = 40;
const SCREENS = [
  { name: "phone-320", width: 320, height: 640 },
  { name: "phone-390", width: 390, height: 844, locale: "en-US" },
  { name: "laptop", width: 1280, height: 800 },
  { name: "dark", width: 1280, height: 800, colorScheme: "dark" },
];
const HOSTILE = "<img src=x onerror=alert(1)><script>alert(2)</script>\"'&";

const options = programOptions(["assets", "builder", "lookup", "recipe", "pictures"]);
mkdirSync(options.pictures, { recursive: true });
const folder = temporaryFolder();
const browser = await launchedBrowser();
const database = valleyDatabase(folder, options.builder, options.recipe);
const valley = publishedSite(join(folder, "valley"), options.builder, database);
/** The valley with other texts, published beside it, with lines added to [baseline]. */
const publishedWith = (name, texts, baselineLines) =>
  publishedSite(
    join(folder, name, "site"),
    options.builder,
    valleyDatabase(join(folder, name), options.builder, options.recipe, texts, baselineLines),
  );
const server = await staticServer(valley);

const command = (name, place, ...more) => run(options.lookup, [name, "--db", database, ...place, ...more]);
const siteRows = (place, units) => commandRows(command("site", place, "--units", units).stdout);

const checks = {
  async "from cold to the first answer"(faults) {
    server.asked.length = 0;
    const page = await visit(browser, server, { faults });
    await ask(page, "04107");
    const asked = server.asked.slice();
    const bytes = asked.reduce((sum, one) => sum + one.bytes, 0);
    assert.equal(await headingOf(page), "Ostrey Bridge, XM 04107");
    assert.ok(asked.length <= GREATEST_REQUESTS && bytes <= GREATEST_BYTES, `${asked.length} requests, ${bytes} bytes`);
    await page.context().close();
    return `${asked.length} requests, ${bytes} bytes: ${asked.map(({ name, bytes: size }) => `${name.replace(/-[0-9a-f]{16}/, "")} ${size}`).join(", ")}`;
  },

  async "codes and coordinates as they are typed"(faults) {
    const page = await visit(browser, server, { faults });
    const cases = {
      " 04107 ": ["--postal=04107"],
      "k1a 0b1": ["--postal=K1A"],
      "97401-1234": ["--postal=97401"],
      "ab1  2cd": ["--postal=AB1 2CD"],
      "44°36'10.8\"N 37°31'55.2\"W": ["--at=44.603,-37.532"],
      "44.603 -37.532": ["--at=44.603,-37.532"],
    };
    for (const [typed, place] of Object.entries(cases)) {
      await ask(page, typed);
      assert.deepEqual(await rowsOf(page), siteRows(place, "metric"), typed);
      assert.equal(await page.evaluate(() => document.activeElement.id), "place");
    }
    await page.context().close();
  },

  async "a code of several countries"(faults) {
    const page = await visit(browser, server, { faults });
    await ask(page, "04101");
    const choices = await page.locator("#choices button").allInnerTexts();
    assert.deepEqual(choices, [
      "Dry Wold, MX 04101",
      "Eastbank, US 04101",
      "Merrowmouth, XM 04101",
      "<img src=x onerror=alert(1)>, XN 04101",
    ]);
    await page.click("text=Eastbank");
    await settled(page);
    assert.equal(await headingOf(page), "Eastbank, US 04101");
    assert.deepEqual(await rowsOf(page), siteRows(["--postal=04101", "--country=US"], "metric"));
    await page.goBack();
    await page.waitForFunction(() => document.getElementById("answer").hidden);
    await page.context().close();
  },

  async "wrong input and places outside"(faults) {
    const page = await visit(browser, server, { faults });
    const cases = {
      "": /^Enter a postal code/,
      99999: /^This page has no postal code 99999\./,
      4107: /did you mean 04107\?/,
      "-123.09,44.05": /look swapped/,
      "44,5,37,5": /more than one comma/,
      "Ostrey Bridge!": /cannot be read/,
      "12.5,77.6": /^12.5 N, 77.6 E is outside the area covered/,
      "44.9,-38.7": /^44.9 N, 38.7 W is outside the area covered/,
    };
    for (const [typed, sentence] of Object.entries(cases)) {
      await ask(page, typed);
      assert.match(await problemOf(page), sentence, typed);
      assert.equal(await page.getAttribute("#place-text", "aria-invalid"), "true");
      assert.ok(await page.locator("#answer").isHidden(), typed);
    }
    await ask(page, "04107");
    assert.equal(await problemOf(page), "");
    assert.equal(await page.getAttribute("#place-text", "aria-invalid"), null);
    await page.context().close();
  },

  async "the device's position, on request alone"(faults) {
    const here = { geolocation: { latitude: 44.60301, longitude: -37.53199 } };
    const page = await visit(browser, server, { faults, ...here, permissions: ["geolocation"] });
    await page.click("#device");
    await settled(page);
    assert.deepEqual(await rowsOf(page), siteRows(["--at=44.603,-37.532"], "metric"));
    await page.context().close();
    const refused = await visit(browser, server, { faults });
    await refused.click("#device");
    await settled(refused);
    assert.match(await problemOf(refused), /^Location unavailable/);
    await refused.context().close();
  },

  "a place on the map, by pointing and by keys": (faults) => checkMap(browser, server, { database, command, faults }),

  "the ground of the map": (faults) =>
    checkGround(browser, { folder, builder: options.builder, database, pictures: options.pictures, faults }),

  async "units, the link and print"(faults) {
    const page = await visit(browser, server, { faults, permissions: ["clipboard-read", "clipboard-write"] });
    await ask(page, "04103");
    await page.check("input[name=units][value=us]");
    assert.deepEqual(await rowsOf(page), siteRows(["--postal=04103"], "us"));
    await page.click("text=Copy link");
    const link = await page.evaluate(() => navigator.clipboard.readText());
    const other = await visit(browser, server, { faults, hash: new URL(link).hash });
    await settled(other);
    assert.equal(await headingOf(other), "Thessle, Upper, XM 04103");
    assert.deepEqual(await rowsOf(other), await rowsOf(page));
    await other.context().close();
    await page.emulateMedia({ media: "print" });
    assert.ok(
      (await page.locator("#search").isHidden()) &&
        (await page.locator(".tools").isHidden()) &&
        (await page.locator("table.months").isVisible()),
    );
    const pdf = await page.pdf({ path: join(options.pictures, "site-A4.pdf"), format: "A4" });
    assert.equal((pdf.toString("latin1").match(/\/Type\s*\/Page\b/g) ?? []).length, 1, "a site prints on one sheet");
    await page.context().close();
    const american = await visit(browser, server, { faults, locale: "en-US", hash: "#at=44.603,-37.532" });
    await settled(american);
    assert.deepEqual(await rowsOf(american), siteRows(["--at=44.603,-37.532"], "us"));
    await american.context().close();
  },

  async "numbers of random places"(faults) {
    const page = await visit(browser, server, { faults });
    const random = randomNumbers(11);
    let answers = 0;
    for (let at = 0; at < RANDOM_PLACES; ++at) {
      const place = `${(43.95 + random() * 1.3).toFixed(5)},${(-38.65 + random() * 1.7).toFixed(5)}`;
      const units = at % 2 === 0 ? "us" : "metric";
      await page.evaluate((hash) => {
        location.hash = hash;
      }, `#at=${place}&units=${units}`);
      await page.waitForTimeout(30);
      await settled(page);
      const told = command("site", [`--at=${place}`], "--units", units);
      if (told.status === 1) {
        assert.match(await problemOf(page), /is outside the area covered/, place);
        continue;
      }
      ++answers;
      assert.deepEqual(await rowsOf(page), commandRows(told.stdout), place);
    }
    assert.ok(answers > RANDOM_PLACES / 2);
    await page.context().close();
    return `${answers} answers, ${RANDOM_PLACES - answers} without data`;
  },

  async "the demand of a zone"(faults) {
    server.asked.length = 0;
    const page = await visit(browser, server, { faults });
    await ask(page, "04107");
    assert.ok(!server.asked.some(({ name }) => name.includes("demand")), "the module comes before it is wanted");
    await page.click("text=Calculate a zone's water need");
    const zones = [
      [{ area: "120", rate: "20" }, ["--planting=cool turf", "--area-m2=120", "--rate-mm-per-h=20"]],
      [
        {
          area: "95.5",
          rate: "12.5",
          efficiency: "0.68",
          soil: "sandy loam",
          planting: "warm turf",
          days: ["Mon", "Thu"],
        },
        [
          "--planting=warm turf",
          "--area-m2=95.5",
          "--rate-mm-per-h=12.5",
          "--efficiency=0.68",
          "--soil=sandy loam",
          "--allowed-days=Mon,Thu",
        ],
      ],
      [
        { area: "40", rate: "9", planting: "other", "plant-factor": "0.4" },
        ["--plant-factor=0.4", "--area-m2=40", "--rate-mm-per-h=9"],
      ],
    ];
    for (const [typed, args] of zones) {
      await fillZone(page, typed);
      for (const units of ["us", "metric"]) {
        await page.check(`input[name=units][value=${units}]`);
        await checkDemand(
          page,
          command("demand", ["--postal=04107"], ...args, "--units", units, "--width", "wide").stdout,
          args,
        );
      }
    }
    const wrong = {
      efficiency: ["75", /^Efficiency must be a number from 0.2 to 1, not 75\.$/],
      area: ["12x", /^Area must be a number/],
      rate: ["", /^Precipitation rate: this number is needed/],
    };
    for (const [name, [value, sentence]] of Object.entries(wrong)) {
      await fillZone(page, { area: "120", rate: "20", [name]: value });
      assert.match(await page.locator("#demand .problem").innerText(), sentence);
      assert.equal(await page.locator("#demand-result > *").count(), 0);
    }
    await page.context().close();
  },

  async "by keys alone"(faults) {
    const page = await visit(browser, server, { faults });
    const tabTo = async (isThere) => {
      for (let presses = 0; presses < 40; ++presses) {
        await page.keyboard.press("Tab");
        if (await page.evaluate(isThere)) return;
      }
      assert.fail(`Tab does not reach ${isThere}`);
    };
    await tabTo(() => document.activeElement.id === "place-text");
    await page.keyboard.type("04107");
    await page.keyboard.press("Enter");
    await settled(page);
    await tabTo(() => document.activeElement.name === "units");
    await page.keyboard.press("ArrowRight");
    assert.deepEqual(await rowsOf(page), siteRows(["--postal=04107"], "us"));
    assert.equal(await page.evaluate(() => document.activeElement.value), "us", "the focus stays on the switch");
    await tabTo(() => document.activeElement.getAttribute("aria-controls") === "demand-panel");
    await page.keyboard.press("Enter");
    await tabTo(() => document.activeElement.id === "area");
    await page.keyboard.type("1500");
    await tabTo(() => document.activeElement.id === "rate");
    await page.keyboard.type("1.4");
    await page.keyboard.press("Enter");
    await page.waitForSelector("#demand-result table");
    await page.context().close();
  },

  async "what is seen on several screens"(faults) {
    for (const { name, width, height, ...screen } of SCREENS) {
      const page = await visit(browser, server, { faults, viewport: { width, height }, ...screen });
      const look = async (state) => {
        await page.screenshot({ path: join(options.pictures, `site-${name}-${state}.png`), fullPage: true });
        faults.push(...(await faultsOfSight(page)).map((fault) => `${name}, ${state}: ${fault}`));
      };
      await look("start");
      await ask(page, "99999");
      await look("problem");
      await ask(page, "04101");
      await look("choice");
      await ask(page, "04107");
      await page.click("#map-toggle");
      await page.waitForSelector("canvas");
      await page.click("text=Calculate a zone's water need");
      await fillZone(page, { area: "120", rate: screen.locale ? "0.8" : "20", days: ["Mon", "Thu"] });
      await page.locator("#demand details summary").click();
      await look("all");
      await page.context().close();
    }
  },

  async "hostile texts"(faults) {
    const begins = ["Merrow valley", "Merrowmouth", "Merrow wind", "Merrow Valley Water District", "Check plants"];
    const texts = Object.fromEntries(begins.map((text) => [text, `${text} ${HOSTILE}`]));
    const hostile = await staticServer(
      publishedWith("hostile", { ...texts, "https://example.org/merrow/rain": "javascript:alert(3)" }),
    );
    const page = await visit(browser, hostile, { faults, hash: "#code=04101&country=XM" });
    await settled(page);
    assert.equal(await headingOf(page), `Merrowmouth ${HOSTILE}, XM 04101`);
    const text = await page.locator("main").innerText();
    for (const begin of begins) {
      assert.ok(collapsed(text).includes(collapsed(`${begin} ${HOSTILE}`)), begin);
    }
    assert.deepEqual(
      await page.evaluate(() => [
        document.querySelectorAll("img").length,
        document.querySelectorAll("script").length,
        [...document.querySelectorAll("a")].filter((link) => /^javascript:/i.test(link.href)).length,
      ]),
      [0, 2, 0],
    );
    for (const hash of [
      "#code=%3Cimg%20src=x%20onerror=alert(4)%3E",
      "#at=%3Cscript%3Ealert(5)%3C/script%3E",
      "#code=__proto__",
      "#at=44.6,-37.5&units=constructor",
    ]) {
      await page.evaluate((next) => {
        location.hash = next;
      }, hash);
      await page.waitForTimeout(200);
    }
    await page.context().close();
    await hostile.stop();
  },

  async "without a connection, after the first visit"(faults) {
    const own = await staticServer(valley);
    const page = await visit(browser, own, { faults });
    await ask(page, "04107");
    await kept(page);
    const before = await rowsOf(page);
    await own.stop();
    const quiet = [];
    const later = await page.context().newPage();
    watch(later, own, quiet);
    await later.goto(own.url);
    await later.waitForSelector("#footer p");
    await ask(later, "04107");
    assert.deepEqual(await rowsOf(later), before);
    await later.click("text=Calculate a zone's water need");
    await fillZone(later, { area: "120", rate: "20" });
    assert.ok(await later.locator("#demand-result table").isVisible());
    await ask(later, "45.12,-37.3");
    assert.match(await problemOf(later), /You are offline/);
    await own.start();
    await ask(later, "45.12,-37.3");
    assert.deepEqual(await rowsOf(later), siteRows(["--at=45.12,-37.3"], "metric"));
    // What the browser says of the file that could not be had; nothing else may be said.
    faults.push(...quiet.filter((fault) => !/ERR_CONNECTION_REFUSED|ERR_FAILED/.test(fault)));
    await page.context().close();
    await own.stop();
  },

  async "after a new publication"(faults) {
    const quiet = [];
    const own = await staticServer(valley, { path: "/valley/" });
    const page = await visit(browser, own, { faults: quiet });
    await ask(page, "04107");
    await kept(page);
    const oldPages = await page.evaluate(async () => (await caches.keys()).filter((name) => / page /.test(name)));
    const again = publishedWith(
      "again",
      { "Reference ET and rain": "Water's need and rain" },
      'edition = "2026.1"\ndate = 2026-12-01\ncontact = "normals@example.org"\n',
    );
    own.serve(again);
    await ask(page, "45.12,-37.3");
    assert.match(await problemOf(page), /This page was updated/);
    await page.goto(own.url);
    await page.waitForSelector("#footer p");
    assert.equal(await page.locator("h1").innerText(), "Water's need and rain of the Merrow valley");
    assert.equal(
      await page.locator("#publisher").innerText(),
      "Published by Merrow Valley Water District (invented) · Edition 2026.1, 2026-12-01 · Contact: normals@example.org",
    );
    assert.equal(await page.locator("#publisher a").getAttribute("href"), "mailto:normals@example.org");
    await ask(page, "45.12,-37.3");
    assert.deepEqual(await rowsOf(page), siteRows(["--at=45.12,-37.3"], "metric"));
    const names = await page.evaluate(async () => {
      const { baseline } = JSON.parse(document.getElementById("site").textContent);
      return { baseline, published: JSON.stringify(await (await fetch(baseline)).json()) };
    });
    // The visitor leaves; then one publication is kept, the new one, and of the data only what it has.
    await page.waitForTimeout(4000);
    const outside = await page.context().newPage();
    await outside.goto(new URL("/", own.url).href);
    await page.close();
    await outside.evaluate((known) => Object.assign(window, known), {
      oldPages,
      baselineName: names.baseline,
      publishedNames: names.published,
    });
    await until(outside, async () => {
      // To open a store that was just dropped would create it again.
      const names = await caches.keys();
      if (names.length !== 2 || names.some((name) => window.oldPages.includes(name))) return false;
      const stores = await Promise.all(
        names.map(async (name) => (await (await caches.open(name)).keys()).map(({ url }) => url)),
      );
      const data = stores.flat().filter((url) => url.includes("/data/"));
      return (
        stores.flat().some((url) => url.endsWith(window.baselineName)) &&
        data.length >= 2 &&
        data.every((url) => window.publishedNames.includes(url.replace(/.*\/data\//, "data/")))
      );
    });
    await own.stop();
    await outside.goto(own.url);
    await outside.waitForSelector("#footer p");
    assert.equal(await outside.locator("h1").innerText(), "Water's need and rain of the Merrow valley");
    faults.push(...quiet.filter((fault) => !/404|ERR_CONNECTION_REFUSED|ERR_FAILED/.test(fault)));
    await outside.context().close();
  },

  async "servers that refuse ranges, know few types, or have it below a path"(faults) {
    for (const kind of [{ refusesRanges: true }, { isBare: true }, { path: "/water/valley/" }]) {
      const other = await staticServer(valley, kind);
      const page = await visit(browser, other, { faults });
      await ask(page, "04107");
      assert.deepEqual(await rowsOf(page), siteRows(["--postal=04107"], "metric"));
      await page.click("#map-toggle");
      await page.waitForSelector("canvas");
      await kept(page);
      assert.deepEqual(
        other.asked.filter(({ status }) => status !== 200),
        [],
        JSON.stringify(kind),
      );
      await page.context().close();
      await other.stop();
    }
  },
};

let failed = false;
for (const [name, check] of Object.entries(checks)) {
  const faults = [];
  let said = "";
  try {
    said = (await check(faults)) ?? "";
  } catch (error) {
    faults.push(error.stack);
  }
  console.log(`${faults.length === 0 ? "sound" : "WRONG"}: ${name}${said === "" ? "" : `: ${said}`}`);
  for (const fault of new Set(faults)) console.log(`  ${fault}`);
  failed ||= faults.length > 0;
}
await browser.close();
await server.stop();
process.exit(failed ? 1 : 0);
