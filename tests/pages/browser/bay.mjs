// Does whole jobs on the bay page as a technician would, from an empty page to a printed record,
// without a network: on a phone, a tablet and at a desk, light and dark. Exit code 1 if anything is
// wrong. Prints how long things took, and how many taps.
// FALSEAIR names the program, which then must say the same of every saved job.
//   node bay.mjs BAY.html LOG.csv [--short] [--case NAME] [--view WIDTH] [--pictures FOLDER]
import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { createRequire } from "node:module";
import { chromium } from "playwright-core";
import { CASES } from "./bay-cases.mjs";

const asked = process.argv.slice(2);
const flag = (name, values) => { const at = asked.indexOf(name); return at < 0 ? null : asked.splice(at, values + 1)[values]; };
const folder = flag("--pictures", 1);
const short = Boolean(flag("--short", 0));
const onlyCase = flag("--case", 1);
const onlyView = Number(flag("--view", 1));
const [file, log] = asked;
if (folder) mkdirSync(folder, { recursive: true });
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const own = pathToFileURL(resolve(file)).href;
const LARGEST = 3e6; // bytes of the page
const TAPS = 45; // from opening to the first suspects, beyond the digits
// One grey pixel.
const PHOTO = Buffer.from("iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNoAAAAggCBd81ytgAAAABJRU5ErkJggg==", "base64");
const VIEWS = [[360, 740, true], [820, 1180, true], [1280, 800, false]];

const wrong = new Map();
const times = { opening: [], ranked: [], first: [], log: [], pairs: [], taps: [], frames: [] };
let where = "";
const must = (fact, words) => { if (!fact) wrong.set(words, [...(wrong.get(words) ?? []), where]); };

/** What a person would stumble over in what is shown: runs in the page. */
function drawn() {
  const found = [];
  const shown = (one) => one.getClientRects().length > 0 && getComputedStyle(one).visibility !== "hidden";
  const wide = document.documentElement.scrollWidth - document.documentElement.clientWidth;
  if (wide > 1) found.push(`the page is ${wide} px wider than the screen`);
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    const element = texts.currentNode.parentElement;
    if (!texts.currentNode.data.trim() || element.closest("script, style, .unseen") || !shown(element)) continue;
    const svg = element.closest("svg");
    const scale = svg && svg.viewBox.baseVal.width ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1;
    const size = parseFloat(getComputedStyle(element).fontSize) * scale;
    // Names in the drawing may be smaller where a list says the same.
    if (size < (svg ? 12 : 16) - 0.01) found.push(`text of ${size.toFixed(1)} px: "${texts.currentNode.data.trim().slice(0, 30)}"`);
  }
  for (const one of document.querySelectorAll("button, select, input:not([type=file]), summary")) {
    if (!shown(one) || one.disabled) continue;
    const box = (one.type === "checkbox" ? one.closest("label") : one).getBoundingClientRect();
    if (box.height < 47.5 || box.width < 47.5) found.push(`a target of ${box.width.toFixed(0)} x ${box.height.toFixed(0)} px: "${(one.textContent || one.getAttribute("aria-label") || one.id).slice(0, 30)}"`);
  }
  for (const one of document.querySelectorAll("button, h1, p, li, td, th, dd")) {
    if (shown(one) && one.scrollWidth > one.clientWidth + 1 && getComputedStyle(one).display !== "inline" && getComputedStyle(one).overflow !== "hidden") found.push(`"${one.textContent.trim().slice(0, 40)}" runs out of its box`);
  }
  for (const text of document.body.innerText.match(/\b(NaN|undefined|Infinity|null|\[object)\b/g) ?? []) found.push(`the page says ${text}`);
  return found;
}

async function job(browser, one, [width, height, touch], scheme) {
  where = `${one.name} ${width} ${scheme}`;
  const context = await browser.newContext({ viewport: { width, height }, colorScheme: scheme, hasTouch: touch, isMobile: touch, acceptDownloads: true });
  const page = await context.newPage();
  page.setDefaultTimeout(90000);
  page.on("console", (message) => { if (["error", "warning"].includes(message.type())) must(false, `console: ${message.text()}`); });
  page.on("pageerror", (error) => must(false, `script: ${error.message}`));
  page.on("request", (request) => { if (request.url().split("#")[0] !== own && !/^(data|blob):/.test(request.url())) must(false, `asks for ${request.url()}`); });
  let taps = 0;
  let shots = 0;
  const look = async (name, checked = true) => {
    if (folder) await page.screenshot({ path: resolve(folder, `${one.name}-${width}-${scheme}-${String(shots++).padStart(2, "0")}-${name}.png`) });
    if (!checked) return;
    for (const words of await page.evaluate(drawn)) must(false, `${name}: ${words}`);
    await page.evaluate(axe);
    const rules = { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] };
    const found = await page.evaluate((rules) => globalThis.axe.run(document, rules), rules);
    for (const { id, help, nodes } of found.violations) must(false, `${name}: axe ${id}: ${help} (${nodes.length}, first ${nodes[0].target})`);
  };
  const tap = async (focus) => { taps += 1; await page.click(`[data-focus="${focus}"]:visible`); };
  const main = () => tap("main");
  const says = () => page.textContent("h1");
  const said = (form) => page.waitForFunction((form) => new RegExp(form, "i").test(document.querySelector("h1").textContent), form.source);
  /** Typed as digits; the tap on the pad's enter, or the key, counts. */
  const type = async (prefix, values) => {
    for (const [key, value] of Object.entries(values)) {
      const field = page.locator(`#${prefix}-${key}`);
      if (!await field.evaluate((input) => input === document.activeElement)) { taps += 1; await field.click(); }
      if (touch) for (const digit of value) await page.locator(`[data-key="${{ "-": "minus" }[digit] ?? digit}"]`).click();
      else await page.keyboard.type(value);
      taps += 1;
      if (touch) await page.locator('[data-key="enter"]').click(); else await page.keyboard.press("Enter");
    }
  };
  const readings = async (prefix, conditions) => {
    for (const [name, values] of Object.entries(conditions)) { await tap(`tab-${name}`); await type(prefix, values); }
  };

  /** What the test found: a hole from the gauge, or a button. */
  const measured = async () => {
    if (await page.locator("#gauge-flow").count()) { await type("gauge", { flow: "8", pressure: "3" }); await main(); } else if (await page.locator("#gauge-time").count()) {
      if (await page.locator("#gauge-volume").count()) await type("gauge", { volume: "2" });
      await type("gauge", { start_pressure: "20", end_pressure: "10", time: "4" });
      await main();
    } else await page.locator(`[data-focus="found-${one.found}"], [data-focus="found-nothing"]`).first().click();
    await page.locator(".ticks").waitFor();
  };
  // A finger that is quicker than the page, whose engine stands at its end, is answered all the same.
  await page.addInitScript(() => new MutationObserver((_, observer) => {
    if (!document.documentElement?.dataset.ready) return;
    observer.disconnect();
    window.early = Promise.race([Engine.ask({ ask: "words" }), new Promise((done) => { setTimeout(done, 30000); })]);
  }).observe(document, { attributes: true, subtree: true }));
  await page.goto(own);
  await page.waitForFunction(() => document.documentElement.dataset.ready);
  await context.setOffline(true);
  must(await page.evaluate(async () => Boolean((await window.early)?.answer)), "what is asked before the engine stands is not answered");
  await look("jobs");
  await main();
  await tap("demo");
  await said(/is ready/);
  await look("car");
  await main();
  for (const word of one.felt) await tap(word);
  if (one.codes) { await tap("add-code"); for (const code of one.codes) { taps += 1; await page.click(`.codes >> text=${code}`); } } else await tap("Read, none is set");
  const [camera] = await Promise.all([page.waitForEvent("filechooser"), page.click("text=Add a photo")]);
  await camera.setFiles({ name: "seal.png", mimeType: "image/png", buffer: PHOTO });
  await page.locator(".photos img").waitFor();
  await look("complaint");
  await main();
  if (one.log) {
    const [chooser] = await Promise.all([page.waitForEvent("filechooser"), tap("log")]);
    const began = Date.now();
    await chooser.setFiles(log);
    await page.locator(".mapping").first().waitFor();
    times.log.push(Date.now() - began);
  } else await readings("read", one.read);
  await look("readings");
  await page.evaluate(() => { window.frames60 = 0; const count = () => { window.frames60 += 1; requestAnimationFrame(count); }; requestAnimationFrame(count); });
  const began = Date.now();
  await main();
  await page.locator(".bars").first().waitFor();
  (one.log ? times.log : times.ranked).push(Date.now() - began);
  await page.waitForFunction(() => !document.querySelector(".busy"));
  const took = Date.now() - began;
  (one.log ? times.log : times.first).push(took);
  times.frames.push(await page.evaluate(() => window.frames60) / (took / 1000));
  if (!one.log) times.taps.push(taps);
  if (!one.log && one.read && Object.values(one.read).flatMap(Object.keys).length <= 8) must(taps <= TAPS, `${taps} taps to the first suspects`);
  must(one.fits.test(await says()), `what fits: ${await says()}`);
  if (one.danger) {
    const first = await page.evaluate(() => document.querySelector("main .head-of").firstElementChild?.className);
    must(first === "danger", "the danger does not stand first");
    must(/Do not drive it under load/.test(await page.textContent(".danger")), "the danger does not say what not to do");
  } else must(/No danger/.test(await page.textContent(".head-of")), "no word on danger");
  await look("fits");
  // What is dangerous, what it is, how large, how sure and what is next stand on the first screen.
  if (!one.danger || width > 800) {
    const below = await page.evaluate(() => [".head-of", ".bars li", ".bars .size", "#act .main"].filter((name) => { const box = document.querySelector(name)?.getBoundingClientRect(); return box && box.bottom > innerHeight; }));
    must(!below.length, `below the first screen: ${below}`);
  }
  await tap("bar-1");
  await look("why");
  await tap("bar-1");
  if (one.pairs) {
    const since = Date.now();
    await tap("pairs");
    await page.waitForFunction((form) => new RegExp(form, "i").test(document.querySelector("h1").textContent) && document.querySelector(".bars"), one.pairs.source);
    times.pairs.push(Date.now() - since);
    await look("pairs");
  }
  // The next test, from its cautions to all put back.
  await main();
  if (await page.locator('[data-focus="cannot"]').count()) {
    must(await page.locator(".right .caution, .right .plain").count() > 0, "a test begins without a caution");
    await look("before");
    if (one.danger) must(!/full load|under load/i.test(await says()), `a test under load is offered: ${await says()}`);
    await main();
    await look("step");
    const big = await page.evaluate(() => ["h1", ".caution.big", ".clock b"].map((name) => { const found = document.querySelector(name); return found && parseFloat(getComputedStyle(found).fontSize); }).filter(Boolean));
    must(Math.min(...big) >= 31, `step, limit or timer of ${Math.min(...big)} px`);
    await tap("timer");
    // Left in the middle and come back to: nothing is lost.
    await page.reload();
    await page.waitForFunction(() => document.documentElement.dataset.ready);
    must(await page.locator('[data-focus="undo"]:enabled').waitFor({ timeout: 5000 }).then(() => true, () => false), "after a reload nothing can be undone");
    must(await page.locator('[role="timer"]').count() === 1, "the test is not where it was left");
    // Drawn less than a tenth of a second after the tap it still says nought.
    must(await page.waitForFunction(() => document.querySelector('[role="timer"]')?.textContent !== "0:00.0", null, { timeout: 5000 }).then(() => true, () => false), "the clock of the test stands after a reload");
    for (let i = 0; i < 40 && !await page.locator(".results").count(); i += 1) await main();
    await look("result");
    if (await page.locator('[data-focus="type-these"]').count()) {
      await page.click('[data-focus="type-these"]');
      await said(/readings/);
    } else {
      await measured();
      for (let i = 0; await page.locator(`[data-focus="back-${i}"]`).count(); i += 1) await page.click(`[data-focus="back-${i}"]`);
      await look("back");
      await main();
      await page.locator(".bars").first().waitFor();
      await page.waitForFunction(() => !document.querySelector(".busy"));
      await look("then");
    }
    // One step back, and again.
    await page.click('[data-focus="undo"]');
    await page.click('[data-focus="where"]');
    await page.click('[data-focus="path-fits"]');
  } else await page.click('[data-focus="where"]').then(() => page.click('[data-focus="path-fits"]'));
  // A step back asks anew; what is compared below is of the job that is saved.
  // A promise counts as true where a function is waited for: it is asked for by hand.
  let stands = false;
  for (const end = Date.now() + 90000; !stands && Date.now() < end; await page.waitForTimeout(50)) stands = await page.evaluate("FitsScreen.answered(App.job())");
  must(stands, "after a step back no answer stands");
  await page.click('[data-focus="where"]');
  await look("path");
  const [saved] = await Promise.all([page.waitForEvent("download"), page.click("text=Save the job")]);
  must(statSync(await saved.path()).size > 2000, "the saved job is empty");
  // The command reads the saved job and says the same.
  if (process.env.FALSEAIR && !one.pairs) {
    const unpacked = mkdtempSync(join(tmpdir(), "bay-job-"));
    spawnSync("python3", ["-m", "zipfile", "-e", await saved.path(), unpacked]);
    const command = spawnSync(process.env.FALSEAIR, ["diagnose", "job.toml", "--format", "json"], { cwd: unpacked, encoding: "utf8", maxBuffer: 1e8 });
    must(spawnSync("sh", ["-c", "head -c 2 photo-1*.jpg | od -An -tx1"], { cwd: unpacked, encoding: "utf8" }).stdout.trim() === "ff d8", "the photo is not in the saved job");
    const told = command.status === 0 ? JSON.parse(command.stdout).says : command.stderr;
    const shown = await page.evaluate("App.job().found.says");
    must(told === shown, `the command says of the saved job "${told}", the page "${shown}"`);
    rmSync(unpacked, { recursive: true });
  }
  // The part.
  await page.click('[data-focus="path-part"]');
  await page.click(`[data-focus="part-${one.part.which}"]`);
  if (one.part.gaps) for (const [i, gap] of one.part.gaps.entries()) await page.fill(`[data-focus="gap-${i}"]`, gap);
  await type(`part-${one.part.which}`, one.part.values);
  await tap("work");
  await said(one.part.says);
  await look("part");
  // Repairs, where something with a size fits.
  await page.click('[data-focus="where"]');
  await page.click('[data-focus="path-repairs"]');
  if (await page.locator(".fields input").count()) {
    await page.locator(".fields input").first().click();
    if (touch) for (const digit of "45") await page.locator(`[data-key="${digit}"]`).click(); else await page.keyboard.type("45");
    await look("repairs");
    await main();
    await page.locator(".opts").waitFor();
  }
  await look("pays");
  await page.click('[data-focus="where"]');
  await page.click('[data-focus="path-after"]');
  await readings("after", one.after);
  await page.click('[data-focus="codes-after"]');
  await look("after");
  await main();
  await page.locator(".right > .band").waitFor();
  must(/No fault shows/.test(await says()), `after the repair: ${await says()}`);
  await look("record");
  await page.fill('[data-focus="head-customer"]', "A. Example");
  await page.emulateMedia({ media: "print" });
  const pdf = await page.pdf({ format: "A4" });
  must(pdf.length > 5000, "the record does not print");
  const words = await page.evaluate(() => document.body.innerText);
  must(/Record: Brindle/.test(words) && !/What fits now|Did it go/.test(words), "the printed page is not the record alone");
  if (folder) await page.screenshot({ path: resolve(folder, `${one.name}-${width}-${scheme}-print.png`), fullPage: true });
  await page.emulateMedia({ media: "screen" });
  // The saved job opened on another device.
  const fresh = await browser.newContext({ viewport: { width, height } });
  const there = await fresh.newPage();
  there.on("pageerror", (error) => must(false, `script: ${error.message}`));
  await there.goto(own);
  await there.waitForFunction(() => document.documentElement.dataset.engine);
  const [chooser] = await Promise.all([there.waitForEvent("filechooser"), there.click("text=Open a file")]);
  const path = resolve(await saved.path());
  await chooser.setFiles({ name: "job.zip", mimeType: "application/zip", buffer: readFileSync(path) });
  await there.waitForFunction(() => /Brindle/.test(document.getElementById("foot").textContent));
  await there.click('[data-focus="where"]');
  await there.click('[data-focus="path-complaint"]');
  must(await there.locator(".photos img").waitFor({ timeout: 5000 }).then(() => true, () => false), "the photo does not come with the saved job");
  await there.click('[data-focus="where"]');
  await there.click('[data-focus="path-fits"]');
  await there.locator(".bars").first().waitFor({ timeout: 90000 });
  await fresh.close();
  await context.close();
}

const size = statSync(file).size;
must(size < LARGEST, `the page has ${size} bytes`);
const browser = await chromium.launch({ executablePath: process.env.BROWSER_PATH || "/usr/bin/chromium", args: ["--no-sandbox", "--disable-gpu"] });
const began = Date.now();
// The quickest of a few openings: other work of the machine only ever slows one.
for (let i = 0; i < 5; i += 1) {
  const page = await browser.newPage();
  const opened = Date.now();
  await page.goto(own, { waitUntil: "commit" });
  await page.locator('[data-focus="main"]:visible').waitFor();
  times.opening.push(Date.now() - opened);
  await page.close();
}
for (const view of VIEWS.filter(([width]) => (onlyView ? width === onlyView : !short || width === 360))) {
  for (const scheme of short ? ["light"] : ["light", "dark"]) {
    for (const one of CASES.filter(({ name }, i) => (onlyCase ? name === onlyCase : !short || i === 0))) {
      try { await job(browser, one, view, scheme); } catch (problem) { must(false, `stopped: ${String(problem.message).split("\n").slice(0, 3).join(" ")}`); }
    }
  }
}
await browser.close();
const best = (all) => (all.length ? `${Math.min(...all).toFixed(0)} to ${Math.max(...all).toFixed(0)}` : "-");
must(Math.min(...times.opening) < 1000, `the page opens in ${Math.min(...times.opening)} ms`);
must(Math.min(...times.frames) > 15, `${Math.min(...times.frames).toFixed(0)} frames a second while it works`);
console.log(`page ${(size / 1e3).toFixed(0)} kB; opening to first input ${best(times.opening)} ms; first suspects after ${best(times.ranked)} ms, with the next tests ${best(times.first)} ms, of a log ${best(times.log)} ms, two faults ${best(times.pairs)} ms; ${best(times.frames)} frames/s meanwhile; ${best(times.taps)} taps to the first suspects; ${((Date.now() - began) / 1000).toFixed(0)} s in all`);
for (const [words, places] of wrong) console.log(`  ${words}  [${[...new Set(places)].join(", ")}]`);
console.log(`bay: ${wrong.size ? `${wrong.size} faults` : "nothing wrong"}`);
process.exit(wrong.size ? 1 : 0);
