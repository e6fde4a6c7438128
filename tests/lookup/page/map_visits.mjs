// The published page's map in a browser: places by pointing and by keys, and what it reads there, which must be
// what the answer of the same click says.
import assert from "node:assert/strict";
import { rowsOf, settled, until, visit } from "./browser_visits.mjs";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { commandRows, output, publishedSite } from "./published_valley.mjs";
import { staticServer } from "./static_server.mjs";

const GROUND = {
  type: "FeatureCollection",
  features: [
    {
      name: "",
      geometry: {
        type: "LineString",
        coordinates: [
          [-38.4, 43],
          [-38.3, 44.5],
          [-38.4, 46],
        ],
      },
    },
    {
      name: "",
      geometry: {
        type: "LineString",
        coordinates: [
          [-37.5, 45],
          [-37.53, 44.6],
          [-37.9, 44.3],
        ],
      },
    },
    { name: "Ostrey Bridge", geometry: { type: "Point", coordinates: [-37.532, 44.603] } },
  ].map(({ name, geometry }) => ({ type: "Feature", properties: { name }, geometry })),
};

/** `command(name, place, ...options)` runs the look-up on the published database. */
export async function checkMap(browser, server, { database, command, faults }) {
  const siteRows = (place, units) => commandRows(command("site", place, "--units", units).stdout);
  const page = await visit(browser, server, { faults });
  await page.click("#map-toggle");
  const box = await page.locator("canvas").boundingBox();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  assert.match(await page.locator(".reading").innerText(), /: about \d+ mm$/);
  await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
  await settled(page);
  const pointed = new URLSearchParams(new URL(page.url()).hash.slice(1)).get("at");
  const [lat, lon] = pointed.split(",").map(Number);
  // The middle of the map is that of the valley's points.
  const points = output("sqlite3", [
    database,
    "SELECT (min(lat) + max(lat)) / 2, (min(lon) + max(lon)) / 2 FROM point",
  ]);
  const [middleLat, middleLon] = points.split("|").map(Number);
  assert.ok(Math.abs(lat - middleLat) < 0.02 && Math.abs(lon - middleLon) < 0.02, `${pointed}, not ${points}`);
  assert.deepEqual(await rowsOf(page), siteRows([`--at=${pointed}`], "metric"));
  // The map reads what the answer of the same click says, and the mean of a cell only where no area is loaded.
  const reads = async (layer, text) => {
    await page.selectOption("#map-layer", layer);
    await page.waitForFunction((end) => document.querySelector(".reading").textContent.endsWith(`: ${end}`), text, {
      timeout: 10_000,
    });
  };
  const year = siteRows([`--at=${pointed}`], "metric").at(-1);
  await reads("eto_year", `${year[1]} mm`);
  await reads("rain_year", `${year[2]} mm`);
  const { months } = JSON.parse(command("site", [`--at=${pointed}`], "--format", "json").stdout);
  const sumOf = (member) => months.reduce((total, month) => total + month[member], 0);
  await reads("eto_se_year_percent", `${((100 * sumOf("eto_se_mm")) / sumOf("eto_mm")).toFixed(1)}%`);
  await reads("rain_year", `${year[2]} mm`);
  await page.check("input[name=units][value=us]");
  await reads("rain_year", `${siteRows([`--at=${pointed}`], "us").at(-1)[2]} in`);
  await page.check("input[name=units][value=metric]");
  await page.focus("canvas");
  for (const key of ["+", "ArrowRight", "Shift+ArrowDown", "Enter"]) await page.keyboard.press(key);
  await page.waitForFunction((before) => !location.hash.includes(before), pointed);
  await settled(page);
  const [south, east] = new URLSearchParams(new URL(page.url()).hash.slice(1)).get("at").split(",").map(Number);
  assert.ok(south < lat && east > lon, "the keys move the mark");
  assert.deepEqual(await rowsOf(page), siteRows([`--at=${south},${east}`], "metric"));
  await page.context().close();
}

/** A publication with a coast, a river and a town: loaded with the map, drawn, and there without a connection. */
export async function checkGround(browser, { folder, builder, database, pictures, faults }) {
  const file = join(folder, "ground.geojson");
  writeFileSync(file, JSON.stringify(GROUND));
  const server = await staticServer(publishedSite(join(folder, "grounded"), builder, database, "--ground", file));
  const groundAsked = () => server.asked.filter(({ name }) => name.includes("/data/ground-"));
  const drawn = [];
  for (const colorScheme of ["light", "dark"]) {
    server.asked.length = 0;
    const page = await visit(browser, server, { faults, colorScheme, hash: "#code=04107&country=XM" });
    await settled(page);
    assert.equal(groundAsked().length, 0, "the ground is loaded with the map, not before");
    let release;
    await page.route("**/data/ground-*", async (route) => {
      await new Promise((resolve) => (release = resolve));
      await route.continue();
    });
    await page.click("#map-toggle");
    await page.waitForFunction(() => document.querySelector("canvas")?.width > 0);
    const picture = () => page.evaluate(() => document.querySelector("canvas").toDataURL());
    const before = await picture();
    await page.waitForTimeout(300);
    release();
    await page.waitForFunction((old) => document.querySelector("canvas").toDataURL() !== old, before);
    drawn.push(await picture());
    assert.equal(groundAsked().length, 1);
    await page.locator("#map").screenshot({ path: join(pictures, `ground-${colorScheme}.png`) });
    if (colorScheme === "dark") await checkOffline(page, faults);
    await page.context().close();
  }
  assert.notEqual(drawn[0], drawn[1]);
  await server.stop();
  return `${groundAsked()[0].bytes} bytes`;
}

async function checkOffline(page, faults) {
  await page.unroute("**/data/ground-*");
  await until(page, async () => {
    for (const name of await caches.keys()) {
      const requests = await (await caches.open(name)).keys();
      if (requests.some(({ url }) => url.includes("/data/ground-"))) return true;
    }
    return false;
  });
  await page.context().setOffline(true);
  const quiet = faults.length;
  await page.reload();
  await page.waitForSelector("#footer p");
  await page.click("#map-toggle");
  const answer = await page.evaluate(async () => {
    const { baseline } = JSON.parse(document.getElementById("site").textContent);
    const { ground } = await (await fetch(baseline)).json();
    return (await (await fetch(ground.name)).json()).places[0][2];
  });
  assert.equal(answer, "Ostrey Bridge");
  assert.deepEqual(faults.slice(quiet), []);
}
