// A long drive log, read in the bay page on a phone: how soon its steady stretches stand, how soon a first
// look at them, its dangers with it, how soon all of it, and whether the page stays alive and can call it
// off meanwhile. Exit code 1 if anything is wrong.
//   node log.mjs BAY.html BOTH.csv   (a log of `falseair simulate long-log.toml --time`, healthy and faulty)
import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const [file, both] = process.argv.slice(2);
const wrong = [];
const must = (fact, words) => { if (!fact) wrong.push(words); };
// What a logger at the diagnostic connector gives, every tenth of a second.
const KEPT = ["time_s", "engine_speed_rpm", "metered_air_g_s", "lambda_sensor", "short_trim_pct", "long_trim_pct", "boost_sensor_kpa", "manifold_kpa", "intake_temp_c", "wastegate_solenoid_duty_pct", "pedal_pct", "vehicle_speed_km_h", "throttle_pct"];
const [head, ...rows] = readFileSync(both, "utf8").trim().split("\n").map((line) => line.split(","));
const at = KEPT.map((key) => head.indexOf(key));
must(at.every((i) => i >= 0), `columns that are not there: ${KEPT.filter((_, i) => at[i] < 0)}`);
const faulty = rows.filter((row) => row[head.indexOf("side")] === "faulty");
const every = Math.max(1, Math.round(0.1 / (faulty[1][at[0]] - faulty[0][at[0]])));
const lines = faulty.filter((_, i) => i % every === 0).map((row) => at.map((i) => row[i]).join(","));
const text = [KEPT.join(","), ...lines, ""].join("\n");
const minutes = (faulty.at(-1)[at[0]] - faulty[0][at[0]]) / 60;

const browser = await chromium.launch({ executablePath: process.env.BROWSER_PATH || "/usr/bin/chromium", args: ["--no-sandbox", "--disable-gpu"] });
const page = await (await browser.newContext({ viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true })).newPage();
page.setDefaultTimeout(240000);
page.on("pageerror", (error) => must(false, `script: ${error.message}`));
await page.goto(pathToFileURL(resolve(file)).href);
await page.waitForFunction(() => document.documentElement.dataset.engine);
const tap = (focus) => page.click(`[data-focus="${focus}"]:visible`);
const says = () => page.textContent("h1");
/** The longest time without a frame, ms, since it was last asked. */
await page.evaluate(() => { window.gap = 0; window.count = 0; let last = performance.now(); const frame = (now) => { window.gap = Math.max(window.gap, now - last); window.count += 1; last = now; requestAnimationFrame(frame); }; requestAnimationFrame(frame); });
const alive = () => page.evaluate(() => { const told = [window.gap, window.count]; window.gap = 0; window.count = 0; return told; });
await tap("main");
await tap("demo");
await page.waitForFunction(() => /is ready/.test(document.querySelector("h1").textContent));
await tap("main");
await tap("main");
const [chooser] = await Promise.all([page.waitForEvent("filechooser"), tap("log")]);
await alive();
let began = Date.now();
await chooser.setFiles({ name: "drive.csv", mimeType: "text/csv", buffer: Buffer.from(text) });
await page.waitForFunction(() => App.job().log?.read || App.job().log?.wrong);
const read = Date.now() - began;
const [readGap] = await alive();
const found = await page.evaluate(() => App.job().log.read);
must(found && found.windows.length > 5 && found.pulls > 0, `what is read of the log: ${JSON.stringify(found)?.slice(0, 200)}`);
// Called off, it is called off at once, and the page asks again where it is wanted.
await tap("main");
await page.locator(".busy").waitFor();
await page.waitForTimeout(1500);
began = Date.now();
await page.click("#act >> text=Stop");
await page.waitForFunction(() => !document.querySelector(".busy"));
const stopped = Date.now() - began;
must(stopped < 500, `Stop takes ${stopped} ms`);
await page.waitForFunction(() => !Engine.busy());
await alive();
began = Date.now();
await tap("main");
await page.locator(".busy").waitFor();
const told = new Set();
let look = null;
while (await page.locator(".busy").count()) {
  const [busy, stands] = await page.evaluate(() => {
    const texts = (which) => [...document.querySelectorAll(which)].map((one) => one.textContent.trim());
    const bars = texts(".bars li");
    return [document.querySelector(".busy")?.textContent, bars.length ? { says: texts("h1")[0], bars, dangers: texts(".danger") } : null];
  });
  if (busy) told.add(busy);
  if (stands) look ??= { ...stands, after: Date.now() - began };
  await page.waitForTimeout(100);
}
const whole = Date.now() - began;
const dangers = await page.evaluate(() => [...document.querySelectorAll(".danger")].map((one) => one.textContent.trim()));
const [gap, frames] = await alive();
const first = await page.evaluate(() => App.job().found.hypotheses.slice(0, 3).map(({ title, probability }) => `${title} ${(100 * probability).toFixed(1)} %`));
must(/cold pipe|hot pipe|cooler/i.test(first.join()), `the hidden split is not found: ${first}`);
must(read < 3000, `its stretches stand after ${read} ms`);
must(look && /First look, from \d+ of \d+ stretches/.test(look.says), `nothing stands before the whole: ${look?.says}`);
must(look?.bars.some((one) => /cold pipe|hot pipe|cooler/i.test(one)), `the first look names ${look?.bars}`);
// A danger waits for nothing: all that the whole drive shows stand with the first look.
must(dangers.length > 0 && look?.dangers.join() === dangers.join(), `dangers at the first look: ${look?.dangers}; of the whole: ${dangers}`);
// Wanted in 3 s on a quiet machine, where it takes a sixth of the whole: on one that is busy, its share is held.
must(look?.after < Math.max(3000, whole / 3), `the first look stands after ${look?.after} ms of ${whole} ms`);
must(whole < 75000, `all of it stands after ${whole} ms`);
must(told.size > 3, `while it works only this is told: ${[...told].join(" | ")}`);
must(gap < 500, `${gap.toFixed(0)} ms without a frame`);
console.log(`a log of ${minutes.toFixed(0)} min, ${lines.length} rows, ${(text.length / 1e6).toFixed(1)} MB: ${found?.windows.length} stretches and ${found?.pulls} pulls read in ${read} ms; a first look after ${look?.after} ms (wanted: 3000), all of it with its tests after ${whole} ms; ${(1000 * frames / whole).toFixed(0)} frames/s meanwhile, at most ${Math.max(gap, readGap).toFixed(0)} ms without one; Stop took ${stopped} ms; told on the way: ${[...told].length} times`);
console.log(`  ${await says()}: ${first.join("; ")}`);
await browser.close();
for (const words of wrong) console.log(`  ${words}`);
console.log(`log: ${wrong.length ? `${wrong.length} faults` : "nothing wrong"}`);
process.exit(wrong.length ? 1 : 0);
