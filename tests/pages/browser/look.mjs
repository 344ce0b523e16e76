// Opens pages in a real browser as their readers do, wide and on a phone, light, dark and
// printed, and says what is wrong with them. Exit code 1 if anything is.
//   node look.mjs [--pictures FOLDER] PAGE.html ...
import { readFileSync, mkdirSync } from "node:fs";
import { basename, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { createRequire } from "node:module";
import { chromium } from "playwright-core";
import { firstText, NO_ANSWER, open } from "./first.mjs";

const module = createRequire(import.meta.url);
const axe = readFileSync(module.resolve("axe-core/axe.min.js"), "utf8");
// Letters of one width on every machine; most others are narrower.
const letters = ["", "-Bold"].map((face) => {
  const file = readFileSync(module.resolve(`dejavu-fonts-ttf/ttf/DejaVuSans${face}.ttf`));
  const weight = face ? "bold" : "normal";
  return `@font-face{font-family:Checked;font-weight:${weight};src:url(data:font/ttf;base64,${file.toString("base64")})}`;
}).join("") + "*{font-family:Checked!important}";
// At most, when printed.
const SHEETS = {
  "before-after": 2, atlas: 2, compare: 2, sensitivity: 2, threshold: 2, tolerance: 2, "split-hose": 2,
  "manifold-gasket": 2, healthy: 2, dangerous: 2, fit: 2, verify: 2, seal: 2, gap: 2, flow: 2, decay: 2,
  "known-hole": 2, "drive-next": 2, "sweep-car-to-car": 2, "sweep-leak-atlas": 2, class: 2,
  plan: 3, diagnosis: 3, drive: 3, payback: 3, codes: 2, log: 3, "of-a-log": 4, across: 4, branches: 4,
};
const LARGEST = 1.5e6; // bytes of a page

const asked = process.argv.slice(2);
const at = asked.indexOf("--pictures");
const folder = at < 0 ? null : asked.splice(at, 2)[1];
if (folder) mkdirSync(folder, { recursive: true });

/** What is wrong with what is drawn: runs in the page. */
function drawn(printed, held) {
  const wrong = [];
  const shown = (element) => element.getClientRects().length > 0;
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (held && texts.nextNode()) {
    const words = texts.currentNode.data.trim();
    const element = texts.currentNode.parentElement;
    if (!words || element.closest("script, style, svg") || !shown(element)) continue;
    const size = parseFloat(getComputedStyle(element).fontSize);
    if (size < 15.99) wrong.push(`text of ${size.toFixed(1)} px on a screen that is held: "${words.slice(0, 30)}"`);
  }
  for (const [number, svg] of [...document.querySelectorAll("svg")].entries()) {
    if (!shown(svg)) continue;
    const name = svg.closest("figure")?.id || `picture ${number + 1}`;
    const paper = svg.getBoundingClientRect();
    if (!svg.getAttribute("aria-label")) wrong.push(`${name}: says nothing to those who cannot see it`);
    const texts = [...svg.querySelectorAll("text")].filter(shown).map((text) => {
      // Letters fill the middle of their line.
      const { left, right, top, bottom } = text.getBoundingClientRect();
      const quarter = 0.2 * (bottom - top);
      return { words: text.textContent.trim(), left, right, top: top + quarter, bottom: bottom - quarter };
    });
    for (const [i, a] of texts.entries()) {
      if (a.left < paper.left - 0.6 || a.right > paper.right + 0.6 || a.top < paper.top - 0.6 || a.bottom > paper.bottom + 0.6) {
        wrong.push(`${name}: "${a.words}" is clipped`);
      }
      for (const b of texts.slice(i + 1)) {
        const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
        const down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
        if (across > 0.8 && down > 0.8) wrong.push(`${name}: "${a.words}" lies on "${b.words}"`);
      }
    }
    // The drawing of the air path is a machine with words about it, and scrolls.
    const least = printed ? 6 : held && !name.startsWith("air-ledger") ? 15.99 : 8.5;
    const smallest = Math.min(...[...svg.querySelectorAll("text")].map((text) => {
      const scale = paper.width / svg.viewBox.baseVal.width;
      return Number(text.getAttribute("font-size")) * scale;
    }));
    // Print is read from nearer.
    if (smallest < least) wrong.push(`${name}: letters of ${smallest.toFixed(1)} px`);
    // What is wider than its frame is not seen at first.
    const frame = svg.parentElement;
    if (held && frame.scrollWidth > frame.clientWidth + 1 && !name.startsWith("air-ledger")) wrong.push(`${name}: must be scrolled sideways`);
  }
  // By which version, from which files, and when.
  const made = document.querySelector("footer p:last-child")?.textContent ?? "";
  if (!/^Made by falseair \d+\.\d+\.\d+/.test(made)) wrong.push("says not by which version it was made");
  if (!/This file is of \d+ [A-Z][a-z]+ \d{4}\./.test(made)) wrong.push("says not when it was made");
  const wide = document.documentElement.scrollWidth - document.documentElement.clientWidth;
  if (wide > 1) wrong.push(`the page is ${wide} px wider than the screen`);
  for (const cell of document.querySelectorAll("td, th, p, li, h1, h2, button")) {
    if (shown(cell) && cell.scrollWidth > cell.clientWidth + 1 && getComputedStyle(cell).display !== "inline") {
      wrong.push(`"${cell.textContent.trim().slice(0, 40)}" runs out of its box`);
    }
  }
  for (const text of document.body.innerText.match(/\b(NaN|undefined|Infinity|inf)\b/g) ?? []) {
    wrong.push(`the page says ${text}`);
  }
  return wrong;
}

/** What a reader asks first, and whether the first screen of 700 px answers it: runs in the page. */
function answers([height, mute]) {
  const wrong = [];
  const top = (element) => element.getBoundingClientRect().top + scrollY;
  const bottom = (element) => element.getBoundingClientRect().bottom + scrollY;
  const within = (element) => bottom(element) <= height;
  const dangers = [...document.querySelectorAll("header p.danger")];
  const says = document.querySelector("p.says");
  // Is it dangerous? Dangers stand above all else.
  if (dangers.length && !within(dangers[0])) wrong.push("the first danger is not on the first screen");
  if (dangers.length && says && top(says) < bottom(dangers.at(-1))) wrong.push("a danger stands below the answer");
  // What is wrong, how big, how sure: the sentence, with its numbers.
  const room = dangers.length ? dangers.at(-1).offsetTop + dangers.at(-1).offsetHeight - dangers[0].offsetTop : 0;
  if (!says && !mute) wrong.push("no sentence says what was found");
  if (says && bottom(says) - room > height) wrong.push("the answer is not on the first screen");
  if (says && !/\d/.test(says.textContent)) wrong.push("the answer has no number");
  // What next: what the answer rests on begins there too.
  const rests = says && document.querySelector("p.says ~ *, section ~ section");
  if (rests && top(rests) - room > height) wrong.push("nothing follows the answer on the first screen");
  return wrong;
}

async function look(browser, file, { width, height, scheme, media }) {
  const context = await browser.newContext({ viewport: { width, height }, colorScheme: scheme });
  const page = await context.newPage();
  const wrong = [];
  const own = pathToFileURL(resolve(file)).href;
  page.on("console", (message) => {
    if (["error", "warning"].includes(message.type())) wrong.push(`console: ${message.text()}`);
  });
  page.on("pageerror", (error) => wrong.push(`script: ${error.message}`));
  page.on("request", (request) => {
    const url = request.url();
    if (url.split("#")[0] !== own && !url.startsWith("data:") && !url.startsWith("blob:")) wrong.push(`asks for ${url}`);
  });
  page.on("dialog", async (dialog) => {
    wrong.push(`opens a box: ${dialog.message()}`);
    await dialog.dismiss();
  });
  await page.goto(own, { waitUntil: "load" });
  await page.addStyleTag({ content: letters });
  await page.evaluate(() => document.fonts.ready.then(() => document.fonts.size));
  await page.emulateMedia({ media, colorScheme: scheme });
  await page.waitForTimeout(50);
  await page.evaluate(`globalThis.drawn = ${drawn}`);
  wrong.push(...(await page.evaluate(([printed, held]) => globalThis.drawn(printed, held), [media === "print", media === "screen" && width <= 820])));
  if (media === "screen" && width > 1000) {
    const name = basename(file, ".html");
    wrong.push(...(await page.evaluate(answers, [700, NO_ANSWER.includes(name)])));
    wrong.push(...open(name, await page.evaluate(firstText, 700)));
  }
  if (media === "screen") {
    await page.evaluate(axe);
    const rules = { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] };
    const found = await page.evaluate((rules) => globalThis.axe.run(document, rules), rules);
    for (const { id, help, nodes } of found.violations) {
      wrong.push(`axe ${id}: ${help} (${nodes.length}, first ${nodes[0].target})`);
    }
    // A pointer over every chart must not raise an error.
    for (const svg of (await page.$$("svg")).slice(0, 12)) {
      const box = await svg.boundingBox();
      if (box) await page.mouse.move(box.x + box.width / 2, box.y + Math.min(box.height / 2, 300));
    }
  }
  const most = SHEETS[basename(file, ".html")];
  if (media === "print" && most) {
    const pdf = (await page.pdf({ format: height > 1000 ? "A4" : "Letter" })).toString("latin1");
    const sheets = pdf.match(/\/Type\s*\/Page\b/g)?.length ?? 0;
    if (sheets > most) wrong.push(`printed on ${sheets} sheets`);
  }
  if (folder) {
    const name = `${basename(file, ".html")}-${width}-${media === "print" ? "print" : scheme}.png`;
    await page.mouse.move(0, 0);
    await page.screenshot({ path: resolve(folder, name), fullPage: true });
  }
  await context.close();
  return wrong;
}

const views = [
  { width: 1280, height: 900, scheme: "light", media: "screen" },
  { width: 1280, height: 900, scheme: "dark", media: "screen" },
  { width: 360, height: 740, scheme: "light", media: "screen" },
  { width: 360, height: 740, scheme: "dark", media: "screen" },
  { width: 820, height: 1180, scheme: "light", media: "screen" },
  { width: 1920, height: 1080, scheme: "light", media: "screen" },
  // Inside the margins: A4 and Letter at 96 to the inch.
  { width: 688, height: 1017, scheme: "light", media: "print" },
  { width: 710, height: 950, scheme: "light", media: "print" },
];

const browser = await chromium.launch({
  executablePath: process.env.BROWSER_PATH || "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu"],
});

/** What is wrong with a page, as lines; the first is the page's own. */
async function told(file) {
  const size = readFileSync(file).length;
  const all = new Map();
  const add = (words, view) => all.set(words, [...(all.get(words) ?? []), view]);
  if (size > LARGEST) add(`the page has ${size} bytes`, "");
  for (const view of views) {
    const { width, scheme, media } = view;
    for (const words of await look(browser, file, view)) add(words, `${width} ${media === "print" ? media : scheme}`);
  }
  const lines = [...all].slice(0, 25).map(([words, where]) => `  ${words}  [${where.join(", ")}]`);
  return { faults: all.size, lines: [`${basename(file)}: ${(size / 1e3).toFixed(0)} kB, ${all.size ? `${all.size} faults` : "nothing wrong"}`, ...lines] };
}

// Two at a time, as cores are; told of in the order asked for.
const found = [];
let next = 0;
await Promise.all([0, 1].map(async () => {
  while (next < asked.length) {
    const here = next++;
    found[here] = await told(asked[here]);
  }
}));
for (const { lines } of found) console.log(lines.join("\n"));
const bad = found.reduce((sum, { faults }) => sum + faults, 0);
await browser.close();
process.exit(bad ? 1 : 0);
