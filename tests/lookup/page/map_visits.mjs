// The published page's map in a browser: places by pointing and by keys, and what it reads there, which must be
// what the answer of the same click says.
import assert from "node:assert/strict";
import { rowsOf, settled, visit } from "./browser_visits.mjs";
import { commandRows, output } from "./published_valley.mjs";

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
