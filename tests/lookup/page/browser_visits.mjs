// Visits the published page in a browser and records anything a reader would complain about.
import { createRequire } from "node:module";
import { existsSync } from "node:fs";
import { resolve } from "node:path";

const CHROMIUM = process.env.CHROMIUM ?? "/usr/bin/chromium";
const LEAST_TEXT_PX = 10;

function skip(reason) {
  console.log(`skipped: ${reason}`);
  process.exit(77);
}

// An ES module does not look into NODE_PATH by itself.
const require = createRequire(resolve(process.env.NODE_PATH ?? process.cwd(), "here.js"));
export function module(name) {
  try {
    return require(name);
  } catch {
    return skip(`there is no ${name}; npm install axe-core playwright-core`);
  }
}

export async function launchedBrowser() {
  if (!existsSync(CHROMIUM)) skip(`there is no ${CHROMIUM}; install the package chromium`);
  const { chromium } = module("playwright-core");
  return chromium.launch({ executablePath: CHROMIUM, args: ["--no-sandbox"] });
}

/** A page of a fresh browser, of which `faults` collects errors in the console and requests to elsewhere. */
export async function visit(browser, server, { hash = "", faults, ...context }) {
  const fresh = await browser.newContext({ viewport: { width: 1280, height: 800 }, locale: "en-GB", ...context });
  const page = await fresh.newPage();
  watch(page, server, faults);
  await page.goto(server.url + hash);
  await page.waitForSelector("#footer p");
  return page;
}

export function watch(page, server, faults) {
  page.on(
    "console",
    (message) => ["error", "warning"].includes(message.type()) && faults.push(`${message.type()}: ${message.text()}`),
  );
  page.on("pageerror", (error) => faults.push(String(error)));
  page.on("dialog", (dialog) => {
    faults.push(`dialog: ${dialog.message()}`);
    dialog.dismiss();
  });
  page.on("request", (request) => {
    if (!request.url().startsWith(server.url) && !/^(?:data|blob):/.test(request.url()))
      faults.push(`asks for ${request.url()}`);
  });
}

/** Types into the field and waits for what comes of it: an answer, a choice or a sentence. */
export async function ask(page, text) {
  await page.fill("#place-text", text);
  await page.click("#find button");
  await settled(page);
}

export const settled = (page) =>
  page.waitForFunction(
    () =>
      document.getElementById("status").textContent === "" &&
      (!document.getElementById("answer").hidden || document.querySelector("#problem p, #choices button")),
  );

/** Asks the page again and again, as playwright does not where the answer is a promise. */
export async function until(page, isSo) {
  for (const begun = Date.now(); Date.now() - begun < 30_000; await page.waitForTimeout(100)) {
    if (await page.evaluate(isSo)) return;
  }
  throw new Error(`not so in half a minute: ${isSo}`);
}

export const problemOf = (page) => page.locator("#problem").innerText();
export const headingOf = (page) => page.locator("#place").innerText();

/** The cells of the month's table that are not empty, as published_valley's commandRows gives the command's. */
export async function rowsOf(page) {
  const rows = await page
    .locator("table.months tr")
    .evaluateAll((all) => all.map((row) => [...row.cells].map((cell) => cell.textContent)));
  return rows.slice(1).map((cells) => cells.filter((cell) => cell !== "").map((cell) => (cell === "–" ? "-" : cell)));
}

/** Faults of accessibility, anything wider than the screen, text too small to read. */
export async function faultsOfSight(page) {
  const faults = [];
  const seen = await page.evaluate(() => ({
    tooWide: document.documentElement.scrollWidth - document.documentElement.clientWidth,
    least: Math.min(
      ...[...document.querySelectorAll("body *")]
        .filter((e) => [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim()))
        .filter((e) => e.checkVisibility() && !["title", "desc", "OPTION", "SCRIPT", "CANVAS"].includes(e.tagName))
        .map((e) => {
          const svg = e.closest("svg");
          const scale = svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1;
          return parseFloat(getComputedStyle(e).fontSize) * scale;
        }),
    ),
  }));
  if (seen.tooWide > 0) faults.push(`is ${seen.tooWide} px wider than the screen`);
  if (seen.least < LEAST_TEXT_PX) faults.push(`has text of ${seen.least.toFixed(1)} px`);
  // The page's policy lets no script in but its own; the checker comes by the debugger's way.
  const { source } = module("axe-core");
  await page.evaluate(source);
  const found = await page.evaluate(() => window.axe.run(document, { preload: false }));
  for (const violation of found.violations) {
    const where = violation.nodes
      .map((node) => node.target.join(" "))
      .slice(0, 3)
      .join(", ");
    faults.push(`${violation.impact}: ${violation.id}: ${violation.help} (${where})`);
  }
  if (found.passes.length < 20) faults.push(`only ${found.passes.length} rules of axe applied`);
  return faults;
}

/** Until the service worker has the page's files and the data shown. */
export async function kept(page) {
  await page.evaluate(() => navigator.serviceWorker.ready);
  await until(page, async () => {
    const names = await caches.keys();
    const seen = names.find((name) => name.endsWith(" data"));
    return seen && (await (await caches.open(seen)).keys()).length >= 2;
  });
}
