// Opens pages of a demand, and reports of a publication, in Chromium as their readers do, and complains of what a reader would:
// faults of accessibility (axe-core), anything wider than the screen, text too small to read, a
// request to the network, an error in the console, a print of more than one sheet (of up to three
// zones and three conflicts; longer plans get a sheet more for every three zones; reports ten).
//
//   node check_page_rendering.mjs PICTURES_FOLDER PAGE.html…
//
// Leaves pictures and prints of each page in the folder, for people to look at. Needs
// playwright-core and axe-core where Node finds them, and Debian's chromium; without any of these
// it says so and leaves with 77.
import { mkdirSync } from "node:fs";
import { basename, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

import { launchedBrowser, module } from "../page/browser_visits.mjs";

const SCREENS = [
  { name: "phone-320", width: 320, height: 640 },
  { name: "phone-390", width: 390, height: 844 },
  { name: "laptop", width: 1280, height: 800 },
  { name: "dark", width: 1280, height: 800, colorScheme: "dark" },
];
const PAPERS = ["A4", "Letter"];
const LEAST_TEXT_PX = 10;
const ZONES_ON_A_SHEET = 3;
const CONFLICTS_ON_A_SHEET = 3;
const SHEETS_OF_A_REPORT = 10;

async function faultsOnScreen(browser, url, screen, axe, picture) {
  const context = await browser.newContext({
    viewport: { width: screen.width, height: screen.height },
    colorScheme: screen.colorScheme ?? "light",
  });
  const page = await context.newPage();
  const faults = [];
  page.on("console", (message) => message.type() === "error" && faults.push(message.text()));
  page.on("pageerror", (error) => faults.push(String(error)));
  page.on("request", (request) => request.url() === url || faults.push(`asks for ${request.url()}`));
  await page.goto(url);
  await page.screenshot({ path: picture, fullPage: true });
  const seen = await page.evaluate(() => ({
    tooWide: document.documentElement.scrollWidth - document.documentElement.clientWidth,
    least: Math.min(
      ...[...document.querySelectorAll("body *")]
        .filter((e) => [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim()))
        .filter((e) => !(e.closest("svg") && ["title", "desc"].includes(e.tagName)))
        .map((e) => {
          const svg = e.closest("svg");
          const scale = svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1;
          return parseFloat(getComputedStyle(e).fontSize) * scale;
        }),
    ),
  }));
  if (seen.tooWide > 0) faults.push(`is ${seen.tooWide} px wider than the screen`);
  if (seen.least < LEAST_TEXT_PX) faults.push(`has text of ${seen.least.toFixed(1)} px`);
  await page.evaluate(axe);
  const found = await page.evaluate(() => window.axe.run(document));
  for (const violation of found.violations) {
    const where = violation.nodes
      .map((node) => node.target.join(" "))
      .slice(0, 3)
      .join(", ");
    faults.push(`${violation.impact}: ${violation.id}: ${violation.help} (${where})`);
  }
  if (found.passes.length < 20) faults.push(`only ${found.passes.length} rules of axe applied`);
  await context.close();
  return faults;
}

async function sheets(browser, url, format, path) {
  const page = await browser.newPage();
  await page.goto(url);
  // The page's own margins, as a reader's browser takes them.
  const pdf = await page.pdf({ path, format, preferCSSPageSize: false });
  const zones = await page.locator(".zone").count();
  const conflicts = await page.locator(".alarm li").count();
  const isReport = (await page.locator(".maps").count()) > 0;
  await page.close();
  const isShort = zones <= ZONES_ON_A_SHEET && conflicts <= CONFLICTS_ON_A_SHEET;
  return {
    count: (pdf.toString("latin1").match(/\/Type\s*\/Page\b/g) ?? []).length,
    allowed: isReport ? SHEETS_OF_A_REPORT : isShort ? 1 : 1 + Math.ceil(zones / ZONES_ON_A_SHEET),
  };
}

const [pictures, ...pages] = process.argv.slice(2);
if (pages.length === 0) {
  console.error("usage: check_page_rendering.mjs PICTURES_FOLDER PAGE.html…");
  process.exit(2);
}
const { source: axe } = module("axe-core");
mkdirSync(pictures, { recursive: true });

const browser = await launchedBrowser();
let failed = false;
for (const file of pages) {
  const url = pathToFileURL(resolve(file)).href;
  const stem = join(pictures, basename(file, ".html"));
  const complaints = [];
  for (const screen of SCREENS) {
    const faults = await faultsOnScreen(browser, url, screen, axe, `${stem}-${screen.name}.png`);
    complaints.push(...faults.map((fault) => `${screen.name}: ${fault}`));
  }
  for (const paper of PAPERS) {
    const { count, allowed } = await sheets(browser, url, paper, `${stem}-${paper}.pdf`);
    if (count < 1 || count > allowed) {
      complaints.push(`${paper}: prints on ${count} sheets instead of ${allowed}`);
    }
  }
  console.log(complaints.length === 0 ? `${file}: sound` : `${file}:`);
  for (const complaint of complaints) console.log(`  ${complaint}`);
  failed ||= complaints.length > 0;
}
await browser.close();
process.exit(failed ? 1 : 0);
