// The page's form for the demand of a zone: fills it in, and compares the answer with the
// command's.
import assert from "node:assert/strict";

export const collapsed = (text) => text.replace(/\s+/g, " ").trim();

export async function fillZone(page, { planting = "cool turf", efficiency = "", soil = "", days = [], ...texts }) {
  await page.selectOption("#planting", planting);
  await page.selectOption("#soil", soil);
  await page.fill("#efficiency", efficiency);
  for (const [name, text] of Object.entries(texts)) await page.fill(`#${name}`, text);
  await page.check("[name=days-rule][value='']");
  for (const box of await page.locator("[name=day]").all())
    await box.setChecked(days.includes(await box.getAttribute("value")));
  await page.click("text=Calculate schedule");
  await page.waitForSelector("#demand-result table, #demand .problem");
}

/** Every cell and sentence that the page shows must stand in the command's text. */
export async function checkDemand(page, text, args) {
  const told = collapsed(text);
  const shown = await page
    .locator("#demand-result")
    .evaluate((result) => [
      ...[...result.querySelectorAll("tbody tr")].map((row) =>
        [...row.cells].map((cell) => cell.textContent).join(" "),
      ),
      ...[...result.querySelectorAll("p, li, .year-water div")].map((node) =>
        [...node.childNodes].map((child) => child.textContent).join(" "),
      ),
    ]);
  assert.ok(shown.length > 25, "the demand is shown");
  for (const sentence of shown.map(collapsed))
    assert.ok(told.includes(sentence), `${args.join(" ")}: the command does not say "${sentence}"`);
}
