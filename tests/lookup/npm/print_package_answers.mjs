// Prints what the npm package answers, in Node or in Chromium, to the questions on standard input.
//
//   node print_package_answers.mjs --package FOLDER --image FILE [--in chromium] < QUESTIONS.json
//
// In Chromium, a page of a server on loopback imports the package and opens the image by its address; playwright-core
// is found by NODE_PATH. A refusal of the package is one line of errors, with exit status 1.
import { copyFileSync, readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { launchedBrowser } from "../page/browser_visits.mjs";
import { programOptions, temporaryFolder } from "../page/published_valley.mjs";
import { staticServer } from "../page/static_server.mjs";
import { packageAnswers } from "./package_answers.mjs";

async function inNode({ package: folder, image }, questions) {
  const { openImage } = await import(pathToFileURL(resolve(folder, "index.js")));
  return packageAnswers(openImage, image, questions);
}

async function inChromium({ package: folder, image }, questions) {
  const served = temporaryFolder();
  copyFileSync(join(folder, "index.js"), join(served, "index.js"));
  copyFileSync(fileURLToPath(new URL("package_answers.mjs", import.meta.url)), join(served, "answers.js"));
  copyFileSync(image, join(served, "baseline.img"));
  writeFileSync(join(served, "index.html"), "<!doctype html><title>Answers</title>");
  const server = await staticServer(served);
  const browser = await launchedBrowser();
  try {
    const page = await browser.newPage();
    await page.goto(server.url);
    return await page.evaluate(async (asked) => {
      const [{ openImage }, answers] = await Promise.all([import("/index.js"), import("/answers.js")]);
      return answers.packageAnswers(openImage, new URL("/baseline.img", location.href), asked);
    }, questions);
  } finally {
    await browser.close();
    await server.stop();
  }
}

const options = programOptions(["package", "image", "in"]);
const questions = JSON.parse(readFileSync(0, "utf8"));
try {
  const answers = await (options.in === "chromium" ? inChromium : inNode)(options, questions);
  process.stdout.write(JSON.stringify(answers));
} catch (error) {
  console.error(error.message.split("\n")[0]);
  process.exitCode = 1;
}
