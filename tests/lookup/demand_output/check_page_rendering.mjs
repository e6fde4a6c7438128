// Opens pages of a demand, and reports of a publication, in Chromium as their readers do, and complains of what a reader would:
// faults of accessibility (axe-core), anything wider than the screen, text too small to read, a
// request to the network, an error in the console, a number broken over two lines, a print on too
// many sheets: of a plan one for whoever sets the controller, with up to four zones and three
// conflicts, and one more for every four further zones, but its calendar may begin the next; one
// for the reasons; ten of a report.
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
const ZONES_ON_A_SHEET = 4;
const CONFLICTS_ON_A_SHEET = 3;
const SHEETS_OF_A_REPORT = 10;
/** Within margins of 11 mm, at 96 px to the inch. */
const PRINTED_WIDTH_PX = { A4: 711, Letter: 733 };

/** Runs in the page: the numbers of tables that stand on more than one line. */
const brokenNumbers = () =>
  [...document.querySelectorAll("td")]
    .filter((cell) => /^[\d.,]+$/.test(cell.textContent.trim()))
    .filter((cell) => {
      const range = document.createRange();
      range.selectNodeContents(cell);
      return new Set([...range.getClientRects()].map((line) => Math.round(line.top))).size > 1;
    })
    .map((cell) => cell.textContent.trim());

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
  const broken = await page.evaluate(brokenNumbers);
  faults.push(...broken.map((text) => `breaks the number ${text} over two lines`));
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

const sheetsOf = (pdf) => (pdf.toString("latin1").match(/\/Type\s*\/Page\b/g) ?? []).length;

/** Of a plan: what is set at the controller comes first, the reasons last. */
async function faultsOnPaper(browser, url, format, path) {
  const page = await browser.newPage();
  await page.goto(url);
  await page.emulateMedia({ media: "print" });
  await page.setViewportSize({ width: PRINTED_WIDTH_PX[format], height: 1000 });
  const broken = await page.evaluate(brokenNumbers);
  // The page's own margins, as a reader's browser takes them.
  const print = (settings) => page.pdf({ format, preferCSSPageSize: false, ...settings });
  const faults = broken.map((text) => `breaks the number ${text} over two lines`);
  const demand = (what, count, most) => {
    if (count < 1 || count > most) faults.push(`${what} prints on ${count} sheets instead of ${most}`);
  };
  const all = sheetsOf(await print({ path }));
  if ((await page.locator(".maps").count()) > 0) {
    demand("the report", all, SHEETS_OF_A_REPORT);
  } else {
    const zones = await page.locator(".zone").count();
    const conflicts = await page.locator(".alarm li").count();
    const most = Math.ceil(zones / ZONES_ON_A_SHEET) + (conflicts > CONFLICTS_ON_A_SHEET ? 1 : 0);
    demand("the plan", all, most + 1);
    await page.evaluate(() => document.querySelector(".reasons").remove());
    // Where the paper has no room left for the calendar, it goes on with a half of the year.
    const schedule = sheetsOf(await print({}));
    const areWhole = await page.evaluate(() =>
      [...document.querySelectorAll(".calendar .columns")].every(
        (half) => getComputedStyle(half).breakInside === "avoid",
      ),
    );
    if (!areWhole) faults.push("may print half a year's calendar on two sheets");
    if (schedule > most) await page.evaluate(() => document.querySelector(".calendar").remove());
    demand("the schedule without its calendar", sheetsOf(await print({})), most);
  }
  await page.close();
  return faults;
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
    const faults = await faultsOnPaper(browser, url, paper, `${stem}-${paper}.pdf`);
    complaints.push(...faults.map((fault) => `${paper}: ${fault}`));
  }
  console.log(complaints.length === 0 ? `${file}: sound` : `${file}:`);
  for (const complaint of complaints) console.log(`  ${complaint}`);
  failed ||= complaints.length > 0;
}
await browser.close();
process.exit(failed ? 1 : 0);
