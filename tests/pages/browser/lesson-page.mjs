// A lesson's page in the browser for a check: what is wrong with it is collected, whatever it asks of a network too.
import { readFileSync, mkdirSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { createRequire } from "node:module";
import { chromium } from "playwright-core";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** `pictures`: folder for pictures, if they are wanted. */
export const launched = async (pictures) => {
  const wrong = [];
  const must = (fact, words) => { if (!fact) wrong.push(words); };
  if (pictures) mkdirSync(pictures, { recursive: true });
  const browser = await chromium.launch({
    executablePath: process.env.BROWSER_PATH || "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu"],
  });
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, acceptDownloads: true });
  const page = await context.newPage();
  page.setDefaultTimeout(60000);
  let own = "";
  page.on("console", (message) => { if (["error", "warning"].includes(message.type())) wrong.push(`console: ${message.text()}`); });
  page.on("pageerror", (error) => wrong.push(`script: ${error.message}`));
  page.on("request", (request) => {
    if (request.url() !== own && !/^(data|blob):/.test(request.url())) wrong.push(`asks for ${request.url()}`);
  });
  const picture = async (name) => { if (pictures) await page.screenshot({ path: resolve(pictures, `${name}.png`), fullPage: true }); };
  const accessible = async (where) => {
    await page.evaluate(axe);
    const rules = { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] };
    const found = await page.evaluate((rules) => globalThis.axe.run(document, rules), rules);
    for (const { id, help, nodes } of found.violations) wrong.push(`${where}: axe ${id}: ${help} (${nodes.length}, first ${nodes[0].target})`);
  };
  /** Opens a page from disk. */
  const open = async (file) => {
    own = pathToFileURL(resolve(file)).href;
    await page.goto(own);
    await page.waitForFunction(() => document.documentElement.dataset.ready);
  };
  return { browser, context, page, wrong, must, picture, accessible, open };
};
