// Opens a lesson from disk as a class does: plays, drags a leak, puts the foot down, predicts. The hidden
// fault is `hunt.mjs`. Exit code 1 if anything is wrong.
//   node lesson.mjs LESSON.html [FOLDER for pictures]
import { launched } from "./lesson-page.mjs";

const [file, folder] = process.argv.slice(2);
const { browser, page, wrong, must, picture, accessible, open } = await launched(folder);
const reading = (label, side) => page.evaluate(([label, side]) => {
  const rows = [...document.querySelectorAll("#readings tr")];
  const row = rows.find((row) => row.querySelector("th").textContent === label);
  return Number(row.querySelectorAll("td.n")[side].textContent.replace("\u2212", "-"));
}, [label, side]);

// The quickest of a few openings: other work of the machine only ever slows one.
let first = Infinity;
for (let i = 0; i < 5 && first >= 1000; i += 1) {
  await page.goto("about:blank");
  const opened = Date.now();
  await open(file);
  await page.waitForFunction(() => document.querySelector("#readings td.n")?.textContent !== undefined);
  first = Math.min(first, Date.now() - opened);
}
must(first < 1000, `the first reading comes after ${first} ms`);
await accessible("demonstration");

// A leak on a brake at full load: counted and real air part as it is dragged, by the keyboard too.
await page.selectOption("#load", "held");
await page.fill("#pedal", "100");
await page.fill("#speed", "3500");
await page.selectOption("#what", "leak:cold_pipe");
await page.waitForTimeout(6000);
const before = await reading("metering error", 1);
await page.focus("#size");
for (let i = 0; i < 250; i += 1) await page.keyboard.press("ArrowRight");
await page.waitForTimeout(3000);
const after = await reading("metering error", 1);
must(after < before - 0.5, `a dragged leak moves the metering error from ${before} to ${after} % only`);
must(Math.abs(await reading("metering error", 0)) < 0.5, "the healthy car's ghost is not sound");
// What moved most stands in the drawing, beside where it is read, with the healthy car's value.
const lit = () => page.evaluate(() => [...document.querySelectorAll("#drawing .lit > g")].map((one) => [...one.querySelectorAll("text")].map((text) => text.textContent)));
const moved = await lit();
must(moved.length === 3 && moved.some(([name]) => name === "metered air") && moved.every(([, , was]) => /^healthy/.test(was)), `lit in the drawing: ${JSON.stringify(moved)}`);
const [air] = moved.filter(([name]) => name === "metered air");
must(!air || Math.abs(Number.parseFloat(air[1]) - await reading("metered air", 1)) < 0.02 * await reading("metered air", 1), `metered air in the drawing: ${air}`);
/** How light each section of the drawing is: 0 is black. */
const light = () => page.evaluate(() => Object.fromEntries(["inlet", "hot", "cold", "plenum", "exhaust"].map((name) => {
  const [r, g, b] = document.querySelector("#drawing svg").style.getPropertyValue(`--${name}`).match(/\d+/g).map(Number);
  return [name, 0.2126 * r + 0.7152 * g + 0.0722 * b];
})));
const full = await light();
must(full.inlet > full.cold + 60 && full.cold > full.exhaust + 10, `in greyscale, suction, boost and exhaust: ${JSON.stringify(full)}`);
must(/lost/.test(await page.textContent("#why")), `no reason is given: ${await page.textContent("#why")}`);
await picture("lesson-held");

// A tip-in from idle in slow motion.
await page.selectOption("#load", "in_gear");
await page.click("#lift-off");
await page.waitForTimeout(1500);
await page.click("#tip-in");
must(await page.isChecked("#slow"), "a tip-in is not in slow motion");
const idling = await light();
must(idling.plenum > idling.cold + 10, `at idle the manifold is not lighter than the pipe before the throttle: ${JSON.stringify(idling)}`);
await page.waitForTimeout(4000);
await picture("lesson-tip-in");
must(await page.isChecked("#slow"), "slow motion ends before the boost is there");
await page.waitForFunction(() => !document.getElementById("slow").checked, null, { timeout: 60000 });
const built = await reading("boost (gauge)", 0);
await page.waitForTimeout(5000);
must(built > 0.6 * await reading("boost (gauge)", 0), `slow motion ends at ${built} kPa`);
const { frames, busy, run } = await page.evaluate(() => window.falseairPace);
console.log(`first reading ${first} ms after opening; ${frames.toFixed(0)} frames/s, ${busy.toFixed(2)} ms of work a frame, of which the engines ${run.toFixed(2)} ms`);
must(1000 / busy >= 60, `a frame takes ${busy.toFixed(1)} ms`);
must((await reading("boost (gauge)", 0)) > 20, "the tip-in makes no boost");
for (const [width, name] of [[390, "phone"], [1280, "wide"]]) {
  await page.setViewportSize({ width, height: 900 });
  const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  must(over <= 1, `${over} px wider than a ${name} screen`);
  const units = await page.locator("#readings td.range:visible").allTextContents();
  must(units.some((unit) => unit.endsWith("kPa")), `readings without their units on a ${name} screen`);
  // Every part is named: in the drawing, or by a letter in it with the name below.
  const named = await page.evaluate(() => {
    const key = new Map([...document.querySelectorAll("#drawing .air-key li")].map((one) => [one.firstChild.textContent, one.lastChild.textContent]));
    return [...document.querySelectorAll("#drawing .name text")].map((one) => key.get(one.textContent) ?? one.textContent);
  });
  must(named.length === 20 && named.every((one) => one.length > 2), `named on a ${name} screen: ${named}`);
  await picture(`lesson-${name}`);
}
// Why, the drawing with what moved, and both cars' first readings on one screen.
await page.setViewportSize({ width: 1280, height: 800 });
const [why, drawing] = await page.evaluate(() => ["#why", "#drawing svg"].map((name) => document.querySelector(name).getBoundingClientRect().bottom));
must(why < 800 && drawing <= 800, `the sentence ends at ${why}, the drawing at ${drawing} px`);
await page.click("#large");
for (const [width, height] of [[1280, 800], [1920, 1080]]) {
  await page.setViewportSize({ width, height });
  await page.waitForTimeout(600);
  const [over, smallest] = await page.evaluate(() => {
    const svg = document.querySelector("#drawing svg");
    const scale = svg.getBoundingClientRect().width / 960;
    const sizes = [...document.querySelectorAll("#demonstration :is(td, th, p, button, label)")].filter((one) => one.offsetHeight).map((one) => parseFloat(getComputedStyle(one).fontSize));
    return [document.documentElement.scrollWidth - document.documentElement.clientWidth, Math.min(...sizes, ...[...svg.querySelectorAll("text")].map((one) => one.getAttribute("font-size") * scale))];
  });
  must(over <= 1 && smallest > 26.5, `large at ${width} px: ${over} px too wide, letters of ${smallest} px`);
  await picture(`lesson-large-${width}`);
}
await page.click("#large");
await page.setViewportSize({ width: 1280, height: 900 });

// A fault that endangers an engine: the page says so before all else, of that car alone, and no longer
// once it is gone.
await page.selectOption("#load", "held");
await page.selectOption("#what", "fault:fuel_delivery_low");
await page.fill("#size", "400"); // four fifths of the fuel: half of it is the worst
await page.fill("#pedal", "100");
await page.waitForFunction(() => /^Danger: faulty car: Lean under boost/.test(document.querySelector("#dangers p")?.textContent), null, { timeout: 30000 });
must(!/healthy car|both cars/.test(await page.textContent("#dangers")), `of the healthy car: ${await page.textContent("#dangers")}`);
const [danger, drawn] = await page.evaluate(() => ["#dangers p", "#drawing"].map((name) => document.querySelector(name).getBoundingClientRect().top));
must(danger < drawn, "the danger does not stand first");
await accessible("danger");
await picture("lesson-danger");
await page.selectOption("#what", "");
await page.fill("#pedal", "0");
await page.waitForFunction(() => !document.querySelector("#dangers p"), null, { timeout: 30000 });

// Predict, then see. Nothing is shown before five readings are marked, the score is what the shown
// differences are, and a reading that was missed decides which case comes next.
const SIGNS = ["goes up", "stays the same", "goes down"];
const says = () => page.textContent("#predict-says");
const mark = async (marks) => {
  const rows = await page.locator("#predict-five tr").all();
  for (const [i, row] of rows.entries()) {
    must(await page.isDisabled("#predict-see"), `it can be seen with ${i} of five marked`);
    await row.locator("button").nth(marks[i]).click();
  }
};
const outcome = async (marks) => {
  await mark(marks);
  await page.click("#predict-see");
  await page.waitForSelector("#predict-next:not([hidden])");
  const rows = await page.evaluate(() => [...document.querySelectorAll("#predict-five tr")].map((row) => ({
    name: row.querySelector("th").childNodes[1].textContent.trim(),
    hit: row.querySelector("th [role=img]").getAttribute("aria-label") === "right",
    did: row.querySelector("td [role=img]").getAttribute("aria-label"),
    apart: Number.parseFloat(row.querySelector("td").childNodes[1].textContent.trim().replace("\u2212", "-")),
  })));
  for (const [i, { name, hit, did, apart }] of rows.entries()) {
    must(hit === (SIGNS[marks[i]] === did), `${name}: ${did}, marked ${SIGNS[marks[i]]}, counts as ${hit ? "right" : "missed"}`);
    must(did === SIGNS[1] || Math.sign(apart) === (did === SIGNS[0] ? 1 : -1), `${name} ${did} by ${apart}`);
  }
  const hits = rows.filter(({ hit }) => hit).length;
  must((await says()).startsWith(`${hits} of 5 right`), `${hits} of 5 right, said: ${await says()}`);
  return rows;
};
await page.setViewportSize({ width: 1280, height: 800 });
await page.click("#to-predict");
must(/split over 70 mm; foot to the floor/.test(await says()) && !/g\/s|kPa/.test(await page.textContent("#predict-five")), `the first case: ${await says()}`);
const ends = () => page.evaluate(() => Math.max(...[...document.querySelectorAll("#predict-drawing, #predict-five tr, #predict .bar button")].map((one) => one.getBoundingClientRect().bottom)));
must(await ends() <= 800, `sentence, drawing, rows and button end at ${await ends()} px`);
await accessible("predict");
await picture("lesson-predict");
must(await page.locator("#predict-drawing .ringed").count() === 1, "the place that is asked about is not ringed");
const split = await outcome([0, 2, 1, 1, 1]);
must(split.map(({ hit }) => hit).join() === "true,true,true,false,true", `the split: ${JSON.stringify(split)}`);
must(/already counted is lost/.test(await page.textContent("#predict-why")), `the reason: ${await page.textContent("#predict-why")}`);
must(/missed: wastegate solenoid duty\.$/.test(await page.textContent("#predict-hint")), `what is asked again: ${await page.textContent("#predict-hint")}`);
must(await ends() <= 800, `the result ends at ${await ends()} px`);
await accessible("predicted");
await picture("lesson-predicted");
// The next in order, the split at idle, does not ask for what was missed: those at full load do, until
// it is marked rightly. There too little fuel endangers the engine, and the page says so before all else.
const course = [
  [/gasket.*foot to the floor/, [0, 2, 0, 1, 1], "true,true,false,true,true"],
  [/wastegate.*foot to the floor/, [1, 1, 1, 1, 1], "true,true,true,false,true"],
  [/a fifth too little fuel/, [1, 0, 1, 1, 2], "true,true,true,true,true"],
  [/split over 70 mm; the engine idles/, [1, 1, 1, 1, 1], "true,true,true,true,true"],
];
for (const [case_, marks, hits] of course) {
  await page.keyboard.press("Enter");
  must(case_.test(await says()), `instead of ${case_}: ${await says()}`);
  must(await page.evaluate(() => document.activeElement.closest("#predict-five") !== null), "a case does not begin at its first reading");
  const rows = await outcome(marks);
  must(rows.map(({ hit }) => hit).join() === hits, `${case_}: ${JSON.stringify(rows)}`);
  const dangers = await page.textContent("#predict-dangers");
  if (!/fuel/.test(case_.source)) {
    must(!dangers, `${case_}: ${dangers}`);
    continue;
  }
  must(/^Danger: faulty car: Lean under boost/.test(dangers), `too little fuel at full load: ${dangers}`);
  must(await page.evaluate(() => document.getElementById("predict-dangers").getBoundingClientRect().top < document.getElementById("predict-says").getBoundingClientRect().top), "the danger does not stand before the result");
  await accessible("predicted danger");
  await picture("lesson-predicted-danger");
}
for (const [width, height] of [[390, 844], [820, 1180]]) {
  await page.setViewportSize({ width, height });
  const [over, low, small] = await page.evaluate(() => {
    const of = (what) => [...document.querySelectorAll(what)].filter((one) => one.offsetHeight && one.textContent);
    return [
      document.documentElement.scrollWidth - document.documentElement.clientWidth,
      of("#predict button, header button").filter((one) => one.offsetHeight < 48 || one.offsetWidth < 48).length,
      Math.min(...of("#predict *, header *, footer *").map((one) => Number.parseFloat(getComputedStyle(one).fontSize))),
    ];
  });
  must(over <= 1 && !low && small >= 16, `at ${width} px: ${over} px too wide, ${low} buttons below 48 px, letters of ${small} px`);
  await picture(`lesson-predicted-${width}`);
}
await page.setViewportSize({ width: 1280, height: 900 });

const nothing = "Nothing changes that workshop instruments would show.";
// What is healthy is at the left end of every fault, and no two are called the same.
await page.click("#to-demonstration");
const named = await page.locator("#what optgroup:last-child option").allTextContents();
must(new Set(named).size === named.length, `two faults of one name: ${named.join(", ")}`);
// At rest and healthy: what the fault before has left in turbo and pipes is gone.
await page.selectOption("#what", "");
await page.selectOption("#load", "neutral");
await page.fill("#pedal", "0");
await page.waitForFunction((told) => document.getElementById("why").textContent === told, nothing);
await page.click("#hold");
for (const value of await page.locator("#what optgroup:last-child option").evaluateAll((all) => all.map((one) => one.value))) {
  await page.selectOption("#what", value);
  await page.fill("#size", "0");
  const apart = await page.evaluate(() => document.getElementById("why").textContent);
  must(apart === nothing, `${value} at the left end is not healthy: ${apart}`);
}
// Held, a fault shows what it does at this very moment, and nothing of the one before.
await page.selectOption("#what", "leak:manifold_gasket");
await page.fill("#size", "900");
must(/uncounted/.test(await page.textContent("#why")), `held, a leak is not told: ${await page.textContent("#why")}`);
await page.selectOption("#what", "");
must(await page.textContent("#why") === nothing, `held, the fault before stays: ${await page.textContent("#why")}`);
await page.click("#hold");

await browser.close();
for (const words of wrong) console.log(`  ${words}`);
console.log(`lesson: ${wrong.length ? `${wrong.length} faults` : "nothing wrong"}`);
process.exit(wrong.length ? 1 : 0);
